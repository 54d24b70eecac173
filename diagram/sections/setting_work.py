"""What comes before the first tape: the order of work, the points it begins at, the equipment."""

from __future__ import annotations

import math
from collections.abc import Sequence

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Table

from diagram.sections.page import Page
from diagram.sections.paragraphs import item, paragraph, part, ruled, soft, words
from diagram.stakeout.choosing import along_and_out
from diagram.stakeout.equipment import pole_text
from diagram.stakeout.moving import Job
from diagram.stakeout.setting import FenceSetting, SettingOut
from diagram.stakeout.texts import change, error, reading, steps
from diagram.style import GREY, LABEL, PALE, points
from diagram.units import FOOT

TEXT = points(10)


def work(setting: SettingOut, page: Page) -> list[Flowable]:
    """The order of work as a numbered list, and what walking it takes."""
    out = part("Order of work")
    crew = setting.crew
    people = {1: "One person", 2: "Two people", 3: "Three people"}.get(
        crew.people, f"{crew.people} people"
    )
    hands = "one holds each tape at its point, the third brings them together"
    if crew.people == 2:
        hands = "hook both tapes in; one pulls them together, the other reads and sets the foot"
    elif crew.people == 1:
        hands = "hook both tapes in and pull them together"
    if setting.after is not None:
        now = f"In the arena stands “{setting.after.definition.title}”; only what changes is here."
        out.append(paragraph(words(now, "semibold"), TEXT))
    walk = setting.walk
    saved = walk.as_written_m - walk.metres
    said = (
        f"{people}: {hands}. Equipment comes from the {walk.store_name}. Walking and carrying in "
        f"this order: about {_about(walk.metres, setting)}"
    )
    said += (
        f", {_about(saved, setting)} less than in the order of the file."
        if saved >= 5
        else "; no order takes less."
    )
    out.append(paragraph(words(said), TEXT))
    out.append(
        paragraph(
            words(
                f"Tapes of {reading(crew.tape_length, crew)}, each reading good to "
                f"{error(crew.tape_error, crew)}. Readings are rounded to "
                f"{_step(setting)}. “Off by” is how far a place is likely to be missed."
            ),
            TEXT,
        )
    )
    rows = [[paragraph(soft(head), LABEL) for head in ("Step", "Fence", "Bring", "Off by")]]
    rows += _job_rows(setting) if setting.change else _fence_rows(setting)
    shares = (14, 50, 190, 23)
    out.append(_grid(rows, shares, page))
    for name, notes in (setting.change.altered if setting.change else {}).items():
        out.append(item(words(f"{name} stays: {'; '.join(notes)}."), TEXT))
    for name in setting.change.stays if setting.change else ():
        if setting.change and name not in setting.change.altered:
            out.append(item(words(f"{name} stays as it is."), TEXT))
    return out


def _about(metres: float, setting: SettingOut) -> str:
    """A long walk in round figures."""
    if setting.crew.units == "metres":
        return f"{round(metres, -1):,.0f} m"
    return f"{round(metres / FOOT, -1):,.0f} ft"


def _step(setting: SettingOut) -> str:
    crew = setting.crew
    return reading(crew.rounding, crew) if crew.units != "metres" else f"{crew.rounding * 100:g} cm"


def _off(fence: FenceSetting, setting: SettingOut) -> str:
    """The expected error of a fence, and whether its tapes can be trusted."""
    return error(fence.error_m, setting.crew) + (" weak" if fence.weak else "")


def _fence_rows(setting: SettingOut) -> list[list[Flowable]]:
    return [
        _cells(
            str(f.step), f.name, ", ".join(f.equipment.words(setting.crew.units)),
            _off(f, setting),
        )
        for f in setting.fences
    ]  # fmt: skip


def _job_rows(setting: SettingOut) -> list[list[Flowable]]:
    errors = {f.name: _off(f, setting) for f in setting.fences}
    pieces = {f.name: f.equipment for f in setting.fences}
    rows = []
    for number, job in enumerate(setting.jobs, 1):
        bring = _job(job, setting)
        if job.fence:
            bring += f": {', '.join(pieces[job.fence].words(setting.crew.units))}"
        rows.append(_cells(str(number), job.fence or job.old, bring, errors.get(job.fence, "")))
    return rows


def _job(job: Job, setting: SettingOut) -> str:
    store = setting.walk.store_name
    if job.what == "clear":
        return f"carry what is left of {job.old} away to the {store}"
    if job.what == "move":
        return f"from {job.old}, {job.rest} from the {store}" if job.rest else f"from {job.old}"
    return f"from the {store}"


def _cells(*texts: str) -> list[Flowable]:
    return [
        paragraph(words(text, "bold" if n == 1 else "regular"), TEXT)
        for n, text in enumerate(texts)
    ]


def _grid(rows: list[list[Flowable]], shares: Sequence[float], page: Page) -> Table:
    scale = page.inner_width * mm / sum(shares)
    return Table(
        rows,
        colWidths=[share * scale for share in shares],
        repeatRows=1,
        style=ruled(("GRID", (0, 0), (-1, -1), 0.4, GREY), ("BACKGROUND", (0, 0), (-1, 0), PALE)),
    )


def points_list(setting: SettingOut, page: Page) -> list[Flowable]:
    """The arena as the sheet takes it to be, and where every point is that a tape begins at."""
    del page
    crew, arena = setting.crew, setting.plan.arena
    sides = ", ".join(f"{n} {reading(math.dist(a, b), crew)}" for n, (a, b) in arena.sides.items())
    out = part("Points the tapes begin at")
    said = (
        f"Inside the rail: {sides}. A corner is named by the two sides that meet in it. Tape one "
        "side before you begin: if the arena is another, so is every reading."
    )
    out.append(paragraph(words(said), TEXT))
    corners = set(arena.region.corners)
    texts = []
    # The gate is named as a direction even where no tape begins at its posts.
    gate = {name: at for name, at in setting.fixed.items() if name.startswith("gate post")}
    for name, at in {**setting.used_points(), **gate}.items():
        way = along_and_out(at, arena, crew)
        if at in corners or way is None:
            continue
        text = f"{name}: {reading(way.along_m, crew)} along {way.side} from {way.zero}"
        texts.append(text + (f", {reading(way.out_m, crew)} out" if way.out_m > 0.05 else ""))
    if texts:
        out.append(paragraph(words(f"{'; '.join(texts)}."), TEXT))
    return out


def lines(setting: SettingOut, page: Page) -> list[Flowable]:
    """Each line, and what rounding does to it."""
    if not setting.lines:
        return []
    crew = setting.crew
    heads = (
        "Line",
        "Strides",
        "Tape, base to base",
        "Steps",
        "Track",
        "Rounding makes it",
        "At most",
    )
    rows = [[paragraph(soft(head), LABEL) for head in heads]]
    for one in setting.lines:
        line = one.line
        rows.append(
            _cells(
                "",
                line.name,
                str(line.strides if line.strides is not None else ""),
                reading(line.straight_m, crew),
                steps(line.straight_m),
                reading(line.track_m, crew) if line.bend else "straight",
                change(one.as_set_m, crew),
                change(one.most_m, crew),
            )[1:]
        )
    note = (
        "“Rounding makes it” is what the rounded readings do to the line when every fence is set "
        "the better way; “at most” whichever way each is set."
    )
    return [
        *part("Lines, to be taped before a horse goes"),
        _grid(rows, (60, 20, 45, 40, 35, 42, 35), page),
        paragraph(soft(note), LABEL),
    ]


def equipment(setting: SettingOut, page: Page) -> list[Flowable]:
    """Everything together, against the store."""
    del page
    units = setting.crew.units
    out = part("Equipment in all")
    ground = setting.total.ground_lines
    text = ", ".join(setting.total.words(units))
    if ground:
        text += (
            f". {ground} of the poles {'is a ground line' if ground == 1 else 'are ground lines'}"
        )
    out.append(paragraph(words(f"{text}."), TEXT))
    for swap in setting.stand_ins:
        asked, used = pole_text(swap.asked_mm, units), pole_text(swap.used_mm, units)
        said = (
            f"The store has too few poles of {asked}: {swap.fence} is built with poles of {used}, "
            "and every place on this sheet is for those."
        )
        out.append(item(words(said, "semibold"), TEXT))
    for lack in setting.shortages:
        said = f"Not enough {lack.what}: {lack.needed} needed, {lack.owned} in the store. Instead: "
        said += f"{lack.instead}."
        out.append(item(words(said, "bold"), TEXT))
    if setting.store is None:
        out.append(
            paragraph(soft("Not checked: there is no store.yaml beside the exercise."), LABEL)
        )
    elif not setting.shortages:
        out.append(paragraph(soft("The store has all that it lists of this."), LABEL))
    return out
