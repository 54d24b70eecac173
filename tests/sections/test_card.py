"""The lesson card: what stands on it, on how many pages, in which bytes."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from card_trials import TRIAL, pages_of, reader, trial

from diagram.diagnostics import Diagnostic, Severity
from diagram.drawing.sheet import draw_plan
from diagram.planning import Plan
from diagram.sections.cautions import CAUTIONS
from diagram.sections.heading import STOPPED
from diagram.sections.page import PAPERS, page_of
from diagram.units import feet_inches, metres_text
from diagram.writers.card import card_bytes
from diagram.writers.foot import NO_SUBSTITUTE


@pytest.fixture(scope="module")
def plan(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    return replace(trial(tmp_path_factory.mktemp("trial")), findings=())


def test_it_takes_two_pages_with_a_foot_on_each(plan: Plan) -> None:
    pages = pages_of(card_bytes(plan))
    assert len(pages) == 2
    for number, page in enumerate(pages, 1):
        assert f"page {number} of" in page
        assert NO_SUBSTITUTE in page
        assert "scale 1:" in page


def test_everything_said_is_on_it(plan: Plan) -> None:
    first, second = pages_of(card_bytes(plan))
    for text in ("Two lines and a wall", "adjustability, straightness", "One canter, kept"):
        assert text in first
    for text in ("Arrive.", "Shoulders up", "Eyes", "Twice in a row.", "homeward", "Poles."):
        assert text in second
    for caution in CAUTIONS:
        assert caution in second


def test_its_figures_are_those_of_the_plan(plan: Plan) -> None:
    text = pages_of(card_bytes(plan))[1]
    for leg in plan.legs:
        if leg.shape in ("line", "bend"):
            assert feet_inches(leg.track_m) in text
            assert metres_text(leg.track_m) in text
        if leg.shape == "bend":
            assert f"{metres_text(leg.straight_m)} straight" in text
        if leg.rides:
            assert leg.rides.words in text
        if leg.asked:
            assert f"aim {feet_inches(leg.asked.aim_m)}" in text
    assert f"{plan.totals.track_m:,.0f} m of track" in text
    assert "angled left 15°" in text


def test_metres_come_first_where_they_are_wanted(plan: Plan) -> None:
    text = pages_of(card_bytes(plan, units="metres"))[1]
    assert "Strides Metres Feet Steps" in text
    assert "Strides Feet Metres Steps" in pages_of(card_bytes(plan))[1]


@pytest.mark.parametrize("paper", PAPERS)
def test_every_paper_is_held_the_way_that_draws_larger(plan: Plan, paper: str) -> None:
    page = reader(card_bytes(plan, paper=paper)).pages[0]
    width, height = float(page.mediabox.width), float(page.mediabox.height)
    assert width > height
    assert width == pytest.approx(PAPERS[paper][1] * 72 / 25.4, abs=0.01)
    upright = draw_plan(plan, page_of(paper, False, "feet").inner_width, 200).frame.denominator
    text = page.extract_text()
    assert int(text.split("scale 1:")[1].split()[0]) < upright


def test_an_unknown_paper_is_refused(plan: Plan) -> None:
    with pytest.raises(ValueError, match="A4, Letter"):
        card_bytes(plan, paper="Foolscap")


def test_markup_in_texts_is_text(tmp_path: Path) -> None:
    hostile = "<b>bold</b> & <para> </font> &amp; <img src='x.png'/> ]]>"
    for page_text in pages_of(card_bytes(trial(tmp_path, f'"{hostile}"')))[1:2]:
        assert page_text.count(hostile) >= 1
    titled = TRIAL.replace("title: Two lines and a wall", 'title: "<i>Wall</i> & <br/>"')
    data = card_bytes(trial(tmp_path, text=titled))
    assert "<i>Wall</i> & <br/>" in pages_of(data)[0]
    facts = reader(data).metadata
    assert facts is not None
    assert facts.title == "<i>Wall</i> & <br/>"


def test_long_texts_take_more_pages_and_the_head_comes_again(plan: Plan, tmp_path: Path) -> None:
    long = " ".join(f"word{n}" for n in range(200))
    watched = TRIAL.replace("[Shoulders up, Eyes]", f"[{', '.join([long] * 12)}]")
    pages = pages_of(card_bytes(trial(tmp_path, long, watched)))
    assert len(pages) > len(pages_of(card_bytes(plan)))
    heads = [page for page in pages if "From → to" in page]
    assert len(heads) >= 2
    assert " ".join(pages).count("word199") == 14


def test_figures_are_not_parted_from_the_words_below_them(tmp_path: Path) -> None:
    long = "so " * 300 + "end"
    taught = TRIAL.replace("  - jump: hazel", f"  - jump: hazel\n    purpose: {long}")
    taught = taught.replace("  - jump: rowan", f"  - jump: rowan\n    purpose: {long}")
    taught = taught.replace("  - jump: elder", f"  - jump: elder\n    purpose: {long}")
    for page in pages_of(card_bytes(trial(tmp_path, long, taught))):
        for row in ("birch → hazel", "hazel → rowan", "rowan → elder"):
            if row in page:
                after = page.split(row)[1]
                assert "Purpose so so" in after


def test_a_word_without_end_is_broken(tmp_path: Path) -> None:
    pages = pages_of(card_bytes(trial(tmp_path, "x" * 1900)))
    assert sum(page.count("x" * 50) for page in pages) > 10


def test_findings_are_told_the_worst_first(plan: Plan) -> None:
    found = (
        Diagnostic("a", Severity.NOTE, "a <note> of the checks"),
        Diagnostic("b", Severity.STOP, "the wall is not there", hint="build it"),
    )
    text = " ".join(pages_of(card_bytes(replace(plan, findings=found))))
    assert STOPPED in text
    assert text.index("The wall is not there. Build it.") < text.index("A <note> of the checks.")
    assert STOPPED not in " ".join(pages_of(card_bytes(plan)))


def test_it_says_what_it_is_and_asks_for_full_size(plan: Plan) -> None:
    pdf = reader(card_bytes(plan))
    root = pdf.trailer["/Root"]
    assert root["/ViewerPreferences"]["/PrintScaling"] == "/None"
    assert root["/Lang"] == "en"
    assert pdf.metadata is not None
    assert pdf.metadata.title == "Two lines and a wall"
    title, parts = pdf.outline
    assert title["/Title"] == "Two lines and a wall"
    assert [entry["/Title"] for entry in parts][:2] == [
        "Element by element", "Fence by fence",
    ]  # fmt: skip
    assert pdf.get_destination_page_number(parts[0]) == 1


def test_nothing_is_smaller_than_seven_points_and_all_type_is_embedded(plan: Plan) -> None:
    sizes: set[float] = set()
    pdf = reader(card_bytes(plan))
    for page in pdf.pages:
        commands = page.get_contents().get_data().decode("latin-1")
        sizes |= {float(size) for size in re.findall(r"/F\d+(?:\+\d+)? ([\d.]+) Tf", commands)}
        for font in page["/Resources"]["/Font"].values():
            assert "+SourceSansPro" in font.get_object()["/BaseFont"]
    assert min(sizes) >= 6.99


PROGRAM = """
import hashlib, sys
from diagram.pipeline import plan
from diagram.writers.card import card_bytes
for units in ("feet", "metres"):
    print(hashlib.sha256(card_bytes(plan(sys.argv[1]), units=units)).hexdigest())
"""


def test_two_processes_write_the_same_bytes(plan: Plan) -> None:
    digests = []
    for seed in ("0", "7"):
        environment = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
        environment |= {"PYTHONHASHSEED": seed, "TZ": f"UTC{seed}"}
        command = [sys.executable, "-c", PROGRAM, plan.document.name]
        done = subprocess.run(command, env=environment, capture_output=True, text=True, check=True)
        digests.append(done.stdout.split())
    assert digests[0] == digests[1]
    assert digests[0][0] != digests[0][1]
