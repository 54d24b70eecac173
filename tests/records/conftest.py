"""A small record to write into, and the invented one to read."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from filling import ON, ROOT

from diagram.pipeline import plan
from diagram.planning import Plan
from diagram.records.apart import Fit
from diagram.records.changes import Writer
from diagram.records.file import RecordFile
from diagram.records.history import read_history
from diagram.records.invented import PLAN_NAMES, invented_record
from diagram.records.people import add_horse, add_person
from diagram.records.readiness import fitted_to
from diagram.records.values import History


@pytest.fixture(scope="session")
def plans() -> dict[str, Plan]:
    return {name: plan(ROOT / "exercises" / f"{name}.yaml") for name in PLAN_NAMES}


@pytest.fixture(scope="session")
def invented_file(plans: dict[str, Plan], tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("record") / "thornbeck.sqlite"
    with RecordFile(path) as record:
        invented_record(record, plans)
    return path


@pytest.fixture(scope="session")
def invented(invented_file: Path) -> History:
    with RecordFile(invented_file) as record:
        return read_history(record)


@pytest.fixture(scope="session")
def fitted(invented: History) -> Fit:
    found = fitted_to(invented, ON)
    assert found is not None
    return found


@pytest.fixture
def record(tmp_path: Path) -> Iterator[RecordFile]:
    """Three riders' names, two horses, no round yet."""
    with RecordFile(tmp_path / "record.sqlite") as opened:
        with opened.writing():
            writer = Writer(opened, "add")
            for name in ("Ida", "Jonas", "Tess"):
                add_person(writer, name, date(2025, 1, 1))
            for name in ("Bramble", "Comet"):
                add_horse(writer, name, date(2025, 1, 1))
        yield opened
