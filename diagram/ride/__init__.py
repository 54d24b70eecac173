"""The ride along the line: gaits, strides, leads, turns and the clock, leg by leg."""

from diagram.ride.angles import OnAnAngle, angled
from diagram.ride.clock import Clock, Efforts, clock, efforts
from diagram.ride.leads import ChangeDue
from diagram.ride.legs import Ridden, ride_legs
from diagram.ride.stretches import Stretch
from diagram.ride.strides import Spot
from diagram.ride.transitions import CanterSide, InAndOut
from diagram.ride.turns import Turn, turns_of
from diagram.ride.versions import Version

__all__ = [
    "CanterSide",
    "ChangeDue",
    "Clock",
    "Efforts",
    "InAndOut",
    "OnAnAngle",
    "Ridden",
    "Spot",
    "Stretch",
    "Turn",
    "Version",
    "angled",
    "clock",
    "efforts",
    "ride_legs",
    "turns_of",
]
