"""Writing made easy: an exercise from a sentence or a shape, and a file put in order."""
