"""What people write in a lesson where it has another word, and what to write."""

from __future__ import annotations

from pydantic import BaseModel

from diagram.model.lesson_file import GroupWritten, LessonWritten, RunStep

_TIME = "write time: 18:00-19:30"
LESSON_OTHERWISE: dict[type[BaseModel], dict[str, str]] = {
    LessonWritten: {
        **dict.fromkeys(("plan", "exercises", "lines", "steps", "order", "programme"),
                        "write run:, and below it, indented, `- group: A`, `- warm up: 10 min`, "
                        "`- exercise: ` and the name of its file"),
        **dict.fromkeys(("start", "begin", "from", "duration", "length", "when", "hours"), _TIME),
        **dict.fromkeys(("name", "lesson"), "write title:"),
        **dict.fromkeys(("riders", "ponies", "horses"), "say it of the group: groups: {A: {riders: "
                        "3, horses: horse}}"),
        **dict.fromkeys(("ring", "school"), "write arena: 60 x 30 m"),
        **dict.fromkeys(("teaches", "topic", "theme"), "write goals: [straightness]"),
    },
    RunStep: {
        **dict.fromkeys(("walk", "cool off", "end", "finish"), "write `- cool down: 10 min`"),
        **dict.fromkeys(("trot", "flat", "flatwork", "start"), "write `- warm up: 10 min`"),
        **dict.fromkeys(("file", "jump", "course", "grid"), "write `- exercise: ` and the name of "
                        "its file"),
        **dict.fromkeys(("time", "duration"), "write minutes: 10"),
        **dict.fromkeys(("comment", "notes"), "write note:"),
    },
    GroupWritten: {
        **dict.fromkeys(("names", "people", "count", "number"), "write riders: 3; they are places "
                        "in a group, never names"),
        **dict.fromkeys(("ponies", "horse", "pony"), "write horses: large pony"),
        **dict.fromkeys(("level", "fences"), "write height: 2'6\""),
    },
}  # fmt: skip
"""Keys of a block that are called otherwise or said elsewhere."""
