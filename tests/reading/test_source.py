"""Text to values: nothing is retyped, every value knows its place, and there are limits."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from samples import SHIPPED

from diagram.diagnostics import RejectedError
from diagram.pipeline import plan
from diagram.source import DEEPEST, LARGEST_FILE, MOST_NODES, Scalar, read, read_text

ROOT = Path(__file__).parents[2]
TEXTS = [file.read_text(encoding="utf-8") for file in SHIPPED]


def scalar(text: str, *path: str | int) -> Scalar:
    node, found = read_text(text).node_at(path)
    assert found
    assert isinstance(node, Scalar)
    return node


def rules(text: str) -> list[str]:
    with pytest.raises(RejectedError) as caught:
        read_text(text)
    return [d.rule for d in caught.value.diagnostics]


@pytest.mark.parametrize(
    "written", ["1:50", "no", "012", "1e3", "~", "null", "2026-05-01", ".5", "0x1F", "1_000", "Yes"]
)
def test_a_value_arrives_as_written(written: str) -> None:
    assert scalar(f"scale: {written}\n", "scale").text == written
    assert scalar(f"{written}: kept\n", written).text == "kept"


def test_an_empty_value_is_an_empty_text() -> None:
    assert scalar("title:\n", "title").text == ""


@pytest.mark.parametrize(
    ("text", "path", "place"),
    [
        ("a: one\nb: two\n", ("b",), (2, 4, 2, 7)),
        ("a: [one, two]\n", ("a", 1), (1, 10, 1, 13)),
        ("a: 'it''s'\n", ("a",), (1, 4, 1, 11)),
        ('a: "one"\n', ("a",), (1, 4, 1, 9)),
        ("ä: über 🐎 dort\n", ("ä",), (1, 4, 1, 15)),
        ("[🐎, two]\n", (1,), (1, 5, 1, 8)),
        ("a: one\n  two\n  three\nb: x\n", ("a",), (1, 4, 3, 8)),
        ("a: one\r\nb: two\r\n", ("b",), (2, 4, 2, 7)),
    ],
)
def test_a_value_knows_its_place(
    text: str, path: tuple[str | int, ...], place: tuple[int, int, int, int]
) -> None:
    span = read_text(text).span_at(path)
    assert (span.line, span.column, span.end_line, span.end_column) == place


def test_a_folded_block_is_one_text_over_several_lines() -> None:
    node = scalar("a: >\n  one\n  two\nb: x\n", "a")
    assert node.text == "one two\n"
    assert node.span.line == 1
    assert node.part(0, 3) == node.span


@pytest.mark.parametrize("quote", ["", "'", '"'])
def test_a_part_of_a_text_stands_under_its_characters(quote: str) -> None:
    line = f"line: {quote}5 strides, sit still{quote}"
    span = scalar(line, "line").part(11, 9)
    assert line[span.column - 1 : span.end_column - 1] == "sit still"


def test_a_word_is_found_in_a_text() -> None:
    line = "jump: 'oak, land left'"
    span = read_text(line).span_of(("jump",), "land")
    assert line[span.column - 1 : span.end_column - 1] == "land"


def test_a_missing_place_falls_back_to_what_stands_above() -> None:
    document = read_text("a:\n  b: c\n")
    assert document.span_at(("a", "x", "y")) == document.span_at(("a",))
    assert document.span_at(("a",), key=True).column == 1


def test_a_byte_order_mark_is_not_part_of_the_first_key(tmp_path: Path) -> None:
    file = tmp_path / "a.yaml"
    file.write_bytes(b"\xef\xbb\xbftitle: x\n")
    assert read(file).plain() == {"title": "x"}


def test_a_file_that_is_too_large_is_not_read(tmp_path: Path) -> None:
    file = tmp_path / "a.yaml"
    file.write_bytes(b"a" * LARGEST_FILE)
    assert read(file).plain() == "a" * LARGEST_FILE
    file.write_bytes(b"a" * (LARGEST_FILE + 1))
    with pytest.raises(RejectedError, match="file-too-large"):
        read(file)


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(RejectedError, match=r"unreadable-file.*no such file"):
        read(tmp_path / "a.yaml")
    with pytest.raises(RejectedError, match="unreadable-file"):
        read(tmp_path)


def test_depth_has_a_limit() -> None:
    assert read_text("[" * DEEPEST + "x" + "]" * DEEPEST).name == "<text>"
    assert rules("[" * (DEEPEST + 1) + "x" + "]" * (DEEPEST + 1)) == ["too-deep"]
    assert rules("[" * 1100 + "]" * 1100) == ["too-deep"]


def test_the_count_of_values_has_a_limit() -> None:
    # The list itself counts too.
    assert len(read_text("[" + "x," * (MOST_NODES - 1) + "]").plain()) == MOST_NODES - 1
    assert rules("[" + "x," * MOST_NODES + "]") == ["too-many-values"]


def test_an_alias_repeats_a_value_and_a_ring_of_them_is_refused() -> None:
    assert read_text("a: &x [1]\nb: *x\n").plain() == {"a": ["1"], "b": ["1"]}
    assert rules("a: &x [*x]\n") == ["too-deep"]


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        ("a: b\na: c\n", "key-twice"),
        ("? [a, b]\n: c\n", "key-not-text"),
        ("a: !!int 3\n", "yaml-tag"),
        ("a: !!python/name:os.system x\n", "yaml-tag"),
        ("a: b\n---\nc: d\n", "not-yaml"),
        ("a: *b\n", "not-yaml"),
        ("a: \x07\n", "not-text"),
        ("", "empty-file"),
        ("# only a remark\n", "empty-file"),
    ],
)
def test_what_is_not_allowed(text: str, rule: str) -> None:
    assert rules(text) == [rule]


def fails_only_by_rejecting(file: Path) -> None:
    with suppress(RejectedError):
        plan(file)


CALM = settings(
    max_examples=60,
    derandomize=True,
    deadline=None,
    database=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)


@CALM
@given(text=st.text(max_size=400))
def test_any_text_is_read_or_rejected(tmp_path: Path, text: str) -> None:
    file = tmp_path / "any.yaml"
    file.write_bytes(text.encode("utf-8", errors="replace"))
    fails_only_by_rejecting(file)


@CALM
@given(data=st.binary(max_size=400))
def test_any_bytes_are_read_or_rejected(tmp_path: Path, data: bytes) -> None:
    file = tmp_path / "any.yaml"
    file.write_bytes(data)
    fails_only_by_rejecting(file)


@st.composite
def slips(draw: st.DrawFn) -> str:
    """An exercise with one to three slips of the hand in it."""
    text = draw(st.sampled_from(TEXTS))
    for _ in range(draw(st.integers(1, 3))):
        by_line = draw(st.booleans())
        parts = text.splitlines(keepends=True) if by_line else list(text)
        if not parts:
            break
        at = draw(st.integers(0, len(parts) - 1))
        match draw(st.sampled_from(["delete", "insert", "duplicate"])):
            case "delete":
                del parts[at]
            case "duplicate":
                parts.insert(at, parts[at])
            case "insert":
                new = draw(st.sampled_from(list(" \t:,-'\"[]{}#&*!0179ax°é\n")))
                parts.insert(at, new)
        text = "".join(parts)
    return text


@CALM
@given(text=slips())
def test_an_exercise_with_slips_is_planned_or_rejected(tmp_path: Path, text: str) -> None:
    (tmp_path / "arenas.yaml").write_bytes((ROOT / "exercises" / "arenas.yaml").read_bytes())
    file = tmp_path / "slips.yaml"
    file.write_text(text, encoding="utf-8")
    fails_only_by_rejecting(file)
