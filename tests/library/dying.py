"""A job that takes its process with it. Alone in its file: each process that runs it reads that."""

import os


def dies_at_three(number: int) -> int:
    """Twice the number, but for three."""
    if number == 3:
        os._exit(1)
    return number * 2
