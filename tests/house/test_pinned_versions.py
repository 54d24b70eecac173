"""What a release installs: every dependency once, within its bounds, by hash."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

from packaging.requirements import Requirement

ROOT = Path(__file__).parents[2]
PINNED = (ROOT / ".ci" / "constraints.txt").read_text(encoding="utf-8")


def test_all_that_is_installed_is_pinned_by_hash_within_the_bounds() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    blocks = re.split(r"\n(?=[a-z])", PINNED)
    versions = {}
    for block in blocks:
        name, version = re.match(r"([a-z0-9-]+)==(\S+)", block).groups()  # type: ignore[union-attr]
        assert re.findall(r"--hash=sha256:[0-9a-f]{64}", block), name
        assert name not in versions
        versions[name] = version
    for line in project["dependencies"]:
        wanted = Requirement(line)
        assert {bound.operator for bound in wanted.specifier} == {">=", "<"}, line
        assert wanted.specifier.contains(versions[wanted.name]), line
