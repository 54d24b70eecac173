"""The record: what was seen in the arena, kept for years in one file, and what it adds up to."""
