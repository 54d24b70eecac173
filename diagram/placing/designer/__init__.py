"""Fences put where a course designer would put them: runs on carriers, found by a beam search."""
