"""The pages of a site: the list, what the list's search looks through, and one page each."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from markupsafe import Markup

from diagram.library import said
from diagram.library.collection import Library
from diagram.library.entry import Entry
from diagram.library.folding import fold, stem_in_ascii
from diagram.library.search import buildable
from diagram.library.templates import asset, carried_style, fonts, page, script_value
from diagram.model.library_keys import SUITS
from diagram.plain import counted
from diagram.style import phase_pen
from diagram.units import FOOT, Units

Values = dict[str, Any]
CAUTION = (
    "Not a substitute for a qualified person in the ring. Distances are where to begin: footing, "
    "slope and the horse in front of you decide. The rules of your federation come before this."
)
HEIGHTS_CM = (46, 61, 69, 76, 84, 91, 99, 107)
"""1'6", 2', 2'3" to 3'6": what lists offer. A fence counts as no higher within a centimetre."""
MOST_PHASES = 36


def site_pages(
    library: Library, values: Mapping[str, Values], units: Units, *, catalogue: bool = False,
    one_file: bool = False,
) -> Iterator[tuple[str, bytes]]:  # fmt: skip
    """Every page, script, style and font with its path, one after another. `values` are those of
    each exercise; `catalogue` says that there is one to link, `one_file` adds each page once more
    in one file."""
    entries = [entry for entry in library.entries if entry.stem in values]
    rows = {e.stem: _row(e, values[e.stem], units) for e in entries}
    made_by = _made_by(library)
    sections = _sections(library, entries, rows)
    arenas = sorted({entry.arena for entry in entries})
    yield "index.html", page(
        "index.html", up="", title=library.about.title, sentence=_sentence(library, entries),
        catalogue=catalogue, groups=sections, heights=_heights(units), arenas=arenas,
        stores=[store.name for store in library.stores],
        suits=SUITS, metric=units == "metres", number=counted(len(entries), "exercise"),
        made_by=made_by, caution=CAUTION,
    )  # fmt: skip
    yield "list.js", _list(library, entries, arenas).encode()
    yield "site.js", asset("site.js")
    yield "site.css", asset("site.css")
    yield from fonts().items()
    pens = [_pen(n) for n in range(MOST_PHASES)]
    by_group = {section["word"]: section for section in sections}
    for entry in entries:
        links = library.links
        name = stem_in_ascii(entry.stem)
        shared: Values = {
            "row": rows[entry.stem], "page": _fresh(values[entry.stem]),
            "figures": _figures(entry, units), "pens": pens, "caution": CAUTION, "made_by": made_by,
            "group": by_group.get(entry.main or said.NO_GROUP), "up": "../", "one_file": one_file,
        }  # fmt: skip
        yield f"exercises/{name}.html", page(
            "exercise.html", **shared,
            before=[rows[stem] for stem in links.before[entry.stem] if stem in rows],
            after=[rows[stem] for stem in links.after[entry.stem] if stem in rows],
        )  # fmt: skip
        if one_file:
            style, policy = carried_style()
            yield (
                f"one-file/{name}.html",
                page(
                    "exercise.html",
                    **shared,
                    before=[],
                    after=[],
                    style=Markup(style),
                    policy=policy,
                ),
            )


def _fresh(values: Values) -> Values:
    """The values with the drawings as markup: they are our own, everything else is escaped."""
    rides = [
        ride | {"wide": Markup(ride["wide"]), "tall": Markup(ride["tall"])}
        for ride in values["rides"]
    ]
    return {"card_kb": 0} | values | {"rides": rides}


def _row(entry: Entry, values: Values, units: Units) -> Values:
    return {
        "name": stem_in_ascii(entry.stem),
        "title": entry.title,
        "purpose": entry.purpose,
        "height": said.heights(entry, units),
        "jumps": entry.jumps,
        "minutes": entry.minutes,
        "carry": said.carried(entry),
        "ring": said.smallest_ring(entry, units),
        "teaches": ", ".join(entry.teaches or entry.skills) or "not said",
        "scenario": entry.scenario,
        "small": values["small"],
    }


def _sections(library: Library, entries: list[Entry], rows: dict[str, Values]) -> list[Values]:
    """Every group in its order, with how many teach it, and the rows filed under it."""
    order = (*library.about.groups, *(g for g in library.groups if g not in library.about.groups))
    return [
        {
            "id": stem_in_ascii(group or said.NO_GROUP),
            "word": group or said.NO_GROUP,
            "title": said.group_title(group),
            "number": sum(group in (e.teaches or ("",)) for e in entries),
            "rows": [rows[e.stem] for e in entries if e.main == group],
        }
        for group in order
    ]


def _figures(entry: Entry, units: Units) -> list[Values]:
    pairs = [
        (said.heights(entry, units), "fences"),
        (str(entry.jumps), "jump" if entry.jumps == 1 else "jumps"),
        (str(entry.minutes or ""), "minutes"),
        (str(entry.riders or ""), "riders, up to"),
        ("yes" if entry.two_groups else "", "two groups at once"),
        (said.smallest_ring(entry, units), "ring, at least"),
        (said.carried(entry), "to carry"),
    ]
    return [{"says": figure, "what": what} for figure, what in pairs if figure not in ("", "0")]


def _list(library: Library, entries: list[Entry], arenas: list[str]) -> str:
    """What the script looks through, in the order of the rows on the page."""
    groups = (*library.about.groups, *(g for g in library.groups if g not in library.about.groups))
    shown = [e for group in groups for e in entries if e.main == group]
    place = {group: n for n, group in enumerate(groups)}
    listed = [
        {
            "t": fold(entry.title),
            "w": entry.words,
            "g": [place[g] for g in entry.teaches or ("",)],
            "h": [round(height * 100) for height in entry.heights],
            "m": entry.minutes,
            "p": entry.pieces.poles,
            "n": entry.pieces.pairs,
            "r": entry.riders,
            "a": arenas.index(entry.arena),
            "s": [SUITS.index(word) for word in entry.suits],
            "t2": int(entry.two_groups),
            "f": [list(rectangle) for rectangle in entry.fits],
            "b": [n for n, store in enumerate(library.stores) if buildable(entry, store)],
        }
        for entry in shown
    ]
    words = [group or said.NO_GROUP for group in groups]
    return script_value("GROUPS", words) + script_value("LIST", listed)


def _heights(units: Units) -> list[Values]:
    return [
        {"value": cm + 1, "word": f"{cm} cm" if units == "metres" else _feet(cm)}
        for cm in HEIGHTS_CM
    ]


def _feet(cm: int) -> str:
    """``2'6"``: to the nearest inch, as heights are called."""
    inches = round(cm / 100 / FOOT * 12)
    return f"{inches // 12}'" + (f'{inches % 12}"' if inches % 12 else "")


def _pen(phase: int) -> Values:
    pen = phase_pen(phase)
    return {"colour": pen.colour, "dash": " ".join(f"{length:g}" for length in pen.dash)}


def _sentence(library: Library, entries: list[Entry]) -> str:
    about = library.about.about or "Jumping exercises, each with a plan to scale."
    return f"{counted(len(entries), 'exercise')}. {about} All small drawings are to one scale."


def _made_by(library: Library) -> str:
    about = library.about
    parts = [
        f"By {', '.join(about.authors)}." if about.authors else "",
        f"Licence: {about.licence}." if about.licence else "",
        f"{about.scenario}." if about.scenario else "",
    ]
    return " ".join(part for part in parts if part).replace("..", ".")
