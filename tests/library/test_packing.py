"""A library handed on: there and back, and archives that mean harm."""

from __future__ import annotations

import io
import json
import stat
import warnings
import zipfile
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st
from library_trials import exercise, library

from diagram.cli import main
from diagram.library.collection import read_library
from diagram.library.content import checksum
from diagram.library.manifest import (
    MANIFEST,
    Manifest,
    PackError,
    manifest_bytes,
    why_not,
)
from diagram.library.packing import pack
from diagram.library.unpacking import compare, open_pack, write_pack

TEXT = exercise().encode()


def yard(tmp_path: Path) -> Path:
    folder = library(
        tmp_path / "yard", fan=exercise("Fan"), arenas="home: {size: 30 x 60 m}\n",
        our__table="table: Ours\ndistances: {1: 7.2 m}\n", notes="monday: names of riders\n",
        library="tapeline library: 1\ntitle: Ours\nauthors: Two trainers\nlicence: CC BY 4.0\n",
    )  # fmt: skip
    library(folder / "poles", lane=exercise("Lane", more=["authors: A third"]))
    return folder


def tree(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_there_and_back(tmp_path: Path) -> None:
    folder = yard(tmp_path)
    packed = pack(read_library(folder))
    assert packed.data == pack(read_library(folder)).data
    file = tmp_path / "ours.tapeline"
    file.write_bytes(packed.data)
    opened = open_pack(file)
    assert opened.manifest.authors == ("Two trainers", "A third")
    merge = compare(opened, tmp_path / "new")
    write_pack(opened, tmp_path / "new", {name: name for name in merge.new})
    before = tree(folder)
    before.pop("notes.yaml")
    assert tree(tmp_path / "new") == before
    again = compare(opened, tmp_path / "new")
    assert (again.new, again.clashes, len(again.same)) == ((), (), 5)


def archive(
    tmp_path: Path,
    files: list[tuple[str | zipfile.ZipInfo, bytes]],
    *,
    manifest: bytes | None = None,
) -> Path:
    """An archive with a manifest that agrees with it, unless another one is given."""
    names = {f if isinstance(f, str) else f.filename: checksum(data) for f, data in files}
    path = tmp_path / "bad.tapeline"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as out, warnings.catch_warnings():
        warnings.simplefilter("ignore")
        out.writestr(MANIFEST, manifest or manifest_bytes(Manifest("t", (), "", names)))
        for file, data in files:
            out.writestr(file, data)
    return path


def link(name: str) -> zipfile.ZipInfo:
    info = zipfile.ZipInfo(name)
    info.external_attr = (stat.S_IFLNK | 0o777) << 16
    return info


HOSTILE = {
    "above": [("../up.yaml", TEXT)],
    "far above": [("a/../../up.yaml", TEXT)],
    "absolute": [("/etc/up.yaml", TEXT)],
    "a drive": [("C:/up.yaml", TEXT)],
    "backslashes": [("..\\up.yaml", TEXT)],
    "a device": [("con.yaml", TEXT)],
    "a hidden file": [(".ssh/up.yaml", TEXT)],
    "ends in a dot": [("up./a.yaml", TEXT)],
    "ends in a space": [("up /a.yaml", TEXT)],
    "another stream": [("a.yaml:x.yaml", TEXT)],
    "a program": [("run.exe", TEXT)],
    "a folder": [("a.yaml/", b"")],
    "a link": [(link("a.yaml"), b"/etc/passwd")],
    "twice": [("a.yaml", TEXT), ("a.yaml", b"tapeline: 2\n")],
    "capitals": [("a.yaml", TEXT), ("A.yaml", TEXT)],
    "marks": [("fän.yaml", TEXT), ("fän.yaml", TEXT)],
    "file and folder": [("a.yaml", TEXT), ("a.yaml/b.yaml", TEXT)],
    "too large": [("a.yaml", b"#" * (512 * 1024 + 1))],
    "too deep": [("a/b/c/d/e/f/g.yaml", TEXT)],
}


@pytest.mark.parametrize("kind", HOSTILE)
def test_what_means_harm_is_refused_and_nothing_written(kind: str, tmp_path: Path) -> None:
    file = archive(tmp_path, HOSTILE[kind])  # type: ignore[arg-type]
    with pytest.raises(PackError):
        open_pack(file)
    done = CliRunner().invoke(main, ["library", "unpack", str(file), "--to", str(tmp_path / "to")])
    assert done.exit_code == 2
    assert sorted(path.name for path in tmp_path.iterdir()) == ["bad.tapeline"]


def test_a_bomb_is_counted_while_it_is_read(tmp_path: Path) -> None:
    # 80 MB of nothing in 160 files that each are small enough.
    files = [(f"a{n}.yaml", b" " * 500_000) for n in range(160)]
    file = archive(tmp_path, files)  # type: ignore[arg-type]
    assert file.stat().st_size < 200_000
    with pytest.raises(PackError, match="unpacked"):
        open_pack(file)


def test_sizes_that_lie_are_not_believed(tmp_path: Path) -> None:
    file = archive(tmp_path, [("a.yaml", b"#" * 600_000)])
    data = file.read_bytes().replace((600_000).to_bytes(4, "little"), (10).to_bytes(4, "little"))
    file.write_bytes(data)
    with pytest.raises(PackError):
        open_pack(file)


@pytest.mark.parametrize(
    "manifest",
    [
        b"{}", b"[]", b"\xff", b"null", b'{"tapeline pack": 1}',
        json.dumps({"tapeline pack": 9, "title": "", "authors": [], "licence": "", "files": {}}),
        json.dumps({"tapeline pack": 1, "title": "", "authors": [], "licence": "",
                    "files": {"a.yaml": checksum(b"other")}}),
        json.dumps({"tapeline pack": 1, "title": "", "authors": [], "licence": "", "files": {}}),
    ],
)  # fmt: skip
def test_a_manifest_that_is_wrong(manifest: bytes | str, tmp_path: Path) -> None:
    data = manifest.encode() if isinstance(manifest, str) else manifest
    with pytest.raises(PackError):
        open_pack(archive(tmp_path, [("a.yaml", TEXT)], manifest=data))


@given(st.binary(max_size=300), st.integers(0, 2000), st.integers(0, 255))
def test_damage_is_refused_and_never_a_traceback(junk: bytes, at: int, value: int) -> None:
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        file = archive(Path(folder), [("a.yaml", TEXT)])
        whole = bytearray(file.read_bytes())
        whole[at % len(whole)] = value
        for data in (junk, bytes(whole)):
            file.write_bytes(data)
            try:
                opened = open_pack(file)
            except PackError:
                continue
            assert set(opened.files) == {"a.yaml"}
            assert opened.files["a.yaml"] == TEXT


@given(st.text(max_size=40))
def test_a_path_that_is_taken_stays_below(path: str) -> None:
    if not why_not(path):
        base = Path("/some/folder")
        assert base in (base / path).parents
        assert ".." not in Path(path).parts


def test_clashes_are_asked_about_and_kept(tmp_path: Path) -> None:
    file = tmp_path / "ours.tapeline"
    file.write_bytes(pack(read_library(yard(tmp_path))).data)
    home = library(tmp_path / "home", fan="# mine\n" + exercise("My own fan"))
    mine = (home / "fan.yaml").read_bytes()
    call = ["library", "unpack", str(file), "--to", str(home)]
    assert "other    fan.yaml" in CliRunner().invoke(main, [*call, "--dry-run"]).output
    assert sorted(path.name for path in home.iterdir()) == ["fan.yaml"]
    done = CliRunner().invoke(main, call)
    assert "kept as it is" in done.stderr
    assert (home / "fan.yaml").read_bytes() == mine
    CliRunner().invoke(main, [*call, "--clashes", "both"])
    assert (home / "fan.yaml").read_bytes() == mine
    assert "title: Fan" in (home / "fan-2.yaml").read_text()
    CliRunner().invoke(main, [*call, "--clashes", "replace"])
    assert "title: Fan" in (home / "fan.yaml").read_text()


def test_a_link_in_the_folder_is_not_followed(tmp_path: Path) -> None:
    file = tmp_path / "ours.tapeline"
    file.write_bytes(pack(read_library(yard(tmp_path))).data)
    outside, home = tmp_path / "outside", tmp_path / "home"
    outside.mkdir()
    home.mkdir()
    (home / "poles").symlink_to(outside)
    done = CliRunner().invoke(main, ["library", "unpack", str(file), "--to", str(home)])
    assert done.exit_code == 2
    assert list(outside.iterdir()) == []
    assert [path.name for path in home.iterdir()] == ["poles"]


def test_the_command_packs_and_asks_for_a_licence(tmp_path: Path) -> None:
    folder = library(tmp_path / "yard", fan=exercise())
    to = tmp_path / "ours.tapeline"
    call = ["library", "pack", str(folder), "--to", str(to)]
    done = CliRunner().invoke(main, call)
    assert done.exit_code == 0
    assert "names no licence" in done.stderr
    assert zipfile.ZipFile(io.BytesIO(to.read_bytes())).namelist() == [MANIFEST, "fan.yaml"]
    assert (
        CliRunner().invoke(main, ["library", "pack", str(folder), "--to", str(to)]).exit_code == 2
    )
