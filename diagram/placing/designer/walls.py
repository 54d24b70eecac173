"""How far it is to the rail, from many places at once."""

import numpy as np

from diagram.geometry.curve import Floats
from diagram.geometry.dual import Numbers
from diagram.geometry.region import Region


def clear_ahead(region: Region, place: Numbers, heading: Floats) -> Floats:
    """Metres (...) straight ahead from places to the first edge of the region."""
    best = np.full(place.shape, np.inf)
    ahead = np.exp(1j * heading)
    for a, b in region.edges:
        start, along = complex(*a), complex(*b) - complex(*a)
        cross = ahead.real * along.imag - ahead.imag * along.real
        with np.errstate(divide="ignore", invalid="ignore"):
            gap = start - place
            share = (gap.real * ahead.imag - gap.imag * ahead.real) / cross
            metres = (gap.real * along.imag - gap.imag * along.real) / cross
        hit = (np.abs(cross) > 1e-9) & (share > -1e-9) & (share < 1 + 1e-9) & (metres > 1e-9)
        best = np.where(hit, np.minimum(best, metres), best)
    return best
