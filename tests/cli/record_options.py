"""Every option of the commands of lessons and of the record, and what each is tried with."""

from __future__ import annotations

Words = tuple[str, ...]
PAPERS = (("a4",), ("letter",), ("a3",), ("tabloid",))
UNITS = (("feet",), ("metres",), ("both",))
LESSON = """\
tapeline lesson: 1
title: Two lines tonight
time: 18:00-19:00
arena: 30 x 60 m
goals: [straightness]
groups: {A: {riders: 2, horses: horse, height: 2'6"}}
run:
  - group: A
  - warm up: 15 min
  - exercise: free
  - cool down: 10 min
"""
STEP = "steps/from-2ft6-to-2ft9.yaml"
DATE = "2026-03-02"
OPTIONS: dict[str, dict[str, tuple[Words, ...]]] = {
    "lesson check": {},
    "lesson plan": {"--from": (("lib", "--to", "p.yaml"),), "--to": (("p.yaml", "--from", "lib"),)},
    "lesson print": {
        "--to": (("out.pdf",),), "--force": (("--to", "old.pdf"),), "--units": UNITS,
        "--paper": PAPERS,
    },
    "observe": {
        "--pair": (("Ida, Bramble",), ("Ida, Bramble", "--pair", "Jonas, Comet")),
        "--ride": (("first",),), "--group": (("A",),),
        "--height": (("2'",),), "--rounds": (("2",),),
        "--blank": (("2",),), "--big": ((),), "--ask": (("2=6",), ("3=2'9\"",)),
        "--timed": (("2",),), "--step": ((STEP,),), "--on": ((DATE,),), "--to": (("o.pdf",),),
        "--record": (("new.sqlite",),), "--units": UNITS[:2], "--paper": PAPERS,
    },
    "readiness": {
        "--step": ((STEP,),), "--on": ((DATE,),),
        "--for": (("trainer",), ("parent",)),
        "--library": (("lib",),),
        "--arena": (("20 x 40 m", "--library", "lib"),), "--text": ((),),
        "--to": (("page.pdf",),),
        "--record": (("r.sqlite",),), "--units": UNITS[:2], "--paper": PAPERS,
    },
    "record add": {
        "--sheet": (("1", "--from", "filled.csv"),), "--from": (("filled.csv",),),
        "--date": ((DATE, "--from", "filled.csv"),),
        "--seen-by": (("Trainer", "--from", "filled.csv"),),
        "--footing": (("deep", "--from", "filled.csv"),),
        "--pair": (("Jonas, Comet", "--from", "more.csv"),),
        "--record": (("unseen.sqlite", "--from", "filled.csv"),),
    },
    "record copy": {"--record": (("r.sqlite",),)},
    "record correct horse": {
        "--name": (("Brambles",),), "--size": (("horse",), ("pony small",)),
        "--stride": (("11'",),), "--since": ((DATE,),), "--until": ((DATE,),),
        "--note": (("Young.",),),
        "--record": (("r.sqlite", "--note", "Young."),),
    },
    "record correct rider": {
        "--name": (("Ada",),), "--born": (("2011",),), "--since": ((DATE,),), "--until": ((DATE,),),
        "--note": (("Tall.",),), "--record": (("r.sqlite", "--note", "Tall."),),
    },
    "record correct mark": {
        "--strides": (("6",),), "--out": (("1",),), "--seconds": (("7.5",),),
        "--lead": (("left",),),
        "--record": (("r.sqlite",),),
    },
    "record correct round": {
        "--height": (("2'9\"",),), "--whole": ((),), "--note": (("Windy.",),), "--remove": ((),),
        "--record": (("r.sqlite", "--note", "Windy."),),
    },
    "record export": {"--record": (("r.sqlite",),)},
    "record figures": {"--on": ((DATE,),), "--record": (("r.sqlite",),)},
    "record forget": {"--yes": ((),), "--record": (("r.sqlite", "--yes"),)},
    "record horse": {
        "--size": (("horse",), ("pony medium",)), "--stride": (("11'6\"",),), "--since": ((DATE,),),
        "--note": (("Grey.",),), "--record": (("r.sqlite",),),
    },
    "record import": {"--record": (("imported.sqlite",),)},
    "record list": {"--record": (("r.sqlite",),)},
    "record person": {"--to": (("ida.json",),), "--record": (("r.sqlite",),)},
    "record rider": {
        "--born": (("2010",),), "--since": ((DATE,),), "--note": (("New.",),),
        "--record": (("r.sqlite",),),
    },
    "record steps": {},
    "record template": {"--to": (("t.csv",),), "--record": (("r.sqlite",),)},
    "record undo": {"--record": (("r.sqlite",),)},
}  # fmt: skip
TAKES: dict[str, Words] = {
    "lesson check": ("lib/lesson.yaml",), "lesson plan": ("lib/lesson.yaml",),
    "lesson print": ("lib/lesson.yaml",), "observe": ("free.yaml",),
    "readiness": ("Ida", "Bramble"),
    "record add": (), "record copy": ("copy.sqlite",), "record correct horse": ("Bramble",),
    "record correct rider": ("Ida",), "record correct mark": ("1", "2", "wr"),
    "record correct round": ("1",), "record export": ("exported",),
    "record figures": ("Ida", "Bramble"), "record forget": ("Ida",), "record horse": ("Clover",),
    "record import": ("kept",), "record list": (), "record person": ("Ida",),
    "record rider": ("Mia",), "record steps": ("mine",), "record template": ("1",),
    "record undo": (),
}  # fmt: skip
"""What each command is given before its options."""
ALSO: dict[tuple[str, str], Words] = {
    ("lesson plan", "--from"): ("lib/plan.yaml",), ("lesson plan", "--to"): ("lib/plan.yaml",),
    ("observe", "--ride"): ("lib/two-rides.yaml",), ("observe", "--group"): ("lib/lesson.yaml",),
}  # fmt: skip
"""What an option needs in place of that."""
BESIDES: dict[str, Words] = {
    "record add": ("--sheet", "1", "--from", "filled.csv"),
    **dict.fromkeys(("record correct horse", "record correct rider"), ("--note", "Said.")),
    "record correct round": ("--note", "Said."), "lesson plan": ("--to", "p.yaml"),
}  # fmt: skip
"""What a command cannot go without, beside an option that is tried."""
ANSWER = "y\n"
"""What is typed where a command asks."""
AS_IF_LEFT_OUT = {
    ("lesson print", "--units", "feet"), ("lesson print", "--paper", "a4"),
    ("observe", "--units", "feet"), ("observe", "--paper", "a4"), ("observe", "--step", STEP),
    ("observe", "--on", DATE), ("observe", "--group", "A"), ("readiness", "--units", "feet"),
    ("readiness", "--paper", "a4"), ("readiness", "--for", "trainer"),
    ("readiness", "--step", STEP),
    ("record figures", "--on", DATE), ("record horse", "--size", "horse"),
    ("lesson plan", "--from", "lib"), ("record correct round", "--whole"),
}  # fmt: skip
"""What is said there is what holds where nothing is said, in the folder that all is tried in."""


def arguments(command: str, option: str, words: Words) -> tuple[Words, Words]:
    """The words to try a command with an option, and without it."""
    takes = (*command.split(), *ALSO.get((command, option), TAKES[command]))
    file = "unseen.sqlite" if command == "record add" else "r.sqlite"
    flag = option in ("--big", "--text", "--yes", "--whole", "--remove", "--force")
    rest = words if flag else words[1:]
    besides = BESIDES.get(command, ())
    pairs = list(zip(besides[::2], besides[1::2], strict=True))
    said = {option, *words}
    with_it = [word for name, value in pairs if name not in said for word in (name, value)]
    without = [word for name, value in pairs if name not in rest for word in (name, value)]
    record = () if command.startswith("lesson") or command == "record steps" else ("--record", file)
    kept = () if option == "--record" else record
    return (*takes, option, *words, *with_it, *kept), (*takes, *rest, *without, *record)
