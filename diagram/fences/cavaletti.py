"""Cavaletti: a pole raised a hand or two off the ground on blocks that let it roll.

Never one whose pole is fixed to its ends: it does not give. Raised at one end only, as in a fan,
the other end lies on the ground.
"""

from diagram.fences.kind import FillerBox, Kind, Measures, Parts, across

BLOCK_M = 0.4


def _build(m: Measures) -> Parts:
    bars = (across("pole", 0.0, m.width_m, m.height_m),)
    if m.raised == "both ends":
        return Parts(bars, planes=(0.0,))
    end = m.width_m / 2 * (1 if m.raised == "left" else -1)
    half = BLOCK_M / 2
    block = FillerBox("block", (-half, end - half), (half, end + half))
    return Parts(bars, (block,), planes=(0.0,))


KIND = Kind(
    name="cavaletti",
    facts="raised pole",
    build=_build,
    measures=frozenset({"height", "poles", "raised"}),
    also=("raised pole", "cavalletti"),
    seen="A low pole on its own feet.",
)
