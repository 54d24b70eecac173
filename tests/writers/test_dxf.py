"""DXF read back by the library that others read it with: metres, layers, the words of the trade."""

from __future__ import annotations

import io
import math
from pathlib import Path

import ezdxf
import pytest

from diagram.pipeline import drawing_bytes, drawing_of, drawn_bytes, plan
from diagram.scene import Scene, Stroke
from diagram.style import Pen
from diagram.writers import dxf, scene_writers

ROOT = Path(__file__).parents[2]
EXERCISE = plan(ROOT / "exercises" / "every-fence-twice.yaml")


def _read(data: bytes) -> ezdxf.document.Drawing:
    drawing = ezdxf.read(io.StringIO(data.decode("utf-8")))
    assert not drawing.audit().has_errors
    return drawing


@pytest.mark.parametrize("view", ["sheet", "phone", "wall"])
def test_it_is_in_metres_on_the_ground_however_it_lies_on_paper(view: str) -> None:
    """The rail and the poles of every fence where the plan has them, to a millimetre."""
    drawing = _read(drawn_bytes(drawing_of(EXERCISE, view=view), "dxf", view=view))  # type: ignore[arg-type]
    assert drawing.header["$INSUNITS"] == 6
    rail = [
        point[:2]
        for line in drawing.modelspace().query('LWPOLYLINE[layer=="ARENA"]')
        for point in line.get_points()
    ]
    for corner in EXERCISE.arena.region.corners:
        assert min(math.dist(corner, point) for point in rail) < 0.001
    ends = [
        tuple(point[:2])
        for line in drawing.modelspace().query('LWPOLYLINE[layer=="FENCES"]')
        for point in line.get_points()
    ]
    for fence in EXERCISE.fences:
        for bar in fence.fence.parts.bars:
            for end in (bar.start, bar.end):
                assert min(math.dist(fence.ground(end), point) for point in ends) < 0.001


def test_its_layers_have_the_words_of_the_trade() -> None:
    drawing = _read(drawing_bytes(EXERCISE, "dxf"))
    layers = {layer.dxf.name for layer in drawing.layers}
    assert {"ARENA", "FENCES", "TRACK", "STRIDES", "SIGNS", "SHEET"} <= layers
    words = {text.dxf.text for text in drawing.modelspace().query("TEXT")}
    assert {"alder", "5 strides", "GATE"} <= words


def test_dashes_keep_their_length_on_the_ground() -> None:
    """A dash of 4 mm at 1:250 is a metre."""
    line = Stroke(((0.0, 0.0), (40.0, 0.0)), Pen("#000000", 1.0, (4.0, 2.0)))
    drawing = _read(dxf.scene_bytes(Scene(50, 50, (line,), "", "", "en", 250.0, (0.0, 50.0))))
    [found] = drawing.modelspace().query("LWPOLYLINE")
    pattern = drawing.linetypes.get(found.dxf.linetype).simplified_line_pattern()
    assert list(pattern) == pytest.approx([1.0, 0.5])
    ends = [value for point in found.get_points() for value in point[:2]]
    assert ends == pytest.approx([0, 12.5, 10, 12.5])


def test_a_drawing_of_no_ground_is_in_millimetres_of_paper() -> None:
    line = Stroke(((5.0, 10.0), (25.0, 10.0)), Pen("#000000", 1.0))
    drawing = _read(dxf.scene_bytes(Scene(50, 40, (line,))))
    assert drawing.header["$INSUNITS"] == 4
    [found] = drawing.modelspace().query("LWPOLYLINE")
    assert [tuple(p[:2]) for p in found.get_points()] == [(5, 30), (25, 30)]


def test_the_same_drawing_is_the_same_bytes() -> None:
    assert drawing_bytes(EXERCISE, "dxf") == drawing_bytes(EXERCISE, "dxf")


def test_a_writer_put_into_the_folder_is_offered(monkeypatch: pytest.MonkeyPatch,
                                                 tmp_path: Path) -> None:  # fmt: skip
    """By ``draw`` and from Python, without a word anywhere else."""
    from click.testing import CliRunner

    import diagram.writers
    from diagram.cli.draw import command

    (tmp_path / "marks.py").write_text(
        "def scene_bytes(scene):\n    return f'{len(list(scene.walk()))} marks'.encode()\n",
        encoding="utf-8",
    )
    monkeypatch.setattr(diagram.writers, "__path__", [*diagram.writers.__path__, str(tmp_path)])
    assert "marks" in scene_writers()
    assert drawing_bytes(EXERCISE, "marks").endswith(b" marks")
    target = tmp_path / "out.marks"
    done = CliRunner().invoke(command, [EXERCISE.document.name, "--to", str(target)])
    assert done.exit_code == 0, done.output
    assert target.read_bytes().endswith(b" marks")
