"""What a judge sees who walks the course: rows of fences, distances, approaches.

Read off the plan, for the checks. Nothing here finds fault.
"""
