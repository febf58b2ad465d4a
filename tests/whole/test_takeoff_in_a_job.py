"""Pieces that are bars of a CAD model: from the STEP file beside the job to plan, paper and export."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
from OCP.gp import gp_Trsf, gp_Vec

from bentwork.cli.main import app
from bentwork.door.memory import read_with
from bentwork.door.models import models_for
from bentwork.errors import InputError
from bentwork.jobs.job import Placed
from bentwork.jobs.modelled import ModelPart
from bentwork.piece.centreline import Centreline
from bentwork.stock.section import Round
from bentwork.takeoff import kept, reader, take
from bentwork.takeoff.beside import models_beside
from bentwork.takeoff.reader import Limits, StepAnswers
from bentwork.takeoff.take import take_off
from tests.takeoff_models import cases, curves, solids
from tests.takeoff_models.files import write_step

HEAD = """\
# An allotment garden's hand cart, drawn as a model first.
format = 1
name = "Hand cart"

[stock.rod]
section = "round"
diameter = 12
material = "S235"

[bender.lever]
kind = "wrap"
radius = 50
"""

PLACED = cases.line_of(cases.U, cases.PLACE)


def job_text(*pieces: str) -> str:
    tables = [f'[piece.p{k}]\nstock = "rod"\nbender = "lever"\n{lines}\n' for k, lines in enumerate(pieces, 1)]
    return "\n".join([HEAD, *tables])


def solid(number: int, file: str = "models/cart.step", more: str = "") -> str:
    return f'takeoff = {{ file = "{file}", solid = {number}{more} }}'


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a model in it, and the same one beside the folder."""
    shift = gp_Trsf()
    shift.SetTranslation(gp_Vec(0.0, 900.0, 0.0))
    named = [
        ("hoop", solids.swept(PLACED, cases.ROD)),
        ("plate", BRepPrimAPI_MakeBox(200.0, 120.0, 8.0).Solid()),
        ("tube", solids.swept(Centreline(cases.L), cases.TUBE)),
        ("ladder", next(shape for name, shape, _ in cases.joined_cases() if name == "rods fused")),
        ("arch", next(shape for name, shape, _ in curves.curve_cases() if name == "sine arch")),
    ]
    above = tmp_path_factory.mktemp("cart")
    job_folder = above / "jobs"
    (job_folder / "models").mkdir(parents=True)
    model = write_step(job_folder / "models" / "cart.step", named)
    (above / "cart.step").write_bytes(model.read_bytes())
    (job_folder / "models" / "away.step").symlink_to(above / "cart.step")
    (job_folder / "models" / "plain.pdf").write_bytes(b"%PDF-1.7 and so on")
    (job_folder / "hook.csv").write_text("0,0,0\n200,0,0\n200,150,0\n")
    return job_folder


def written(folder: Path, *pieces: str) -> Path:
    path = folder / "job.toml"
    path.write_text(job_text(*pieces), encoding="utf-8")
    return path


def run(*arguments: object) -> Result:
    return CliRunner().invoke(app, [str(one) for one in arguments])


def faults(folder: Path, *pieces: str) -> list[tuple[str, str]]:
    with pytest.raises(InputError) as caught:
        read_with(written(folder, *pieces), folder)
    return [(fault.where, str(fault)) for fault in caught.value.faults]


def test_every_command_takes_pieces_of_a_model(folder: Path, tmp_path: Path) -> None:
    path = written(folder, solid(1), f"count = 2\nmirror = true\n{solid(1)}")
    assert run("check", path).exit_code == 0
    plan = json.loads(run("plan", path, "--json").stdout)
    for piece in plan["pieces"]:
        assert [bend["angle_deg"] for bend in piece["bends"]] == pytest.approx([90.0, 90.0], abs=1e-9)
        assert piece["centreline_length_mm"] == pytest.approx(cases.U.length, abs=1e-6)
    paper = run("paper", path, "--out", tmp_path / "paper")
    assert paper.exit_code == 0, paper.stderr
    out = run("export", path, "--only", "step", "--out", tmp_path / "out")
    assert out.exit_code == 0, out.stderr
    (frame,) = (tmp_path / "out").rglob("*frame*.step")
    found = take_off(frame).solids[0].bars[0]
    # Where the model has it the piece stands again, and is as long: the round trip of the models themselves.
    assert found.line.table.length == pytest.approx(cases.U.length, abs=1e-6)
    ends = sorted((found.line.start.origin, found.line.end.origin))
    for point, wanted in zip(ends, sorted((PLACED.start.origin, PLACED.end.origin)), strict=True):
        assert point == pytest.approx(wanted, abs=1e-5)
    bent = run("testbend", path, "--pulled", "94", "--left", "90", "--workshop", tmp_path / "w")
    assert bent.exit_code == 0, bent.stderr


def test_members_and_curves_and_other_bars_say_what_they_are(folder: Path) -> None:
    path = written(folder, solid(4, more=", member = 1"), solid(5), solid(3))
    found = json.loads(run("check", path, "--json").stdout)["findings"]
    told = {(one["piece"], one["code"]): one["says"] for one in found if one["code"].startswith("model-")}
    assert set(told) == {("p2", "model-is-a-curve"), ("p3", "model-of-other-bar")}
    assert "tube 25 mm × 2 mm" in told["p3", "model-of-other-bar"]
    job, _ = read_with(path, folder)
    rail, arch, _ = job.pieces
    assert isinstance(rail.shape, Placed)
    assert rail.shape.table.length == pytest.approx(cases.U.length, abs=0.01)
    assert arch.modelled is not None
    assert 0.0 < arch.modelled.deviation < 0.5


def test_drawings_and_tables_of_points_are_models_too(folder: Path) -> None:
    path = written(folder, solid(1, "hook.csv", ", radius = 50"))
    job, _ = read_with(path, folder)
    (piece,) = job.pieces
    assert isinstance(piece.shape, Placed)
    (bend,) = piece.shape.table.bends
    assert (bend.radius, bend.angle) == pytest.approx((50.0, 90.0))
    ((where, told),) = faults(folder, solid(1, "hook.csv"))
    assert (where, "hook.csv" in told, "radius" in told) == ("piece.p1.takeoff.file", True, True)


@pytest.mark.parametrize(
    ("taken", "key", "words"),
    [
        (solid(1, "frame.step"), "file", ("no such file", "frame.step")),
        (solid(1, "models"), "file", ("a folder",)),
        (solid(1, "models/plain.pdf"), "file", ("PDF",)),
        (solid(1, "../cart.step"), "file", ("in the folder of the job or below", "whole path")),
        (solid(1, "models/away.step"), "file", ("in the folder of the job or below",)),
        (solid(9), "solid", ("found 9", "from 1 to 5 of cart.step")),
        (solid(2), "solid", ("plate", "no bar", "those of cart.step are 1, 3, 4, 5")),
        (solid(4), "solid", ("2 bars in one", "member = 1 to 2")),
        (solid(4, more=", member = 3"), "member", ("found 3", "from 1 to 2")),
        (solid(1, more=", member = 2"), "member", ("the solid is one bar",)),
    ],
)
def test_what_a_model_does_not_hold_is_told_by_line_and_key(
    folder: Path, taken: str, key: str, words: tuple[str, ...]
) -> None:
    ((where, told),) = faults(folder, taken)
    assert where == f"piece.p1.takeoff.{key}"
    assert told.startswith(f"line {job_text(taken).splitlines().index(taken) + 1}, ")
    assert all(word in told for word in words), told


def test_all_faults_of_all_pieces_come_at_once_and_as_json(folder: Path) -> None:
    path = written(folder, solid(9), solid(1, "gone.step"), solid(1))
    done = run("plan", path, "--json")
    assert done.exit_code == 2
    assert "piece.p1.takeoff.solid" in done.stderr
    assert "piece.p2.takeoff.file" in done.stderr
    assert len(json.loads(done.stdout)["errors"]) == 2


def test_a_whole_path_lies_where_the_maker_says_but_not_for_a_server(folder: Path) -> None:
    away = folder.parent / "cart.step"
    job, _ = read_with(written(folder, solid(1, str(away))), folder)
    modelled = job.pieces[0].modelled
    assert modelled is not None
    assert isinstance(modelled.section, Round)
    assert modelled.section.diameter == pytest.approx(12.0)
    with pytest.raises(InputError) as caught:
        models_for(folder, absolute=False)(ModelPart(str(away), 1))
    assert caught.value.faults[0].where == "file"


def counted(monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    """Count how often a reader is started."""
    started: list[Path] = []

    def read(path: Path, limits: Limits | None, progress: object) -> StepAnswers:
        started.append(path)
        return reader.read_step(path, limits)

    monkeypatch.setattr(take, "read_step", read)
    return started


def test_a_model_is_read_once_for_all_pieces_and_not_again_while_it_is_the_same(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    started = counted(monkeypatch)
    keep = tmp_path / "kept"

    def bars(numbers: tuple[int, ...]) -> list[float]:
        models = models_beside(folder, kept=keep)
        return [models(ModelPart("models/cart.step", number)).line.table.length for number in numbers]

    first = bars((1, 3, 1))
    assert len(started) == 1
    assert bars((1, 3, 1)) == first
    assert len(started) == 1
    (answers,) = keep.glob("*.json")
    for damaged in (b"", b"[1, 2", b'{"units": [], "solids": [{}]}', b'{"units": 3}', b"\xff\xfe"):
        answers.write_bytes(damaged)
        assert bars((1, 3, 1)) == first
    assert len(started) == 6


def test_what_is_kept_stays_small_and_answers_of_a_broken_reader_are_not_kept(tmp_path: Path) -> None:
    def ask(number: int, whole: bool = True) -> None:
        path = tmp_path / "x.step"
        path.write_text(str(number))
        kept.answers_kept(path, tmp_path / "kept", lambda: StepAnswers((), (), whole), lambda answers: None)

    ask(0, whole=False)
    assert not (tmp_path / "kept").exists()
    for number in range(kept.MOST_MODELS + 5):
        ask(number)
    assert len(list((tmp_path / "kept").iterdir())) == kept.MOST_MODELS
    (tmp_path / "file").write_text("a folder that cannot be made")
    path = tmp_path / "x.step"
    answers = kept.answers_kept(path, tmp_path / "file", lambda: StepAnswers((), ()), lambda answers: None)
    assert answers == StepAnswers((), ())


def test_a_changed_model_makes_another_version_of_the_job(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "models").mkdir()
    model = tmp_path / "models" / "cart.step"
    model.write_bytes((folder / "models" / "cart.step").read_bytes())
    path = written(tmp_path, solid(1))
    before, again = (read_with(path, folder)[0].version for _ in range(2))
    model.write_bytes(model.read_bytes().replace(b"'hoop'", b"'bow!'"))
    assert before == again != read_with(path, folder)[0].version
