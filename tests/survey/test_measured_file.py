"""The file of tapes: what is understood, and what is said of what is not."""

from __future__ import annotations

from pathlib import Path

import pytest
from as_built_trials import SIGMA_M, TAPE_M, detectable, exercise, taped
from hypothesis import given
from hypothesis import strategies as st

from diagram.diagnostics import Diagnostic, RejectedError
from diagram.pipeline import plan_text
from diagram.survey.form import form_tapes
from diagram.survey.measured import Measured, read_measured, read_measured_text
from diagram.survey.places import find_places

PLAN = exercise("straight-out-and-home-on-an-angle")
CORNER = "corner yard end / hedge side"
HEAD = "from,to,metres\n"


def _read(text: str) -> Measured:
    return read_measured_text(text, "tapes.csv", PLAN, SIGMA_M)


def _wrong(text: str) -> tuple[Diagnostic, ...]:
    with pytest.raises(RejectedError) as problem:
        _read(text)
    return problem.value.diagnostics


@pytest.mark.parametrize(
    ("written", "metres"),
    [("18.69", 18.69), ("61'4\"", 18.6944), ("61 ft 4 in", 18.6944), ('"61\'4"""', 18.6944),
     ("18.69 m", 18.69), ("1869 cm", 18.69), (" 61' ", 18.5928)],
)  # fmt: skip
def test_lengths(written: str, metres: float) -> None:
    (tape,) = _read(f"{HEAD}{CORNER},larch left,{written}\n").tapes
    assert tape.metres == pytest.approx(metres)
    assert (tape.first, tape.second, tape.sigma_m) == (CORNER, "larch left", SIGMA_M)


def test_a_column_in_feet() -> None:
    (tape,) = _read(f"from,to,feet\n{CORNER},larch left,61.5\n").tapes
    assert tape.metres == pytest.approx(61.5 * 0.3048)


def test_as_a_spreadsheet_writes_it_where_the_comma_is_a_point(tmp_path: Path) -> None:
    file = tmp_path / "tapes.csv"
    text = f'\ufefffrom;to;metres;error\r\n"{CORNER}";larch left;18,69;0,05\r\n'
    file.write_text(text, encoding="utf-8", newline="")
    (tape,) = read_measured(file, PLAN, SIGMA_M).tapes
    assert tape.metres == pytest.approx(18.69)
    assert tape.sigma_m == pytest.approx(0.05)


def test_case_spaces_comments_and_blanks() -> None:
    lines = ["From, To, Metres", "# a cold day", "", f"{CORNER.upper()},  Larch   LEFT ,18.69"]
    text = "\n".join([*lines, f"{CORNER},larch right,"])
    found = _read(text)
    assert found.tapes[0].second == "larch left"
    assert found.lines == (4,)
    assert found.blank == 1


@pytest.mark.parametrize(
    ("text", "line", "column", "message", "hint"),
    [
        ("", 1, 1, "there are no tapes in this file", "from,to,metres"),
        (HEAD, 1, 1, "no tape has a length", ""),
        ("a,b,c\n", 1, 1, "does not say what stands below", "from,to,metres"),
        ("from,to,metres,colour\n", 1, 16, '"colour" is no column', "error"),
        (f"{HEAD}corner yard end / hedge sid,larch left,9\n", 2, 1, "is no point here", CORNER),
        (
            f"{HEAD}{CORNER},larch lft,9\n",
            2,
            30,
            '"larch lft" is no point',
            'did you mean "larch left"',
        ),
        (f"{HEAD}{CORNER},larch,9\n", 2, 30, '"larch" is no point', "larch centre"),
        (f"{HEAD}{CORNER},,9\n", 2, 30, "a point is missing", ""),
        (f"{HEAD}{CORNER}\n", 2, 1, "from one point to another", ""),
        (f"{HEAD}{CORNER},larch left,9x\n", 2, 41, "is not a length", "write 9"),
        (f"{HEAD}{CORNER},larch left,9 rods\n", 2, 41, "is not a length", "write feet"),
        (f"{HEAD}{CORNER},larch left,9 m 34\n", 2, 41, "is not a length", "9.34 m"),
        (f"{HEAD}{CORNER},left larch,9\n", 2, 30, "is no point", "write larch left"),
        (f"{HEAD}corner,larch left,9\n", 2, 1, "is no point", "write one of corner"),
        (
            f"{HEAD}9,larch left,larch right\n",
            2,
            1,
            "a point and a length",
            "larch left,larch right,9",
        ),
        (f"{HEAD}larch left larch right 9 m\n", 2, 1, "a point and a length", "larch right,9 m"),
        (f"{HEAD}larch left - larch right,9\n", 2, 1, "a point and a length", "left,larch right,9"),
        ("larch left,larch right,9\n", 1, 1, "first line", "put a line above it: from,to,metres"),
        ("from,to,distance (ft)\nlarch left,larch right,9\n", 1, 1, "first line", "from,to,feet"),
        ("from,to,cm\nlarch left,larch right,900\n", 1, 1, "first line", "its own unit"),
        (f"{HEAD}{CORNER},larch left,-9\n", 2, 41, "cannot be negative", ""),
        (f"{HEAD}{CORNER},larch left,0\n", 2, 41, "has a length", "blank"),
        (f"{HEAD}{CORNER},larch left,900\n", 2, 41, "longer than the arena", "unit"),
        (f"{HEAD}{CORNER},larch left,nan\n", 2, 41, "is not a length", ""),
        (f"{HEAD}{CORNER},larch left,18,69\n", 2, 44, "more columns", "write 18.69"),
        (f"{HEAD}larch left,larch left,9\n", 2, 12, "to itself", ""),
        (f"{HEAD}{CORNER},larch left,9\nlarch left,{CORNER},9\n", 3, 1, "line 2 already", "care"),
    ],
)
def test_what_is_wrong_and_where(
    text: str, line: int, column: int, message: str, hint: str
) -> None:
    (found,) = _wrong(text)
    assert message in found.message
    assert hint in found.hint
    assert found.span is not None
    assert (found.span.file, found.span.line, found.span.column) == ("tapes.csv", line, column)


def test_everything_that_is_wrong_is_said_at_once() -> None:
    text = f"{HEAD}{CORNER},larch lft,x\nnowhere,larch left,9\nlarch left,larch left,9\n"
    assert [found.span.line for found in _wrong(text) if found.span] == [2, 2, 3, 4]


@given(st.text(max_size=200))
def test_any_text_is_read_or_refused(text: str) -> None:
    found = ""
    try:
        _read(HEAD + text)
    except RejectedError as problem:
        found = str(problem)
    assert not found or "tapes.csv:" in found


@given(st.binary(max_size=100))
def test_any_bytes_are_read_or_refused(
    tmp_path_factory: pytest.TempPathFactory, data: bytes
) -> None:
    file = tmp_path_factory.mktemp("bytes") / "tapes.csv"
    file.write_bytes(data)
    with pytest.raises(RejectedError):
        read_measured(file, PLAN, SIGMA_M)


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    large = tmp_path / "large.csv"
    large.write_text(HEAD + "#\n" * 200_000, encoding="utf-8")
    for file, word in (
        (tmp_path / "none.csv", "no such file"),
        (tmp_path, "directory"),
        (large, "KB"),
    ):
        with pytest.raises(RejectedError, match=word):
            read_measured(file, PLAN, SIGMA_M)


def test_a_form_filled_in() -> None:
    """Filled in it is read as it stands; left blank it is said to hold nothing."""
    pairs = form_tapes(PLAN, TAPE_M, SIGMA_M)
    text = "\n".join(["from,to,metres", *(f"{first},{second}," for first, second in pairs)])
    assert "no tape has a length" in _wrong(text)[0].message
    filled = _read("\n".join(line + "9.5" * (n > 0) for n, line in enumerate(text.splitlines())))
    assert [(tape.first, tape.second) for tape in filled.tapes] == list(pairs)


@pytest.mark.parametrize(
    "name",
    ["straight-out-and-home-on-an-angle", "forward-wait-and-a-double",
     "grid-from-trot-on-the-centre-line", "figure-of-eight-with-new-leads"],
)  # fmt: skip
def test_the_form_leaves_no_slip_unseen(name: str) -> None:
    """Each tape of the form is checked by others, so that half a metre is always noticed."""
    plan = exercise(name)
    places = find_places(plan, taped(plan, seed=None).tapes)
    assert all(places.determined(fence.name) for fence in plan.fences)
    assert detectable(places.adjustment).max() < 0.5
    assert all(length <= TAPE_M for length in places.adjustment.computed)


def test_a_fence_out_of_reach_has_no_tapes() -> None:
    alone = plan_text(
        "tapeline: 1\ntitle: Alone\nlevel: 2'6\"\npurpose: One canter.\narena: 60 x 120 m\n"
        "fences:\n  birch: {kind: vertical, at: [60 m, 30 m], facing: 0°}\n"
        "ride:\n  - start: canter\n  - jump: birch\n  - finish: straight on, walk\n",
        "alone.yaml",
    )
    assert form_tapes(alone, TAPE_M, SIGMA_M) == ()


def test_tabs_stand_for_commas() -> None:
    (tape,) = _read(f"from\tto\tmetres\n{CORNER}\tlarch left\t9,5\n").tapes
    assert tape.metres == 9.5
