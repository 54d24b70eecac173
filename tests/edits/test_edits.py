"""One value changed, every other byte as it was."""

from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from diagram.edits import Drop, EditError, Put, edited
from diagram.source import plain, read_text

ROOT = Path(__file__).parents[2]
FILES = sorted((ROOT / "exercises").glob("*.yaml"))
TEXT = """\
title: Two lines  # the evening one
fences:
  ash: {kind: vertical, at: [12 m, 5 m], facing: 0°}   # near the gate
  birch:
    kind: oxer   # white
    placed: 5 strides beyond ash

ride:
  - jump: ash, land left  # look up
    purpose: "Say: now"
  - jump: birch
"""


def scalars(node: yaml.Node, path: tuple = ()) -> list:
    if isinstance(node, yaml.MappingNode):
        return [s for k, v in node.value for s in scalars(v, (*path, k.value))]
    if isinstance(node, yaml.SequenceNode):
        return [s for n, v in enumerate(node.value) for s in scalars(v, (*path, n))]
    return [(path, node)]


def test_one_value_is_replaced() -> None:
    out = edited(TEXT, [Put(("fences", "birch", "placed"), "6 strides beyond ash")])
    assert out == TEXT.replace("5 strides", "6 strides")


def test_a_place_on_one_line_is_replaced_in_its_braces() -> None:
    out = edited(TEXT, [Put(("fences", "ash", "at"), ["13 m", "5 m"])])
    assert out == TEXT.replace("[12 m, 5 m]", "[13 m, 5 m]")


def test_quotes_stay_quotes() -> None:
    out = edited(TEXT, [Put(("ride", 0, "purpose"), 'Say "then"')])
    assert out == TEXT.replace('"Say: now"', '"Say \\"then\\""')


def test_a_key_is_added_with_the_indentation_of_its_sisters() -> None:
    out = edited(TEXT, [Put(("fences", "birch", "facing"), "90°")])
    line = "    placed: 5 strides beyond ash\n"
    assert out == TEXT.replace(line, line + "    facing: 90°\n")


def test_a_key_is_added_before_the_brace() -> None:
    out = edited(TEXT, [Put(("fences", "ash", "poles"), "3 m")])
    assert out == TEXT.replace("facing: 0°}", "facing: 0°, poles: 3 m}")


def test_a_key_goes_behind_the_one_it_is_to_follow() -> None:
    out = edited(TEXT, [Put(("fences", "ash", "poles"), "3 m", after="kind")])
    assert out == TEXT.replace("vertical,", "vertical, poles: 3 m,")


@pytest.mark.parametrize(
    ("path", "gone"),
    [
        (("fences", "ash", "at"), "at: [12 m, 5 m], "),
        (("fences", "ash", "facing"), ", facing: 0°"),
        (("fences", "birch", "placed"), "    placed: 5 strides beyond ash\n"),
        (("fences", "birch", "kind"), "    kind: oxer   # white\n"),
        (("ride", 0, "purpose"), '    purpose: "Say: now"\n'),
    ],
)
def test_an_entry_is_taken_out(path: tuple, gone: str) -> None:
    assert edited(TEXT, [Drop(path)]) == TEXT.replace(gone, "", 1)


def test_a_file_with_other_line_ends_keeps_them() -> None:
    text = TEXT.replace("\n", "\r\n")
    out = edited(text, [Put(("fences", "birch", "poles"), "3 m")])
    assert out.count("\r\n") == out.count("\n") == text.count("\n") + 1


def test_what_is_named_twice_resists_and_its_line_is_said() -> None:
    text = "a: &one {x: 1}\nb: *one\n"
    with pytest.raises(EditError, match="line 1"):
        edited(text, [Put(("b", "x"), "2")])


def test_a_block_of_text_resists() -> None:
    with pytest.raises(EditError, match="line 1"):
        edited("a: |\n  long\n  text\n", [Put(("a",), "short")])


@settings(deadline=None, max_examples=150)
@given(st.data())
def test_any_value_of_the_shipped_files(data: st.DataObject) -> None:
    """Whatever is put in place of any value, the rest of the file is byte for byte the same."""
    text = data.draw(st.sampled_from(FILES)).read_text(encoding="utf-8")
    path, node = data.draw(st.sampled_from(scalars(yaml.compose(text))))
    value = data.draw(st.text("abc xyz,:#{}[]'\"-°äé1", min_size=1).filter(str.strip)).strip()
    begin, end = node.start_mark.index, node.end_mark.index
    try:
        out = edited(text, [Put(path, value)])
    except EditError:
        assert node.style in ("|", ">")
        return
    assert out.startswith(text[:begin])
    assert out.endswith(text[end:])
    after = read_text(out, "again.yaml")
    assert after.node_at(path)[0].text == value  # type: ignore[union-attr]
    assert plain(after.root) is not None
