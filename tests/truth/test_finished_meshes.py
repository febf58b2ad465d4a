"""Meshes of pieces as they are finished, drilled and with their ends as they are made, against the kernel's solids.

Independent truth: the kernel's own volume of the STEP file (eps 1e-9). Every edge of a mesh is run along once each way.
"""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from bentwork.files.export_files import export_files
from bentwork.files.export_names import file_names
from bentwork.files.job_file import parse_job
from bentwork.jobs.bodies import bodies
from bentwork.jobs.finished import finished
from bentwork.jobs.work import work
from bentwork.models.bar_mesh import CHORD_ERROR
from bentwork.stock.section import Tube
from tests.brackets import bracket_job
from tests.truth.test_finished_bar_holes import HOLES as ROUND_HOLES
from tests.truth.test_finished_bar_holes import SIDED, sided
from tests.truth.test_finished_bent_ends import BENT, COPED, HOOK, SQUARE20, STAYED, TUBE25, cart
from tests.truth.test_finished_models import HOLES as BRACKET_HOLES
from tests.truth.test_finished_models import exported, only
from tests.truth.test_finished_own_ends import job, the_frame
from tests.truth.test_step_models import STAMP, box, volume

FINE = CHORD_ERROR / 5.0

FRAMES = {
    "ends and holes by themselves": the_frame(),
    "a bracket with slots, both hands": bracket_job(
        BRACKET_HOLES, 'mirror = true\nmirror_in = { axis = "y", at = 50 }'
    ),
    "round tube drilled": job(ROUND_HOLES),
    **{f"{section} drilled": sided(section) for section in SIDED},
    "one wall of rectangular tube": sided("rectangular tube", "one"),
    "stays pressed and drilled": STAYED.format(more=BENT),
    "mitred onto a face": cart(SQUARE20, TUBE25, low=-10.0, more="trim = 10"),
    "coped onto its own size": HOOK,
    **{f"coped {k}": cart(rail, bar, points, more='ends = "coped"') for k, (rail, bar, points) in enumerate(COPED)},
}


@pytest.mark.parametrize("text", FRAMES.values(), ids=FRAMES)
def test_a_mesh_is_closed_and_has_the_metal_of_the_solid(tmp_path: Path, text: str) -> None:
    """A mesh lies within the skin by the error, so that a finer one comes nearer in proportion, as for whole bars."""
    result = work(parse_job(text.encode(), "boat.toml"))
    assert exported(tmp_path, result) == []
    found = finished(result, bodies(result, ""))
    for one, name in zip(found, file_names((one.name for one in found), ("frame",)), strict=True):
        shape = only(tmp_path / f"{name}.step")
        metal = volume(shape)
        coarse, fine = one.mesh(CHORD_ERROR), one.mesh(FINE)
        assert (coarse.open_edges, fine.open_edges) == (0, 0), one.name
        assert abs(coarse.volume - metal) <= CHORD_ERROR * coarse.surface, one.name
        assert abs(fine.volume - metal) <= FINE * fine.surface, one.name
        assert fine.volume == pytest.approx(metal, rel=1e-3), one.name
        low, high = fine.points.min(axis=0), fine.points.max(axis=0)
        assert [*low, *high] == pytest.approx(list(box(shape)), abs=2.0 * FINE), one.name


def test_what_lies_inside_a_bore_or_a_hole_is_told() -> None:
    """Square tube 30 x 20 x 2: holes take discs out of its sides and leave as long walls; the bore is 26 x 16."""
    (one,) = finished(
        result := work(parse_job(sided("rectangular tube on edge").encode(), "b.toml")), bodies(result, "")
    )
    mesh, length = one.mesh(FINE), one.body.subject.line.table.length
    assert mesh.inside is not None
    corners = mesh.corners
    crossed = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    sizes = np.linalg.norm(crossed, axis=1) / 2.0
    discs = 2.0 * sum(math.pi / 4.0 * bore.diameter**2 for bore in one.bores)
    walls = 2.0 * 2.0 * sum(math.pi * bore.diameter for bore in one.bores)
    outside, inside = 2.0 * 50.0 * length - discs + 2.0 * (600.0 - 26.0 * 16.0), 2.0 * 42.0 * length - discs + walls
    assert sizes[~mesh.inside].sum() == pytest.approx(outside, rel=2e-4)
    assert sizes[mesh.inside].sum() == pytest.approx(inside, rel=2e-4)
    assert mesh.shaded().inside.any() and not mesh.shaded().inside.all()


def test_a_pressed_end_bent_to_anywhere_is_closed() -> None:
    """The flat of a bent stay lies square to its bolt, at any angle round the bar."""
    for axis in ("[0, 0, 1]", "[0, 1, 1]", "[0, 1, 0.3]", "[0, -1, 0.1]"):
        text = STAYED.format(more=BENT).replace("axes = [[0, 0, 1], [0, 0, 1]]", f"axes = [{axis}, {axis}]")
        result = work(parse_job(text.encode(), "boat.toml"))
        stay = finished(result, bodies(result, ""))[-1]
        mesh = stay.mesh(FINE)
        about = stay.body.subject
        assert mesh.open_edges == 0
        section = about.stock.section
        assert isinstance(section, Tube)
        drill = math.pi / 4.0 * sum(bore.diameter**2 for bore in stay.bores) * 2.0 * section.wall
        assert len(stay.bores) == 2
        assert mesh.volume == pytest.approx(section.area * about.line.table.length - drill, rel=1e-3)


def test_stl_and_glb_have_the_ends_of_the_solids() -> None:
    """A hoop that is cut at a slant goes 12.5 tan 30 below its end; the copies that differ have files of their own."""
    text = cart(SQUARE20, TUBE25, low=-10.0, more="trim = 10\nat = [[0, 0, 0], [0, 300, 0]]")
    said: list[str] = []
    files = dict(export_files(work(parse_job(text.encode(), "cart.toml")), STAMP, ["stl", "glb"], said.append))
    assert said == []
    # The second hoop stands beside the rails: its ends are square, and it is another body.
    assert {"hoop.stl", "hoop-2.stl", "hoop.glb", "hoop-2.glb", "frame.glb"} <= set(files)
    lowest = [
        np.frombuffer(files[name][84:], _TRIANGLE)["corners"][..., 2].min() for name in ("hoop.stl", "hoop-2.stl")
    ]
    assert lowest[0] == pytest.approx(0.0, abs=1e-4)
    assert lowest[1] < -3.0


_TRIANGLE = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("nothing", "<u2")])


def test_what_is_left_as_it_is_drawn_is_told_for_every_kind() -> None:
    text = STAYED.format(more="").replace('"drilled"', '"flattened"').replace("to = [400,", "to = [20,")
    said: list[str] = []
    for _ in export_files(work(parse_job(text.encode(), "cart.toml")), STAMP, ["stl", "glb"], said.append):
        pass
    assert [words.partition(":")[2] for words in said if "drawn round" in words] == [
        f" in STL and GLB end {end} is drawn round and without its hole: the bar is shorter than its flats and what it "
        "takes to be round again"
        for end in "AB"
    ]
