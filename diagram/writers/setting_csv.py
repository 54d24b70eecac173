"""The setting-out sheet as CSV: the same readings as on paper, and the exact ones beside them.

One table; the column `record` says what a row is. A `point` is a fixed point of the arena, a
`landmark` a stretch of its rail that the words "towards ..." refer to, a `foot` has both ways
to it (a `standing` one is there already), a `line` is a distance to check. The builder's leaf,
line by line: a `fence` in the order of setting with its poles and spread, a `peg` on a side, a
`tape` that sets a fence and a `check`. Metres have four decimals; the columns without a unit in
their name are as printed.
"""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterable, Iterator

from diagram.stakeout.setting import FenceSetting, FootSetting, SettingOut
from diagram.stakeout.sides import landmarks
from diagram.stakeout.texts import change, error, reading, steps
from diagram.survey.form import form_tapes
from diagram.writers.files import legal_text

COLUMNS = (
    "record", "step", "fence", "name", "x_m", "y_m", "x2_m", "y2_m",
    "tape_1_from", "tape_1", "tape_1_m", "tape_1_exact_m",
    "tape_2_from", "tape_2", "tape_2_m", "tape_2_exact_m", "towards", "angle_deg",
    "along_side", "along_from", "along", "along_m", "along_exact_m",
    "out", "out_m", "out_exact_m", "along_steps", "out_steps",
    "better", "off_by", "off_by_m", "tapes_off_by_m", "offset_off_by_m",
    "from", "to", "reads", "reads_m", "exact_m", "track_m", "strides",
    "rounding_makes_it", "rounding_m", "at_most_m",
    "order", "word", "how", "poles_m", "spread_m", "rows", "row", "within_m",
)  # fmt: skip

Row = dict[str, str]

FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""A cell that begins so is run as a formula by spreadsheets; a name from a file may."""


def csv_bytes(setting: SettingOut) -> bytes:
    """The table as UTF-8."""
    return _table(COLUMNS, _rows(setting))


def template_bytes(setting: SettingOut) -> bytes:
    """A table of the distances worth reading once everything stands, their readings empty."""
    crew = setting.crew
    pairs = form_tapes(setting.plan, crew.tape_length, crew.tape_error)
    rows = ({"from": start, "to": end, "metres": ""} for start, end in pairs)
    return _table(("from", "to", "metres"), rows)


def _table(columns: tuple[str, ...], rows: Iterable[Row]) -> bytes:
    out = io.StringIO()
    writer = csv.DictWriter(out, columns, restval="", lineterminator="\n")
    writer.writeheader()
    for row in rows:
        writer.writerow({key: _cell(value) for key, value in row.items()})
    return out.getvalue().encode("utf-8")


def _cell(text: str) -> str:
    plain = legal_text(text)
    is_number = plain[1:2].isdigit() and plain[:1] == "-"
    return f"'{plain}" if plain.startswith(FORMULA) and not is_number else plain


def _m(value: float) -> str:
    return f"{round(value, 4) + 0.0:.4f}"


def _rows(setting: SettingOut) -> Iterator[Row]:
    for name, (x, y) in setting.fixed.items():
        yield {"record": "point", "name": name, "x_m": _m(x), "y_m": _m(y)}
    for name, ((x, y), (x2, y2)) in landmarks(setting.plan.arena).items():
        yield {
            "record": "landmark", "name": name,
            "x_m": _m(x), "y_m": _m(y), "x2_m": _m(x2), "y2_m": _m(y2),
        }  # fmt: skip
    for name, (x, y) in setting.standing.items():
        yield {"record": "standing", "name": name, "x_m": _m(x), "y_m": _m(y)}
    for fence in setting.fences:
        for foot in fence.feet:
            yield _foot(fence, foot, setting)
    for one in setting.lines:
        line = one.line
        yield {
            "record": "line", "from": line.start.fence, "to": line.end.fence,
            "reads": reading(line.straight_m, setting.crew), "exact_m": _m(line.straight_m),
            "track_m": _m(line.track_m),
            "strides": "" if line.strides is None else str(line.strides),
            "rounding_makes_it": change(one.as_set_m, setting.crew),
            "rounding_m": _m(one.as_set_m), "at_most_m": _m(one.most_m),
        }  # fmt: skip
    yield from _leaf(setting)


def _leaf(setting: SettingOut) -> Iterator[Row]:
    """The builder's leaf: each fence, its new pegs and its tapes; then the checks."""
    crew = setting.crew
    for number, fence in enumerate(setting.leaf.fences, 1):
        own = {"order": str(number), "fence": fence.name}
        yield own | {
            "record": "fence", "how": fence.how, "row": fence.feet[0].rpartition(" ")[2],
            "poles_m": _m(fence.placed.fence.measures.width_m),
            "spread_m": _m(fence.placed.fence.depth_m),
            "rows": str(len(fence.placed.fence.parts.planes)), "off_by_m": _m(fence.error_m),
        }  # fmt: skip
        for peg in fence.pegs:
            yield own | {
                "record": "peg", "name": peg.name, "along_side": peg.side, "along_from": peg.start,
                "from": peg.zero, "along": reading(peg.metres, crew), "along_m": _m(peg.metres),
            }  # fmt: skip
        for tape in fence.readings:
            if tape.word == "along":
                continue
            for n, end in enumerate(tape.ends):
                yield own | {
                    "record": "tape", "word": tape.word, "from": tape.start, "to": end,
                    "towards": fence.towards[end],
                    "reads": reading(tape.read_m[n], crew), "reads_m": _m(tape.read_m[n]),
                    "exact_m": _m(tape.exact_m[n]),
                }  # fmt: skip
    for check in setting.leaf.checks:
        yield {
            "record": "check", "from": check.start.name, "to": check.end.name, "fence": check.off,
            "reads": reading(check.read_m, crew), "reads_m": _m(check.read_m),
            "exact_m": _m(check.exact_m), "within_m": _m(check.within_m),
            "off_by_m": _m(check.error_m),
            "strides": "" if check.strides is None else str(check.strides),
        }  # fmt: skip


def _foot(fence: FenceSetting, foot: FootSetting, setting: SettingOut) -> Row:
    ways, crew = foot.ways, setting.crew
    tapes = ways.tapes
    row = {
        "record": "foot", "step": str(fence.step), "fence": fence.name, "name": ways.foot.name,
        "tape_1_from": tapes.first, "tape_1": reading(foot.tapes[0], crew),
        "tape_1_m": _m(foot.tapes[0]), "tape_1_exact_m": _m(tapes.first_m),
        "tape_2_from": tapes.second, "tape_2": reading(foot.tapes[1], crew),
        "tape_2_m": _m(foot.tapes[1]), "tape_2_exact_m": _m(tapes.second_m),
        "towards": tapes.towards, "angle_deg": f"{math.degrees(tapes.angle):.1f}",
        "better": "two tapes" if ways.best == "tapes" else "along and out",
        "off_by": error(ways.error_m, crew), "off_by_m": _m(ways.error_m),
        "tapes_off_by_m": _m(tapes.error_m),
    }  # fmt: skip
    if ways.offset is not None and foot.offset is not None:
        along, out = foot.offset
        row |= {
            "along_side": ways.offset.side, "along_from": ways.offset.zero,
            "along": reading(along, crew), "along_m": _m(along),
            "along_exact_m": _m(ways.offset.along_m), "along_steps": steps(along),
            "out": reading(out, crew), "out_m": _m(out),
            "out_exact_m": _m(ways.offset.out_m), "out_steps": steps(out),
            "offset_off_by_m": _m(ways.offset.error_m),
        }  # fmt: skip
    return row
