"""``bentwork takeoff`` from file to terminal, JSON and job file; files that are broken on purpose."""

from __future__ import annotations

import gzip
import json
import signal
import subprocess
import sys
import time
import zipfile
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from OCP.BRep import BRep_Builder
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS_Shape, TopoDS_Shell, TopoDS_Solid

from bentwork.cli.main import app
from bentwork.cli.takeoff import takeoff
from bentwork.errors import InputError
from bentwork.files.job_file import read_job
from bentwork.jobs.work import work
from bentwork.piece.centreline import Centreline
from bentwork.takeoff.reader import Limits, read_step
from bentwork.takeoff.take import take_off
from tests.takeoff_models import cases, solids
from tests.takeoff_models.files import write_nest, write_step


@pytest.fixture(scope="module")
def model(tmp_path_factory: pytest.TempPathFactory) -> Path:
    line = Centreline(cases.TWISTED)
    left = solids.swept(line, cases.ROD)
    plate = BRepPrimAPI_MakeBox(200.0, 120.0, 8.0).Solid()
    named = [
        ("stay", left),
        ("stay again", solids.placed(left, solids.some_place(3))),
        ("other stay", solids.mirrored(left)),
        ("plate", plate),
    ]
    return write_step(tmp_path_factory.mktemp("cart") / "cart.step", named)


def run(*arguments: str) -> tuple[int, str, str]:
    done = CliRunner().invoke(takeoff, list(arguments))
    return done.exit_code, done.stdout, done.stderr


def document(*arguments: str) -> tuple[int, dict[str, Any]]:
    status, out, _ = run(*arguments, "--json")
    return status, json.loads(out)


def test_a_table_tells_every_solid(model: Path) -> None:
    status, out, _ = run(str(model))
    assert status == 0
    assert "3 pieces, 1 other" in out
    for words in ("stay again", "the same as 1", "mirror image of 1", "round 12 mm", "plate or block"):
        assert words in " ".join(out.split())


def test_json_is_one_document_and_nothing_else(model: Path) -> None:
    command = [sys.executable, "-c", "from bentwork.cli.takeoff import takeoff; takeoff()", str(model), "--json"]
    done = subprocess.run(command, check=True, capture_output=True, text=True)
    found = json.loads(done.stdout)
    assert done.stderr == ""
    assert [solid["kind"] for solid in found["solids"]] == ["piece", "piece", "piece", "other"]
    assert sorted(round(s, 6) for s in found["solids"][0]["straights_mm"]) == [60.0, 80.0, 100.0, 110.0]


def test_a_job_is_written_that_can_be_planned(model: Path, tmp_path: Path) -> None:
    job = tmp_path / "cart.toml"
    status, out, _ = run(str(model), "--job", str(job))
    assert status == 0
    assert "bentwork plan" in out
    plans = work(read_job(job)).pieces
    assert {plan.spec.name: plan.spec.count for plan in plans} == {"stay": 2, "stay mirrored": 1}
    assert [plan.length for plan in plans] == pytest.approx([cases.TWISTED.length] * 2, abs=1e-5)
    status, _, err = run(str(model), "--job", str(job))
    assert (status, "is there already" in err) == (2, True)
    assert run(str(model), "--job", str(job), "--force")[0] == 0


def test_equal_bars_that_are_turned_are_said_to_have_no_place_or_get_one(model: Path, tmp_path: Path) -> None:
    status, out, _ = run(str(model), "--job", str(tmp_path / "counted.toml"))
    assert status == 0
    assert "2 are made, and 1 of them is not placed" in out
    assert "--placed" in out
    job = tmp_path / "placed.toml"
    status, out, _ = run(str(model), "--job", str(job), "--placed")
    assert (status, "not placed" in out) == (0, False)
    assert "the same as 1" in out  # only the job tells them apart
    plans = work(read_job(job)).pieces
    assert [plan.spec.count for plan in plans] == [1, 1, 1]
    solids_seen = take_off(model).solids[:3]
    for plan, solid in zip(plans, solids_seen, strict=True):
        assert plan.line is not None
        assert plan.line.sample(5.0) == pytest.approx(solid.bars[0].line.sample(5.0), abs=1e-4)


@pytest.mark.parametrize("option", ["--job", "--report"])
def test_the_model_is_never_written_over(model: Path, option: str, tmp_path: Path) -> None:
    mine = tmp_path / "mine.step"
    mine.write_bytes(model.read_bytes())
    (tmp_path / "link.step").symlink_to(mine)
    for path in (mine, tmp_path / "link.step", tmp_path / ".." / tmp_path.name / "mine.step"):
        status, _, err = run(str(mine), option, str(path), "--force")
        assert (status, "which is the model that is read" in err) == (2, True)
    assert mine.read_bytes() == model.read_bytes()


def test_what_cannot_be_written_is_told_at_once_and_nothing_is(model: Path, tmp_path: Path) -> None:
    job, page = tmp_path / "a.toml", tmp_path / "nowhere" / "a.html"
    status, _, err = run(str(model), "--job", str(job), "--report", str(page))
    assert (status, "there is no such folder" in err, job.exists()) == (2, True, False)
    status, _, err = run(str(model), "--job", str(job), "--report", str(job))
    assert (status, "which is what --job names" in err, job.exists()) == (2, True, False)


def test_a_full_disk_under_standard_output_is_told(model: Path) -> None:
    full = Path("/dev/full")
    for more in ([], ["--json"]):
        command = [sys.executable, "-m", "bentwork", "takeoff", str(model), *more]
        with full.open("wb") as out:
            done = subprocess.run(command, stdout=out, stderr=subprocess.PIPE, text=True, check=False)
        assert (done.returncode, done.stderr.count("\n")) == (2, 1)
        assert "could not be written" in done.stderr


def test_a_table_of_corner_points(tmp_path: Path) -> None:
    path = tmp_path / "hook.csv"
    path.write_text("0,0,0\n10,0,0\n10,8,0\n")
    status, found = document(str(path), "--radius", "1", "--units", "in")
    assert status == 0
    assert found["solids"][0]["bends"][0]["radius_mm"] == pytest.approx(25.4)
    assert run(str(path))[0] == 2


@pytest.mark.parametrize(
    ("options", "says"),
    [(("--units", "furlong"), "mm or in"), (("--radius", "wide"), "length"), (("--radius", "-3"), "above 0")],
)
def test_wrong_options_are_told(model: Path, options: tuple[str, ...], says: str) -> None:
    status, found = document(str(model), *options)
    assert status == 2
    assert says in found["errors"][0]["says"]


def test_a_material_that_is_not_known_is_told_once_as_the_option_that_it_is(model: Path, tmp_path: Path) -> None:
    status, _, err = run(str(model), "--job", str(tmp_path / "a.toml"), "--material", "steel")
    assert (status, list(tmp_path.iterdir())) == (2, [])
    assert err.count("found") == 1
    assert "--material: found 'steel'" in err
    assert 'Did you mean "S235"' in err


def test_a_model_given_as_a_job_is_told_what_it_is(model: Path) -> None:
    with pytest.raises(InputError, match="found a STEP model; wanted a job file"):
        read_job(model)


def broken(path: Path, data: bytes) -> str:
    path.write_bytes(data)
    with pytest.raises(InputError) as caught:
        take_off(path)
    return str(caught.value)


def test_files_that_only_look_like_step(model: Path, tmp_path: Path) -> None:
    whole = model.read_bytes()
    path = tmp_path / "x.step"
    assert "without its end" in broken(path, whole[: len(whole) // 2])
    end = b"\nENDSEC;\nEND-ISO-10303-21;\n"
    cut = broken_or_other(path, whole[: len(whole) // 2] + end)
    assert cut
    junk = b"ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\n" + b"#1=((((" * 2000 + end
    assert "found" in broken(path, junk)
    nothing = b"ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\n#1=CARTESIAN_POINT('',(0.,0.,0.));" + end
    assert "no product and no shape" in broken(path, nothing)
    loops = b"ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\n#1=#1;\n#2=SHAPE_REPRESENTATION('',(#2),#2);" + end
    assert "found" in broken(path, loops)


def test_archives_named_as_models_are_not_unpacked(tmp_path: Path) -> None:
    """A hundred megabytes of nothing in a hundred kilobytes, and the same again as gzip."""
    path = tmp_path / "bomb.stp"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("model.stp", b"\0" * 100_000_000)
    packed = path.read_bytes()
    assert len(packed) < 200_000
    assert "found a zip archive" in broken(path, packed)
    assert "found a gzip archive" in broken(tmp_path / "bomb.stpz", gzip.compress(packed))
    assert "END-ISO" in broken(path, b"ISO-10303-21;\n" + packed)


def test_a_small_file_of_very_many_instances_ends_as_an_error(tmp_path: Path) -> None:
    bar = BRepPrimAPI_MakeBox(12.0, 12.0, 80.0).Solid()
    assert len(take_off(write_nest(tmp_path / "few.step", bar, 2, 9)).solids) == 81
    nest = write_nest(tmp_path / "many.step", bar, 5, 9)
    assert nest.stat().st_size < 100_000
    with pytest.raises(InputError) as caught:
        take_off(nest)
    assert "more than 50000 solids" in str(caught.value)


def broken_or_other(path: Path, data: bytes) -> bool:
    """Half a file with an end: an error, or solids of which none is silently a piece of nothing."""
    path.write_bytes(data)
    try:
        result = take_off(path)
    except InputError:
        return True
    return all(solid.kind == "piece" or solid.reason for solid in result.solids)


def faces_of(shape: TopoDS_Shape) -> list[TopoDS_Shape]:
    found = []
    explorer = TopExp_Explorer(shape, TopAbs_ShapeEnum.TopAbs_FACE)
    while explorer.More():
        found.append(explorer.Current())
        explorer.Next()
    return found


def test_surfaces_wires_and_solids_that_do_not_close_have_their_reasons(tmp_path: Path) -> None:
    line = Centreline(cases.U)
    bar = solids.swept(line, cases.ROD)
    builder = BRep_Builder()
    sheet, leaking, solid = TopoDS_Shell(), TopoDS_Shell(), TopoDS_Solid()
    builder.MakeShell(sheet)
    builder.MakeShell(leaking)
    for face in faces_of(bar)[:3]:
        builder.Add(sheet, face)
    for face in faces_of(bar)[1:]:
        builder.Add(leaking, face)
    builder.MakeSolid(solid)
    builder.Add(solid, leaking)
    named = [("sheet", sheet), ("leaking", solid), ("wire", solids.wire_along(line)), ("bar", bar)]
    result = take_off(write_step(tmp_path / "mixed.step", named))
    told = {one.name: (one.kind, one.reason or "") for one in result.solids}
    assert told["bar"] == ("piece", "")
    assert told["sheet"][0] == "other"
    assert "surfaces only" in told["sheet"][1]
    assert told["leaking"][0] == "other"
    assert "close" in told["leaking"][1]
    wire = next(one for one in result.solids if one.name == "wire")
    assert wire.kind == "piece"
    assert wire.bars[0].section is None
    assert wire.bars[0].length == pytest.approx(line.table.length)


def test_limits_end_a_reader_that_takes_too_much(model: Path) -> None:
    with pytest.raises(InputError) as caught:
        read_step(model, Limits(memory=300 << 20))
    assert "found" in str(caught.value)
    with pytest.raises(InputError) as caught:
        read_step(model, Limits(seconds=0))
    assert "long" in str(caught.value)


def test_ctrl_c_leaves_no_reader_behind(model: Path, tmp_path: Path) -> None:
    code = (
        # Where tests run in the background Ctrl-C is ignored, and children inherit that.
        "import signal, sys, time\nsignal.signal(signal.SIGINT, signal.default_int_handler)\n"
        "from pathlib import Path\nfrom bentwork.takeoff.reader import read_step\n"
        "def tell(p):\n    print('on', flush=True)\n    time.sleep(10)\n"
        f"read_step(Path({str(model)!r}), progress=tell)\n"
    )
    process = subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
    assert process.stdout is not None
    assert process.stdout.readline() == b"on\n"
    told = subprocess.run(["ps", "-o", "pid=", "--ppid", str(process.pid)], check=True, capture_output=True, text=True)
    children = [int(number) for number in told.stdout.split()]
    assert children
    process.send_signal(signal.SIGINT)
    assert process.wait(60) != 0
    process.stdout.close()
    for _ in range(300):
        if not any(Path(f"/proc/{child}").exists() for child in children):
            break
        time.sleep(0.1)
    assert not any(Path(f"/proc/{child}").exists() for child in children)


def test_a_page_shows_every_solid_with_its_outline(model: Path, tmp_path: Path) -> None:
    page = tmp_path / "page.html"
    done = CliRunner().invoke(app, ["takeoff", str(model), "--report", str(page)])
    assert done.exit_code == 0, done.stderr
    text = page.read_text(encoding="utf-8")
    solids = json.loads(CliRunner().invoke(app, ["takeoff", str(model), "--json"]).stdout)["solids"]
    bars = sum(max(1, len(solid.get("members") or [])) for solid in solids if solid["kind"] != "other")
    assert text.count("<svg") == bars
    assert all(f"<th>{solid['index']}" in text for solid in solids)
    assert "<script" not in text
    # To be passed on, it has the sizes too, and what else there is to say.
    assert "round 12 mm<br>" in text
    assert "<br>mirror image of 1<" in text
    again = CliRunner().invoke(app, ["takeoff", str(model), "--report", str(page)])
    assert (again.exit_code, "--force" in again.stderr) == (2, True)
