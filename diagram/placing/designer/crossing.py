"""Whether straight pieces cross, for many at once."""

import numpy as np

from diagram.geometry.curve import Floats
from diagram.geometry.dual import Numbers
from diagram.placing.designer.states import pairs

TOUCH = 1e-5
"""What touches, or runs along the same line to rounding, does not cross: square metres to the one
side, times square metres to the other."""


def crossed(a: Numbers, b: Numbers, c: Numbers, d: Numbers) -> np.ndarray:
    """Whether the pieces from `a` to `b` and from `c` to `d` cross, broadcast together."""

    def side(p: Numbers, q: Numbers, r: Numbers) -> np.ndarray:
        u, v = q - p, r - p
        return np.asarray(u.real * v.imag - u.imag * v.real)

    apart = side(a, b, c) * side(a, b, d) < -TOUCH
    return np.asarray(apart & (side(c, d, a) * side(c, d, b) < -TOUCH))


def all_crossed(a: Numbers, b: Numbers, c: Numbers, d: Numbers) -> np.ndarray:
    """Whether each piece from `a` to `b` (K, N) crosses each from `c` to `d` (K, M): (K, N, M)."""
    apart = _sides(a, b, c) * _sides(a, b, d) < -TOUCH
    other = _sides(c, d, a) * _sides(c, d, b) < -TOUCH
    return np.asarray(apart & other.swapaxes(1, 2))


AT_ONCE = 32
"""Arrangements whose tracks are looked at in one go: with more, what is in between would not stay
near the processor, and takes three times as long."""


def tracks_crossed(one: Numbers, other: Numbers) -> np.ndarray:
    """Whether each piece of a track through places (K, P) crosses each of another's (K, Q):
    (K, P - 1, Q - 1)."""
    rows = [slice(n, n + AT_ONCE) for n in range(0, max(len(one), 1), AT_ONCE)]
    return np.concatenate([_tracks_crossed(one[row], other[row]) for row in rows])


def _tracks_crossed(one: Numbers, other: Numbers) -> np.ndarray:
    apart = _sides(one[:, :-1], one[:, 1:], other)
    across = _sides(other[:, :-1], other[:, 1:], one)
    mine = apart[:, :, :-1] * apart[:, :, 1:] < -TOUCH
    return np.asarray(mine & (across[:, :, :-1] * across[:, :, 1:] < -TOUCH).swapaxes(1, 2))


def _sides(p: Numbers, q: Numbers, r: Numbers) -> Floats:
    """On which side of the lines from `p` to `q` (K, N) places `r` (K, M) lie: (K, N, M)."""
    u = q - p
    offset = u.real * p.imag - u.imag * p.real
    sides: Floats = pairs(1j * u) @ pairs(r).swapaxes(1, 2) - offset[..., None]
    return sides
