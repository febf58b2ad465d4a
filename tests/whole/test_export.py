"""``bentwork export`` from a job to files, as a maker would give it."""

from __future__ import annotations

import csv
import io
import json
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from bentwork.cli.main import app
from bentwork.errors import FileError
from bentwork.files import step_out
from bentwork.files.job_file import read_job
from bentwork.files.step_out import Model, NoKernelError, step_models
from bentwork.jobs.bodies import bodies
from bentwork.jobs.work import work

CART = """\
# An allotment garden's hand cart: a hoop to tie down with, and two straps of flat bar.
format = 1
name = "Hand cart"

[stock.rod]
section = "round"
diameter = 12
material = "S235"

[stock.strap]
section = "flat"
width = 30
height = 4
material = "S235"

[bender.lever]
kind = "wrap"
radius = 50
springback = 1.04

[bender.press]
kind = "vee"
radius = 10
springback = 1.02

[piece.hoop]
stock = "rod"
bender = "lever"
points = [[0, 0, 0], [0, 0, 250], [300, 0, 250], [300, 0, 0]]
trim = 10

[piece.strap]
stock = "strap"
bender = "press"
points = [[0, 0, 0], [80, 0, 0], [80, 0, 60]]
mirror = true
mirror_in = { axis = "y", at = 100 }
"""


@pytest.fixture(autouse=True)
def _in_a_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.chdir(tmp_path)
    Path("cart.toml").write_text(CART, encoding="utf-8")
    yield


def run(*words: str) -> Result:
    return CliRunner().invoke(app, list(words))


def names(folder: str = "cart-models") -> set[str]:
    return {path.name for path in Path(folder).iterdir()}


PIECES = ("hoop", "strap-left", "strap-right")


def test_everything_is_written_and_told() -> None:
    done = run("export", "cart")
    assert done.exit_code == 0, done.stderr
    made = names()
    for kind in ("step", "dxf", "stl", "glb", "svg"):
        assert {f"{piece}.{kind}" for piece in PIECES} <= made
    assert {"frame.step", "frame.glb", "bend-tables.csv", "marks.csv", "steps.csv"} <= made
    assert {"strap-left-flat.dxf", "strap-right-flat.dxf"} <= made
    assert "hoop-flat.dxf" not in made
    assert {"saddle-rod.stl", "saddle-strap-flat.stl", "saddle-strap-on-edge.stl"} <= made
    assert {"gauge-left-90.0-inside-44.stl", "gauge-pull-93.6-inside-44.stl", "gauge-left-90.0-inside-8.stl"} <= made
    assert sorted(done.stdout.split()) == sorted(
        str(Path("cart-models") / name) for name in made if name != "made-by-bentwork.sha256"
    )


def test_tables_agree_with_the_plan() -> None:
    assert run("export", "cart", "--only", "csv").exit_code == 0
    plan = json.loads(run("plan", "cart", "--json").stdout)["pieces"][0]
    text = Path("cart-models/steps.csv").read_text(encoding="utf-8-sig")
    steps = [row for row in csv.DictReader(io.StringIO(text)) if row["piece"] == "hoop"]
    assert [float(row["mark, mm"]) for row in steps] == pytest.approx([s["mark_mm"] for s in plan["steps"]], abs=1e-6)
    assert [float(row["pull to, deg"]) for row in steps] == pytest.approx([93.6, 93.6])
    bought = ("buying.csv", "cuts.csv")
    assert names() == {"bend-tables.csv", "marks.csv", "steps.csv", "made-by-bentwork.sha256", *bought}


def test_what_is_made_again_replaces_what_was_made_and_nothing_else() -> None:
    assert run("export", "cart", "--only", "stl", "--only", "svg", "--out", "out").exit_code == 0
    mine = Path("out/strap-right.stl")
    mine.write_bytes(b"supports added by hand")
    Path("out/list.txt").write_text("screws", encoding="utf-8")
    Path("cart.toml").write_text(CART.replace("[piece.hoop]", "[piece.bow]"), encoding="utf-8")
    done = run("export", "cart", "--only", "stl", "--out", "out")
    assert done.exit_code == 2
    assert "strap-right.stl in out was not made by bentwork, or was changed since; it was left alone" in done.stderr
    assert done.stdout == ""
    assert not Path("out/bow.stl").exists()
    assert mine.read_bytes() == b"supports added by hand"
    assert run("export", "cart", "--only", "stl", "--out", "out", "--force").exit_code == 0
    assert mine.read_bytes() != b"supports added by hand"
    assert Path("out/list.txt").read_text(encoding="utf-8") == "screws"
    # The hoop is called a bow now: its model is gone, its views are of a kind that was not asked for.
    assert {"bow.stl", "hoop.svg"} <= names("out")
    assert "hoop.stl" not in names("out")


def test_without_the_kernel_all_but_step_is_written(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(step_out, "find_spec", lambda _: None)
    done = run("export", "cart")
    assert done.exit_code == 0
    assert "bentwork[cad]" in done.stderr
    assert {"hoop.stl", "hoop.glb", "hoop.dxf", "hoop.svg", "marks.csv"} <= names()
    assert not [name for name in names() if name.endswith(".step")]
    alone = run("export", "cart", "--only", "step", "--out", "steps")
    assert (alone.exit_code, alone.stdout) == (2, "")
    assert "bentwork[cad]" in alone.stderr
    assert not Path("steps").exists()


def hoop() -> Model:
    one = bodies(work(read_job(Path("cart.toml"))), "2025-11-02")[0]
    return Model("hoop", ((one, one.copies),))


def test_a_kernel_that_breaks_or_stays_away_is_told_and_cannot_be_heard(capfd: pytest.CaptureFixture[str]) -> None:
    noise = "import os; os.write(1, b'noise'); os.write(2, b'noise'); os.abort()"
    with pytest.raises(FileError, match="broke down"):
        step_models([hoop()], "", (sys.executable, "-c", noise))
    with pytest.raises(FileError, match="longer than 1 seconds"):
        step_models([hoop()], "", (sys.executable, "-c", "import time; time.sleep(60)"), seconds=1)
    missing = """import json, pathlib, sys
pathlib.Path(sys.argv[1], "answer.json").write_text(json.dumps({"missing": "libGL.so.1"}))"""
    with pytest.raises(NoKernelError, match=r"bentwork\[cad\].*libGL"):
        step_models([hoop()], "", (sys.executable, "-c", missing))
    assert capfd.readouterr() == ("", "")


def test_standard_output_of_the_program_is_names_of_files_and_nothing_else() -> None:
    command = [sys.executable, "-m", "bentwork", "export", "cart", "--only", "step"]
    done = subprocess.run(command, check=True, capture_output=True, text=True)
    assert [Path(line).suffix for line in done.stdout.splitlines()] == [".step"] * 4
    assert all(Path(line).read_bytes().startswith(b"ISO-10303-21") for line in done.stdout.splitlines())


def test_a_bend_without_room_inside_is_told_and_drawn_but_no_body() -> None:
    text = CART.replace("radius = 10", "radius = 2").replace("springback = 1.02", "")
    Path("cart.toml").write_text(text, encoding="utf-8")
    done = run("export", "cart", "--only", "step", "--only", "stl", "--only", "dxf")
    assert "strap left: no body is made of it, because bend 1 would leave nothing inside" in done.stderr
    assert {"hoop.step", "hoop.stl", "strap-left.dxf"} <= names()
    assert not {"strap-left.step", "strap-left.stl"} & names()


def test_what_the_files_of_the_frame_leave_out_is_told_with_those_files_alone() -> None:
    Path("cart.toml").write_text(CART.replace("trim = 10", "trim = 10\ncount = 3"), encoding="utf-8")
    told = "hoop stands in the frame: 3 are made, and 2 of them are not placed. Say where they stand: at = [[…], …]."
    for kind in ("step", "glb"):
        done = run("export", "cart", "--only", kind, "--out", kind)
        assert done.stderr.count(told) == 1
        assert told not in done.stdout
    assert "not placed" not in run("export", "cart", *"--only stl --only svg --only dxf --only csv".split()).stderr
    placed = "at = [[0, 0, 0], [0, 90, 0], [0, 180, 0]]"
    Path("cart.toml").write_text(CART.replace("trim = 10", f"trim = 10\n{placed}"), encoding="utf-8")
    assert "not placed" not in run("export", "cart", "--only", "glb").stderr


def test_a_job_of_straight_bars_has_bodies_but_no_marks() -> None:
    start = CART.index("[piece.hoop]")
    bar = '[piece.bar]\nstock = "rod"\npoints = [[0, 0, 0], [500, 0, 0]]\n'
    Path("cart.toml").write_text(CART[:start] + bar, encoding="utf-8")
    assert run("export", "cart").exit_code == 0
    assert names() == {
        *(f"bar.{kind}" for kind in ("step", "dxf", "stl", "glb", "svg")),
        *("frame.step", "frame.glb", "bend-tables.csv", "saddle-rod.stl", "made-by-bentwork.sha256"),
        *("buying.csv", "cuts.csv"),
    }


def test_a_job_without_pieces_gives_nothing() -> None:
    Path("cart.toml").write_text(CART[: CART.index("[piece.hoop]")], encoding="utf-8")
    done = run("export", "cart")
    assert (done.exit_code, done.stdout) == (0, "")
    assert "nothing to export" in done.stderr
    assert not Path("cart-models").exists()


def test_a_job_whose_corners_do_not_fit_gives_nothing() -> None:
    Path("cart.toml").write_text(CART.replace("[300, 0, 250]", "[30, 0, 250]"), encoding="utf-8")
    done = run("export", "cart")
    assert (done.exit_code, done.stdout) == (2, "")
    assert "corner" in done.stderr
    assert not Path("cart-models").exists()


def test_wrong_words_and_places_end_with_status_2() -> None:
    assert run("export", "nowhere/cart").exit_code == 2
    assert run("export", "cart", "--only", "pdf").exit_code == 2
    Path("out").write_text("a file of mine", encoding="utf-8")
    done = run("export", "cart", "--only", "csv", "--out", "out")
    assert done.exit_code == 2
    assert "out" in done.stderr
    assert "Traceback" not in done.stderr
    done = run("export", "cart", "--only", "csv", "--out", "out/below")
    assert done.exit_code == 2
    assert Path("out").read_text(encoding="utf-8") == "a file of mine"
