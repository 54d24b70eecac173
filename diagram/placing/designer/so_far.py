"""What stands so far in a beam, and what is tried to be put down next."""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from diagram.geometry.curve import Floats
from diagram.placing.designer.term import Near
from diagram.placing.designer.views import Tracks
from diagram.solver.rows import Ints


class SoFar(Struct, frozen=True):
    """Arrangements of the pieces put down so far: numbers of states (K, pieces), the cost of places
    and turns (K,), that of the terms that only grow (K,), what of that is a sum over pairs (K,),
    places along the turns, and how near all comes to each fence."""

    chosen: Ints
    so_far: Floats
    grown: Floats
    summed: Floats
    tracks: Tracks
    near: Near

    def __len__(self) -> int:
        return len(self.chosen)

    def picked(self, which: Ints) -> SoFar:
        """Some of them, by number."""
        tracks = {number: places[which] for number, places in self.tracks.items()}
        return SoFar(
            self.chosen[which], self.so_far[which], self.grown[which], self.summed[which], tracks,
            self.near.picked(which),
        )  # fmt: skip

    @classmethod
    def joined(cls, parts: list[SoFar]) -> SoFar:
        """The arrangements of some, one after another."""
        return cls(
            np.concatenate([p.chosen for p in parts]), np.concatenate([p.so_far for p in parts]),
            np.concatenate([p.grown for p in parts]), np.concatenate([p.summed for p in parts]),
            {n: np.concatenate([p.tracks[n] for p in parts]) for n in parts[0].tracks},
            Near.joined([p.near for p in parts]),
        )  # fmt: skip


class NextPiece(Struct, frozen=True):
    """One more piece, put down to arrangements of a beam: numbers of `parent` and `state` (N,),
    what that costs, and what the whole then costs at least."""

    parent: Ints
    state: Ints
    step: Floats
    promise: Floats

    def __len__(self) -> int:
        return len(self.parent)

    def picked(self, which: Ints) -> NextPiece:
        """Some of them, by number."""
        return NextPiece(
            self.parent[which], self.state[which], self.step[which], self.promise[which]
        )

    def put_down(self, beam: SoFar) -> SoFar:
        """The arrangements with that piece."""
        own = beam.picked(self.parent)
        chosen = np.concatenate([own.chosen, self.state[:, None]], axis=1)
        return replace(own, chosen=chosen, so_far=own.so_far + self.step)
