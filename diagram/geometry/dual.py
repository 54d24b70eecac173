"""Numbers that carry their slopes: forward automatic differentiation on whole arrays.

A formula written once with these gives its value and its exact derivatives together
(Griewank and Walther, Evaluating Derivatives, 2nd ed. 2008, chapter 3). Values have any shape;
slopes have one more axis at the end, one entry for each variable. Variables are real; a value may
be a complex number, which stands for a place x + iy, or of length one for a direction.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from diagram.geometry.curve import Floats
from diagram.geometry.region import ALIKE

Numbers = NDArray[Any]
"""Real numbers, or complex ones that are places or directions."""


class Dual(Struct, frozen=True):
    """`value` of any shape and `slope` of that shape with the variables as last axis."""

    value: Numbers
    slope: Numbers

    # Let `array * dual` come here and not into numpy, which would take it apart.
    __array_ufunc__ = None

    def __add__(self, other: Dual | Numbers | complex) -> Dual:
        if isinstance(other, Dual):
            return Dual(self.value + other.value, self.slope + other.slope)
        value = self.value + other
        if value.shape == self.value.shape:
            return Dual(value, self.slope)
        return Dual(value, np.broadcast_to(self.slope, (*value.shape, self.slope.shape[-1])))

    __radd__ = __add__

    def __neg__(self) -> Dual:
        return Dual(-self.value, -self.slope)

    def __sub__(self, other: Dual | Numbers | complex) -> Dual:
        if isinstance(other, Dual):
            return Dual(self.value - other.value, self.slope - other.slope)
        return self + (-other)

    def __rsub__(self, other: Numbers | complex) -> Dual:
        return -self + other

    def __mul__(self, other: Dual | Numbers | complex) -> Dual:
        if isinstance(other, Dual):
            slope = self.slope * other.value[..., None] + other.slope * self.value[..., None]
            return Dual(self.value * other.value, slope)
        if isinstance(other, int | float | complex):
            return Dual(self.value * other, self.slope * other)
        return Dual(self.value * other, self.slope * np.asarray(other)[..., None])

    __rmul__ = __mul__

    def __truediv__(self, other: Dual) -> Dual:
        value = self.value / other.value
        slope = (self.slope - other.slope * value[..., None]) / other.value[..., None]
        return Dual(value, slope)

    @property
    def real(self) -> Dual:
        """How far a place lies along x; the cosine of a direction."""
        return Dual(self.value.real, self.slope.real)

    @property
    def imag(self) -> Dual:
        """How far a place lies along y; the sine of a direction."""
        return Dual(self.value.imag, self.slope.imag)

    def spread(self) -> Dual:
        """With one more axis of length one at the end of the values, to sample along."""
        return Dual(self.value[..., None], self.slope[..., None, :])


def chained(value: Numbers, derivative: Numbers, inner: Dual) -> Dual:
    """A function of one dual, from its value and derivative there."""
    return Dual(value, derivative[..., None] * inner.slope)


def sin(angle: Dual) -> Dual:
    """Sine of radians."""
    return chained(np.sin(angle.value), np.cos(angle.value), angle)


def towards(angle: Dual) -> Dual:
    """The direction at radians, a complex number of length one."""
    value = np.exp(1j * angle.value)
    return chained(value, 1j * value, angle)


def bearing(place: Dual) -> Dual:
    """Radians at which a place is seen from the origin; slopes stay finite there."""
    squared = np.maximum(place.value.real**2 + place.value.imag**2, 1e-12)
    turning = (place.value.conj() / squared)[..., None] * place.slope
    return Dual(np.angle(place.value), turning.imag)


def atan2(y: Dual, x: Dual) -> Dual:
    """Angle of (x, y) in radians; slopes stay finite at the origin."""
    squared = np.maximum(x.value**2 + y.value**2, 1e-12)[..., None]
    slope = (y.slope * x.value[..., None] - x.slope * y.value[..., None]) / squared
    return Dual(np.arctan2(y.value, x.value), slope)


def hypot(x: Dual, y: Dual) -> Dual:
    """Length of (x, y)."""
    value = np.hypot(x.value, y.value)
    safe = np.maximum(value, 1e-9)[..., None]
    return Dual(value, (x.slope * x.value[..., None] + y.slope * y.value[..., None]) / safe)


def wrapped(angle: Dual, lowest: Floats | float = -math.pi) -> Dual:
    """Radians brought into [lowest, lowest + 2 pi).

    What is at the lowest but for rounding goes there, so that all processors turn the same way.
    """
    low = lowest - ALIKE
    return Dual((angle.value - low) % (2 * math.pi) + low, angle.slope)


def within(value: Dual, low: float, high: float) -> Dual:
    """Held between two bounds; no slope where it is held."""
    free = (value.value > low) & (value.value < high)
    return Dual(np.clip(value.value, low, high), value.slope * free[..., None])
