"""How near fences stand to each other and to the tracks that are not their own."""

from __future__ import annotations

import numpy as np

from diagram.geometry.curve import Floats
from diagram.geometry.dual import Numbers
from diagram.path.room import FREE_AFTER
from diagram.placing.designer.ground import DesignGround
from diagram.placing.designer.term import Wholes

FAR_M = 99.0


def to_poles(place: Numbers, middle: Numbers, along: Numbers, half: Floats) -> Floats:
    """Metres from places to the poles of fences, broadcast together."""
    own = (place - middle) * along.conj()
    aside = np.maximum(np.abs(own.real) - half, 0.0)
    return np.asarray(np.hypot(aside, own.imag))


def fences_apart(view: Wholes) -> Floats:
    """For each fence (K, F) metres to the nearest of another piece."""
    piece = np.array(view.fence_piece)
    out = np.full(view.middles.shape, FAR_M)
    for share in (-1.0, -0.5, 0.0, 0.5, 1.0):
        place = view.middles + share * view.half * view.along
        gap = to_poles(place[:, :, None], view.middles[:, None], view.along[:, None], view.half)
        gap = np.where(piece[:, None] == piece, FAR_M, gap)
        out = np.minimum(out, gap.min(axis=2))
        out = np.minimum(out, gap.min(axis=1))
    return out


def tracks_to_fences(ground: DesignGround, view: Wholes) -> Floats:
    """For each fence (K, F) metres to the nearest track that does not begin or end at it."""
    out = np.full(view.middles.shape, FAR_M)
    piece = np.array(view.fence_piece)
    ways = [
        way for _, way in ground.turns
        if ground.piece_of[way.first.body] in piece and ground.piece_of[way.second.body] in piece
    ]  # fmt: skip
    for n, way in enumerate(ways):
        places = view.turns[:, n]
        gap = _to_fences(places, view)
        for end, at in ((way.first, places[:, :1]), (way.second, places[:, -1:])):
            near = np.abs(places - at) < FREE_AFTER
            gap = gap + np.where(near[:, :, None] & (piece == ground.piece_of[end.body]), FAR_M, 0)
        out = np.minimum(out, gap.min(axis=1))
    share = np.linspace(0.0, 1.0, 12)
    for n, line in enumerate(ground.lines):
        if line.single:
            continue
        places = view.first[:, n, None] + (view.last - view.first)[:, n, None] * share
        gap = _to_fences(places, view).min(axis=1)
        out = np.minimum(out, np.where(piece == line.piece, FAR_M, gap))
    for bend in range(view.bends.shape[1]):
        gap = _to_fences(view.bends[:, bend], view).min(axis=1)
        number = ground.piece_of[ground.bends[bend].first.body]
        out = np.minimum(out, np.where(piece == number, FAR_M, gap))
    opens = [w for w in (ground.start, ground.finish) if w and ground.piece_of[w.end.body] in piece]
    for n, open_way in enumerate(opens):
        places = view.opens[:, n]
        near = np.abs(places - places[:, :1]) < FREE_AFTER
        own = piece == ground.piece_of[open_way.end.body]
        gap = _to_fences(places, view) + np.where(near[:, :, None] & own, FAR_M, 0)
        out = np.minimum(out, gap.min(axis=1))
    return out


def _to_fences(places: Numbers, view: Wholes) -> Floats:
    """Metres (K, P, F) from places (K, P) to all fences."""
    return to_poles(places[:, :, None], view.middles[:, None], view.along[:, None], view.half)
