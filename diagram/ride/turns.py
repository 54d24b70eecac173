"""The turns of a curve: where each begins and ends, to which hand, how far and how tight."""

from __future__ import annotations

from msgspec import Struct

from diagram.geometry.curve import Curve, CurvePiece
from diagram.geometry.region import ALIKE
from diagram.model.said import Lead
from diagram.trade.riding import riding

NEARLY_STRAIGHT = 1 / riding().turns.nearly_straight.value
"""1/m. A curve of less is ridden as a straight line."""

A_TURN = riding().turns.a_turn.value
"""A leg that bends less than this is ridden on either lead."""


class Turn(Struct, frozen=True):
    """One turn: metres along the curve, radians turned (left positive), smallest radius.

    It begins and ends where a rider would say that it does: where the curve is nearly straight.
    """

    begin_m: float
    end_m: float
    angle: float
    radius_m: float

    @property
    def hand(self) -> Lead:
        """The inside hand, and so the lead that is wanted."""
        return "left" if self.angle > 0 else "right"


def turns_of(curve: Curve, least: float = A_TURN) -> tuple[Turn, ...]:
    """Turns of `least` radians or more, in order.

    Corners to one hand with a straight between them are one turn: a half circle round the
    short side.
    """
    found: list[Turn] = []
    at = 0.0
    for piece in curve.pieces:
        part = _bent(piece, at)
        at += piece.length
        if part is None:
            continue
        if found and found[-1].hand == part.hand:
            last = found[-1]
            found[-1] = Turn(
                last.begin_m,
                part.end_m,
                last.angle + part.angle,
                min(last.radius_m, part.radius_m),
            )
        else:
            found.append(part)
    return tuple(turn for turn in _without_swings(found) if abs(turn.angle) >= least - ALIKE)


def _without_swings(turns: list[Turn]) -> list[Turn]:
    """Turns to one hand that are parted only by a slight swing to the other are one."""
    kept: list[Turn] = []
    for turn in turns:
        if abs(turn.angle) < A_SWING:
            continue
        if kept and kept[-1].hand == turn.hand:
            last = kept.pop()
            radius = min(last.radius_m, turn.radius_m)
            turn = Turn(last.begin_m, turn.end_m, last.angle + turn.angle, radius)
        kept.append(turn)
    return kept


A_SWING = riding().turns.a_swing.value
"""Less than this on the way round is steering, not a turn."""


def _bent(piece: CurvePiece, at: float) -> Turn | None:
    """The part of a piece that is bent more than NEARLY_STRAIGHT, with all that it turns."""
    sharpest = max(abs(piece.k0), abs(piece.k1))
    if sharpest <= NEARLY_STRAIGHT or piece.k0 * piece.k1 < 0:
        return None
    begin, end = at, at + piece.length
    if abs(piece.k0) < NEARLY_STRAIGHT:
        begin += piece.length * (NEARLY_STRAIGHT - abs(piece.k0)) / (sharpest - abs(piece.k0))
    if abs(piece.k1) < NEARLY_STRAIGHT:
        end -= piece.length * (NEARLY_STRAIGHT - abs(piece.k1)) / (sharpest - abs(piece.k1))
    return Turn(begin, end, piece.turn, 1 / sharpest)
