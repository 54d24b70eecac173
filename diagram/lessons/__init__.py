"""A lesson for tonight: exercises in order for groups of riders, on as few set-ups as can be."""
