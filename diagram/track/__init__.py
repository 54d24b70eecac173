"""The ridden line, leg by leg."""

from diagram.track.line import Crossing, Leg, crossing, ridden_line

__all__ = ["Crossing", "Leg", "crossing", "ridden_line"]
