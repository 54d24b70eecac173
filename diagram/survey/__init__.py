"""Survey: from measured tapes to where the fences stand, how the lines ride, what to move."""
