"""Exercises as a collection: kept in a folder, found again, built, printed and shared."""
