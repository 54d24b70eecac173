"""Read a stride table from its file.

Keys of the file:

``table``            its name, as printed
``source``           where its figures come from
``units``            feet or metres: what its texts are printed in
``horses``           the size or sizes it is for, where a block does not say (horse)
``normal stride``    one stride for a horse, or one for each size
``low fences``       ``shorten`` where low fences and poles take something off
``short end below``  a height under which the short end of each range is meant
``distances``        count of strides to distance, or a list of blocks

Keys of a block, all but the last optional, each narrowing what the block is for:

``horses``   a size or a list of sizes (horse, large pony, medium pony, small pony)
``stride``   one stride, or the range of strides it serves
``height``   of the fences; between two heights the program interpolates
``from``, ``to``  vertical, spread, triple bar, cross-rail, any fence; pole, raised pole,
             placing pole, any pole
``gait in``  walk, trot or canter (canter when left out)
``gaps``     of a grid: ``1``, ``2``, ``3 and on``
``aim``      ``middle`` of a range (when left out), ``short end``, or ``by stride``: the
             shortest stride at the short end, the longest at the long end
``also``     what other sources say: a list of ``strides``, ``source``, ``note``
``source``, ``note``
``strides``  count to distance; a distance may be written out as ``distance``, ``source``,
             ``note``
"""

from __future__ import annotations

from types import MappingProxyType
from typing import Literal

from msgspec import Struct

from diagram.source import Document, Mapping, Node, Scalar, Sequence
from diagram.trade.figures import Figure
from diagram.trade.horses import usual_stride
from diagram.trade.reading import Reader, first_line
from diagram.trade.stride_tables import Aim, StrideTable, TableEntry
from diagram.trade.table_cells import is_count, read_also, read_cells
from diagram.trade.words import (
    FENCES,
    LONGEST_STRIDE,
    POLES,
    SHORTEST_STRIDE,
    SIZES,
    UNITS,
    UPRIGHT,
    WIDE,
    Gait,
    Group,
    Size,
    call,
)
from diagram.units import UnitError, parse_length, parse_length_range

_TOP = (
    "table", "source", "units", "horses", "normal stride", "low fences", "short end below",
    "distances",
)  # fmt: skip
_BLOCK = (
    "horses", "stride", "height", "from", "to", "gait in", "gaps", "aim", "also",
    "source", "note", "strides",
)  # fmt: skip

KindWord = Literal[
    "vertical", "spread", "triple bar", "cross-rail", "pole", "raised pole", "placing pole",
    "any fence", "any pole",
]  # fmt: skip
_KINDS: dict[KindWord, tuple[Group, ...]] = {
    "vertical": UPRIGHT,
    "spread": WIDE,
    "triple bar": ("triple bar",),
    "cross-rail": ("cross-rail",),
    "pole": ("pole",),
    "raised pole": ("raised pole",),
    "placing pole": ("placing pole",),
    "any fence": FENCES,
    "any pole": POLES,
}
_GAITS: tuple[Gait, ...] = ("walk", "trot", "canter")
_AIMS: tuple[Aim, ...] = ("middle", "short end", "by stride")
_LOW: tuple[Literal["shorten", "as listed"], ...] = ("shorten", "as listed")

MOST_GAPS = 999


class _Whole(Struct, frozen=True):
    """What the top of the file says for every block."""

    source: str
    sizes: tuple[Size, ...]
    normal: dict[Size, Figure]


def read_table(document: Document) -> StrideTable:
    """The table that stands in `document`. Raises RejectedError with every problem found."""
    reader = Reader(document)
    top = reader.fields(document.root, "a stride table", _TOP, ("table", "distances"))
    name = reader.text(top.get("table"))
    source = reader.text(top.get("source"), f"own table: {name}")
    units = reader.word(top.get("units"), "unit", UNITS)
    normal = _normal_strides(reader, top.get("normal stride"), source)
    low = reader.word(top.get("low fences"), "rule", _LOW)
    below = top.get("short end below")
    whole = _Whole(source, _sizes(reader, top.get("horses"), ("horse",)), dict(normal))
    by_strides: dict[int, tuple[TableEntry, ...]] = {}
    asked: set[tuple[object, ...]] = set()
    for block in _blocks(top.get("distances")):
        for entry in _read_block(reader, block, whole):
            _refuse_twin(reader, asked, entry, block)
            asked.add(_question(entry))
            by_strides[entry.strides] = (*by_strides.get(entry.strides, ()), entry)
    if not by_strides and not reader.problems:
        reader.refuse(
            "no-distances", "the table has no distances", document.span_at(("distances",))
        )
    below_m = reader.measure(below, parse_length, 0.0) if below else None
    reader.finish()
    return StrideTable(
        name=name,
        units=units or "metres",
        source=source,
        normal_strides=normal,
        low_fences_shorten=low == "shorten",
        short_end_below_m=below_m,
        by_strides=MappingProxyType(dict(sorted(by_strides.items()))),
    )


def _normal_strides(
    reader: Reader, node: Node | None, source: str
) -> tuple[tuple[Size, Figure], ...]:
    stated: dict[Size, Figure] = {}
    if isinstance(node, Scalar):
        stated["horse"] = Figure(reader.measure(node, _canter_stride, 1.0), source)
    elif node is not None:
        for key, value in reader.entries(node, "normal stride"):
            size = reader.word(key, "size", SIZES)
            if size:
                stated[size] = _stride_figure(reader, value, source)
    return tuple((size, stated.get(size) or usual_stride(size)) for size in SIZES)


def _canter_stride(text: str) -> float:
    stride = parse_length(text)
    if not SHORTEST_STRIDE <= stride <= LONGEST_STRIDE:
        raise UnitError(f"no horse has a canter stride of {text}", "a horse's is about 12'")
    return stride


def _stride_figure(reader: Reader, node: Node, source: str) -> Figure:
    if isinstance(node, Scalar):
        return Figure(reader.measure(node, _canter_stride, 1.0), source)
    found = reader.fields(node, "a stride", ("value", "source", "note"), ("value",))
    value = reader.measure(found.get("value"), _canter_stride, 1.0)
    own = reader.text(found.get("source"), source)
    return Figure(value, own, reader.text(found.get("note")))


def _blocks(node: Node | None) -> tuple[Node, ...]:
    """The blocks under ``distances``. A plain list of counts is one block without limits."""
    if isinstance(node, Sequence):
        return node.items
    if isinstance(node, Mapping):
        start = node.span
        return (Mapping(((Scalar("strides", start), node),), start),)
    return (node,) if node else ()


def _read_block(reader: Reader, block: Node, whole: _Whole) -> list[TableEntry]:
    found = reader.fields(block, "a block", _BLOCK, ("strides",))
    sizes = _sizes(reader, found.get("horses"), whole.sizes)
    stride = _stride(reader, found.get("stride"), sizes, whole.normal)
    gait = reader.word(found.get("gait in"), "gait", _GAITS)
    aim = reader.word(found.get("aim"), "aim", _AIMS)
    height = reader.measure(found["height"], parse_length, 0.0) if "height" in found else None
    first, second = _kinds(reader, found.get("from")), _kinds(reader, found.get("to"))
    gaps = _gaps(reader, found.get("gaps"))
    also = read_also(reader, found.get("also"))
    source = reader.text(found.get("source"), whole.source)
    note = reader.text(found.get("note"))
    return [
        TableEntry(
            strides=cell.strides,
            low_m=cell.low_m,
            high_m=cell.high_m,
            source=cell.source,
            note=cell.note,
            sizes=sizes,
            stride_low_m=stride[0],
            stride_high_m=stride[1],
            height_m=height,
            first=first,
            second=second,
            by_kind="from" in found or "to" in found,
            gait_in=gait or "canter",
            gaps=gaps,
            aim=aim or "middle",
            also=tuple(also.get(cell.strides, ())),
        )
        for cell in read_cells(reader, found.get("strides"), source, note)
    ]


def _sizes(reader: Reader, node: Node | None, usual: tuple[Size, ...]) -> tuple[Size, ...]:
    words = [reader.word(item, "size", SIZES) for item in reader.items(node)]
    return tuple(word for word in words if word) or usual


def _stride(
    reader: Reader, node: Node | None, sizes: tuple[Size, ...], normal: dict[Size, Figure]
) -> tuple[float, float]:
    strides = [normal[size].value for size in sizes]
    usual = (min(strides), max(strides))
    return reader.measure(node, parse_length_range, usual)


def _kinds(reader: Reader, node: Node | None) -> tuple[Group, ...]:
    word = reader.word(node, "kind of fence", tuple(_KINDS))
    return _KINDS[word] if word else FENCES


def _gaps(reader: Reader, node: Node | None) -> tuple[int, int] | None:
    if node is None:
        return None
    text = reader.text(node)
    number, _, rest = text.partition(" ")
    if is_count(number, MOST_GAPS) and rest in ("", "and on"):
        return int(number), MOST_GAPS if rest else int(number)
    reader.refuse("not-a-gap", f'"{text}" is no gap of a grid', node.span, "write 1 or 3 and on")
    return None


def _refuse_twin(
    reader: Reader, asked: set[tuple[object, ...]], entry: TableEntry, block: Node
) -> None:
    """Two blocks that answer the same question leave it open which one is meant."""
    # Once a key is misread, two blocks may look alike that are not.
    if _question(entry) in asked and not reader.problems:
        message = f"{call(entry.strides)} stands in two blocks for the same horses and fences"
        reader.refuse("strides-twice", message, first_line(block.span), "tell them apart")


def _question(entry: TableEntry) -> tuple[object, ...]:
    """What an entry is for, without its answer."""
    return (
        entry.strides, entry.sizes, entry.stride_low_m, entry.stride_high_m, entry.height_m,
        entry.first, entry.second, entry.gait_in, entry.gaps,
    )  # fmt: skip
