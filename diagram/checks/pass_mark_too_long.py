"""pass-mark-too-long: a pass mark of which an observation sheet cannot print even the first clause.

What the sheet prints is `on the sheet:` where that is said, else as many clauses as there is room
for.
"""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found
from diagram.diagnostics import Diagnostic, Severity
from diagram.judging.pass_marks import lines_of, on_the_sheet, pass_mark
from diagram.planning import Plan
from diagram.trade.limits import Limit

NAME = "pass-mark-too-long"
LINE = Limit(NAME, "characters in a line")
LINES = Limit(NAME, "lines")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    room = f"{LINES.value:.0f} lines of {LINE.value:.0f} characters"
    for leg in plan.legs:
        if leg.second is None:
            continue
        mark = pass_mark(leg)
        said = on_the_sheet(mark.passed, mark.short)
        if not said:
            continue
        printed = said[0]
        needed = lines_of(printed, int(LINE.value))
        if needed <= LINES.value:
            continue
        yield found(
            plan, NAME, Severity.NOTE,
            f'"{printed}" takes {needed} lines of an observation sheet, which has {room}',
            (*mark.path, mark.key), f"say it in few words with on the sheet: at most {room}",
            figure=needed, limit=LINES.value, source=LINES.source, at=leg.second.pose.point,
        )  # fmt: skip


RULE = Rule(NAME, _check)
