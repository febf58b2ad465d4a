"""STL, GLB, DXF, SVG, CSV: read back by small readers of our own, written from the formats' specifications."""

from __future__ import annotations

import csv
import io
import json
import struct
import xml.etree.ElementTree as ElementTree
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from bentwork.files.dxf import dxf_bytes
from bentwork.files.export_names import file_names
from bentwork.files.glb import glb_bytes
from bentwork.files.job_file import parse_job
from bentwork.files.stl import stl_bytes
from bentwork.files.svg import svg_bytes
from bentwork.files.tables_csv import bend_tables_csv, marks_csv, steps_csv
from bentwork.jobs.bodies import bodies, gauge_bodies, saddle_bodies
from bentwork.jobs.work import work
from bentwork.models.bar_mesh import bar_mesh
from bentwork.models.lines import Arc, Chain, Inked, Line, Words
from bentwork.models.mesh import Mesh
from bentwork.sheets.drawing import Drawing, Label, Stroke
from bentwork.sheets.true_views import true_views
from bentwork.stock.section import SquareTube, Tube
from bentwork.takeoff.dxf import TWICE, parts_from_dxf
from tests.bent_bodies import PIECES
from tests.make import paper_subject
from tests.unit.files.job_texts import INCHES

MESH = bar_mesh(PIECES["elsewhere"], Tube(25, 2))


def read_stl(data: bytes) -> tuple[bytes, NDArray[np.float64], NDArray[np.float64]]:
    """Head, normals (n, 3) and corners (n, 3, 3), by struct alone."""
    (count,) = struct.unpack_from("<I", data, 80)
    assert len(data) == 84 + 50 * count
    numbers = [struct.unpack_from("<12fH", data, 84 + 50 * k) for k in range(count)]
    assert {row[12] for row in numbers} == {0}
    rows = np.array([row[:12] for row in numbers])
    return data[:80], rows[:, :3], rows[:, 3:].reshape(-1, 3, 3)


def edges_alone(corners: NDArray[np.float64]) -> int:
    """How many edges of a triangle have no other that runs back along them, point by point as written."""
    found: dict[tuple[bytes, bytes], int] = {}
    for triangle in corners:
        keys = [corner.tobytes() for corner in triangle]
        for k in range(3):
            there, back = (keys[k], keys[k - 2]), (keys[k - 2], keys[k])
            found[there] = found.get(there, 0) + 1
            found[back] = found.get(back, 0) - 1
    return sum(1 for count in found.values() if count)


def test_stl_is_closed_as_written_and_has_its_volume() -> None:
    head, normals, corners = read_stl(stl_bytes(MESH, "Bügel" * 30))
    assert not head.startswith(b"solid")
    assert edges_alone(corners) == 0
    volume = float(np.einsum("ij,ij->", corners[:, 0], np.cross(corners[:, 1], corners[:, 2])) / 6)
    assert volume == pytest.approx(MESH.volume, rel=1e-4)
    assert volume == pytest.approx(Tube(25, 2).area * PIECES["elsewhere"].table.length, rel=5e-3)
    crossed = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    crossed /= np.linalg.norm(crossed, axis=1, keepdims=True)
    assert np.einsum("ij,ij->i", crossed, normals) == pytest.approx(1.0, abs=1e-5)


def test_gauges_and_saddles_are_closed() -> None:
    about = bodies(work(parse_job(INCHES.encode(), "rack.toml")), "2025-11-02")
    made = [mesh for _, mesh in (*gauge_bodies(about), *saddle_bodies(about))]
    assert len(made) > 4
    for mesh in made:
        assert edges_alone(read_stl(stl_bytes(mesh, "x"))[2]) == 0
    assert {mesh.points[:, 2].max() for _, mesh in gauge_bodies(about)} == {3.0}


SIZES = {5121: 1, 5123: 2, 5125: 4, 5126: 4}
MANY = {"SCALAR": 1, "VEC2": 2, "VEC3": 3, "VEC4": 4}


def read_glb(data: bytes) -> tuple[dict[str, Any], list[NDArray[Any]]]:
    """Document and accessors, with the rules of glTF 2.0: chapters 3.6.2.4 (alignment), 3.6.2.5 (bounds), 4.4."""
    magic, version, length = struct.unpack_from("<4sII", data)
    assert (magic, version, length) == (b"glTF", 2, len(data))
    at, chunks = 12, []
    while at < length:
        size, kind = struct.unpack_from("<I4s", data, at)
        assert size % 4 == 0
        chunks.append((kind, data[at + 8 : at + 8 + size]))
        at += 8 + size
    assert [kind for kind, _ in chunks] == [b"JSON", b"BIN\0"]
    text, binary = chunks[0][1], chunks[1][1]
    document = json.loads(text)
    assert text[len(text.rstrip(b" ")) - 1 :].strip(b" ") == b"}"
    (buffer,) = document["buffers"]
    assert 0 <= len(binary) - buffer["byteLength"] <= 3
    found = []
    for accessor in document["accessors"]:
        view = document["bufferViews"][accessor["bufferView"]]
        size, many = SIZES[accessor["componentType"]], MANY[accessor["type"]]
        assert (view["byteOffset"] + accessor.get("byteOffset", 0)) % size == 0
        assert view["byteOffset"] % 4 == 0
        assert accessor["count"] * size * many <= view["byteLength"]
        assert view["byteOffset"] + view["byteLength"] <= buffer["byteLength"]
        kind = {5126: "<f4", 5125: "<u4"}[accessor["componentType"]]
        numbers = np.frombuffer(binary, kind, accessor["count"] * many, view["byteOffset"]).reshape(-1, many)
        if "min" in accessor:
            assert accessor["min"] == numbers.min(axis=0).tolist()
            assert accessor["max"] == numbers.max(axis=0).tolist()
        found.append(numbers)
    return document, found


def test_glb_by_the_specification() -> None:
    square = bar_mesh(PIECES["loop"], SquareTube(25, 15, 2, 4))
    copies = [("stay 1", (0.0, 0.0, 0.0)), ("stay 2", (100.0, -20.0, 300.0))]
    meshes = [("stay", MESH, copies), ("Bügel ∅", square, [("Bügel ∅", (0.0, 0.0, 0.0))])]
    document, numbers = read_glb(glb_bytes("Hand cart", meshes))
    assert document["asset"]["version"] == "2.0"
    assert [mesh["name"] for mesh in document["meshes"]] == ["stay", "Bügel ∅"]
    assert document["scenes"] == [{"name": "Hand cart", "nodes": [0, 1, 2]}]
    assert [(n["name"], n["mesh"], n.get("translation")) for n in document["nodes"]] == [
        ("stay 1", 0, None),
        ("stay 2", 0, pytest.approx([0.1, 0.3, 0.02])),
        ("Bügel ∅", 1, None),
    ]
    for (_, made, _), mesh in zip(meshes, document["meshes"], strict=True):
        (primitive,) = mesh["primitives"]
        assert primitive.get("mode", 4) == 4
        points, normals = (numbers[primitive["attributes"][name]] for name in ("POSITION", "NORMAL"))
        indices = numbers[primitive["indices"]].ravel()
        bounds = document["accessors"][primitive["attributes"]["POSITION"]]
        assert {"min", "max"} <= bounds.keys()
        assert len(points) == len(normals)
        assert indices.max() < len(points)
        assert len(indices) % 3 == 0
        assert np.linalg.norm(normals, axis=1) == pytest.approx(1.0, abs=1e-5)
        # Back to z up and mm: the same body, its faces outwards.
        back = np.column_stack((points[:, 0], -points[:, 2], points[:, 1])).astype(float) * 1000
        seen = Mesh(back, indices.reshape(-1, 3).astype(np.int64))
        assert seen.volume == pytest.approx(made.volume, rel=1e-4)
        assert back.min(axis=0) == pytest.approx(made.points.min(axis=0), abs=1e-3)
        assert back.max(axis=0) == pytest.approx(made.points.max(axis=0), abs=1e-3)
        views = [document["bufferViews"][document["accessors"][primitive["indices"]]["bufferView"]]["target"]]
        assert views == [34963]


DRAWN = (
    Inked("OUTLINE", Line((0, 0), (25.4, 0))),
    Inked("OUTLINE", Arc((50.8, 0), 25.4, 90, 180)),
    Inked("ENDS", Arc((0, 0), 12.7)),
    Inked("OUTLINE", Chain(((0, 0), (25.4, 0), (25.4, 25.4)), closed=True)),
    Inked("WORDS", Words((0, -10), "Bügel 90°\n0\nEOF")),
)


def pairs(data: bytes) -> list[tuple[int, str]]:
    lines = data.decode("ascii").split("\r\n")
    assert lines.pop() == ""
    assert len(lines) % 2 == 0
    return [(int(code), value) for code, value in zip(lines[::2], lines[1::2], strict=True)]


def test_dxf_has_its_sections_its_units_and_its_tables() -> None:
    found = pairs(dxf_bytes(DRAWN, "mm", "Bügel"))
    assert found[0] == (999, "bentwork, 1:1, mm: B\\U+00FCgel")
    assert [value for code, value in found if code == 2][:4] == ["HEADER", "TABLES", "LTYPE", "CONTINUOUS"]
    assert found[found.index((9, "$INSUNITS")) + 1] == (70, "4")
    assert found[found.index((9, "$ACADVER")) + 1] == (1, "AC1009")
    assert found[-1] == (0, "EOF")
    assert found.count((0, "EOF")) == 1
    assert found.count((0, "SECTION")) == found.count((0, "ENDSEC")) == 3
    assert (1, "B\\U+00FCgel 90%%d 0 EOF") in found
    layers = {value for code, value in found[found.index((2, "ENTITIES")) :] if code == 8}
    named = [found[k + 1][1] for k, pair in enumerate(found) if pair == (0, "LAYER")]
    assert layers <= set(named)
    extent = found.index((9, "$EXTMIN"))
    assert [float(value) for _, value in found[extent + 1 : extent + 3]] == [-12.7, -12.7]


@pytest.mark.parametrize("units", ["mm", "in"])
def test_dxf_is_read_back_in_its_units(units: Any) -> None:  # noqa: ANN401  the two words of Units
    drawing = parts_from_dxf(dxf_bytes(DRAWN[:4], units, "x").decode(), "x.dxf")
    assert drawing.units == {"mm": "millimetre", "in": "inch"}[units]
    # A line, an arc of a quarter circle, a circle, and a triangle of three lines, one of them the first again; in mm.
    assert drawing.passed_over == {TWICE: 1}
    lengths = sorted(round(part.length, 4) for part in drawing.parts)
    quarter = 25.4 * 3.14159265 / 2
    assert lengths[0] == pytest.approx(25.4)
    assert lengths.count(25.4) == 2
    assert sum(lengths) == pytest.approx(25.4 * 2 + 25.4 * 2**0.5 + quarter + 2 * quarter, abs=1e-3)


def test_svg_is_xml_at_its_true_size() -> None:
    stroke = Stroke(((1.0, 2.0), (101.0, 2.0)), 0.5)
    label = Label((5.0, 6.0), 'a < b & "c"\x07', 9.0, ("left", "top"), angle=-90.0, halo=True)
    tree = ElementTree.fromstring(svg_bytes(Drawing(210.5, 100.0, (stroke, label)), "Bügel & Co"))
    assert (tree.get("width"), tree.get("height"), tree.get("viewBox")) == ("210.5mm", "100mm", "0 0 210.5 100")
    title, path, text = tree
    assert title.text == "Bügel & Co"
    assert path.get("d") == "M1.000,2.000 101.000,2.000"
    assert text.text == 'a < b & "c" '


def test_views_as_svg_are_at_1_to_1() -> None:
    subject = paper_subject("hook")
    drawing = true_views(subject)
    words = [item.text for item in drawing.items if isinstance(item, Label)]
    # The hook runs 180 along x and 120 along y; 12 mm round, so 186 by 126 over the bar.
    sizes = [text.removesuffix(" mm") for text in words if text.endswith(" mm")]
    assert sizes == ["186", "12", "126", "12", "186", "126"]
    assert {"from above", "from the front", "from the right"} <= set(words)
    tree = ElementTree.fromstring(svg_bytes(drawing, "hook"))
    xs = [x for item in drawing.items if isinstance(item, Stroke) for x, _ in item.points]
    assert 0 < min(xs) < max(xs) < float(str(tree.get("width")).removesuffix("mm"))


def rows(data: bytes | None) -> list[dict[str, str]]:
    assert data is not None
    return list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"))))


def test_tables_say_what_the_plan_says_in_the_units_of_the_job() -> None:
    result = work(parse_job(INCHES.encode(), "rack.toml"))
    about = bodies(result, "2025-11-02")
    ruler = result.job.ruler
    tables = rows(bend_tables_csv(about, ruler))
    cradle = [row for row in tables if row["piece"] == "cradle 1"]
    assert [row["hand"] for row in cradle] == ["left", "left", "right", "right"]
    assert cradle[0]["bend radius, in"] == "0.25"
    assert float(cradle[0]["straight, in"]) == pytest.approx(3 + 5 / 16 - 0.25)
    assert (cradle[1]["straight, in"], cradle[1]["bend radius, in"], cradle[1]["bend angle, deg"]) == ("1.75", "", "")
    hook = [row for row in tables if row["piece"] == "hook"]
    assert [row["rotation, deg"] for row in hook] == ["0", "180", ""]
    assert [row["make"] for row in hook] == ["4"] * 3
    marks = [row for row in rows(marks_csv(about, ruler)) if row["piece"] == "hook"]
    plan = next(plan for plan in result.pieces if plan.spec.name == "hook")
    assert [float(row["start, in"]) * 25.4 for row in marks] == pytest.approx([m.start for m in plan.marks], abs=1e-4)
    assert float(marks[0]["cut length, in"]) * 25.4 == pytest.approx(plan.cut_length, abs=1e-4)
    steps = [row for row in rows(steps_csv(about, ruler)) if row["piece"] == "hook"]
    assert [float(row["mark, in"]) * 25.4 for row in steps] == pytest.approx([s.mark for s in plan.steps], abs=1e-4)
    assert [float(row["pull to, deg"]) for row in steps] == pytest.approx([s.bend_to for s in plan.steps], abs=1e-6)


def test_file_names_that_every_system_takes() -> None:
    asked = ["stay left", "Stay/Left", "..", "Bügel", "con", "a" * 200, "../../etc", "nul.txt", "frame"]
    found = file_names(asked, ("frame",))
    assert found[:5] == ("stay-left", "Stay-Left-2", "piece", "Bügel", "con-piece")
    assert found[5:] == ("a" * 80, "etc", "nul.txt-piece", "frame-2")
