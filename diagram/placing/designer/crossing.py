"""Whether straight pieces cross, for many at once."""

import numpy as np

from diagram.geometry.dual import Numbers


def crossed(a: Numbers, b: Numbers, c: Numbers, d: Numbers) -> np.ndarray:
    """Whether the pieces from `a` to `b` and from `c` to `d` cross, broadcast together."""

    def side(p: Numbers, q: Numbers, r: Numbers) -> np.ndarray:
        u, v = q - p, r - p
        return np.asarray(u.real * v.imag - u.imag * v.real)

    apart = side(a, b, c) * side(a, b, d) < -1e-9
    return np.asarray(apart & (side(c, d, a) * side(c, d, b) < -1e-9))
