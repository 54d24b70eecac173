"""The definition of an exercise: what a file may say, in frozen values."""

from diagram.model.definition import Definition
from diagram.model.reading import read_definition, validate

__all__ = ["Definition", "read_definition", "validate"]
