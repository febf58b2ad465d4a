"""Test bends from the command line: entered, learnt from, used by plans and papers, struck out again."""

from __future__ import annotations

import json
import shutil
import sqlite3
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from bentwork.cli.main import app

JOB = """\
format = 1
name = "Oar rest"
units = "mm"

[stock.rod]
section = "round"
diameter = 12
material = "6082-T6"

[bender.lever]
kind = "wrap"
radius = 50
arm = { side = "above", gap = 14, thickness = 10, width = 40, length = 600 }

[piece.rest]
stock = "rod"
bender = "lever"
points = [[0, 0, 0], [200, 0, 0], [200, 180, 0], [200, 180, 160]]
"""
READ = (
    *("--pulled", "97.5", "--left", "90", "--bar", "320", "--mark", "130"),
    *("--held-leg", "189", "--free-leg", "166.5", "--on", "2026-03-12"),
)


@pytest.fixture(autouse=True)
def _in_a_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("BENTWORK_WORKSHOP", str(tmp_path / "memory"))
    Path("rest.toml").write_text(JOB, encoding="utf-8")
    yield


def run(*words: str) -> Result:
    return CliRunner().invoke(app, list(words))


def as_json(*words: str) -> Any:  # noqa: ANN401  what JSON holds
    done = run(*words, "--json")
    assert done.exit_code == 0, done.stderr
    return json.loads(done.stdout)


def step(document: Any) -> Any:  # noqa: ANN401
    return document["pieces"][0]["steps"][0]


def test_a_plan_begins_with_the_handbook_and_says_so() -> None:
    document = as_json("plan", "rest")
    first = step(document)
    assert first["bend_to_least_deg"] < first["bend_to_deg"] < first["bend_to_most_deg"]
    assert first["springback_deg"] == pytest.approx(first["bend_to_deg"] - 90.0)
    assert first["moment_nm"] > 72.0  # d^3/6 times the minimum yield of 250 MPa: a plastic hinge takes at least that
    assert first["lever_force_n"] == pytest.approx(first["moment_nm"] / 0.6, rel=0.1)
    assert document["pieces"][0]["springback_from"]["source"] == "handbook"
    assert not Path("memory").exists()  # a look makes no workshop
    assert "springback-from-handbook" in [finding["code"] for finding in document["findings"]]


def test_a_test_bend_is_kept_and_the_plan_follows_it() -> None:
    before = step(as_json("plan", "rest"))
    kept = as_json("testbend", "rest", *READ)
    assert (kept["kept"], kept["source"], len(kept["test_bends"])) == (1, "test bends", 1)
    document = as_json("plan", "rest")
    after = step(document)
    assert document["pieces"][0]["springback_from"] == {
        "source": "test bends",
        "test_bends": 1,
        "last_made_on": "2026-03-12",
        "says": "from 1 test bend on 2026-03-12",
    }
    width = [one["bend_to_most_deg"] - one["bend_to_least_deg"] for one in (before, after)]
    assert width[1] < width[0] / 2.0
    assert after["bend_to_deg"] == pytest.approx(97.5, abs=0.5)
    assert after["mark_mm"] != before["mark_mm"]  # the legs were measured: marks move
    assert document["pieces"][0]["cut_length_mm"] < 540.0 - 2 * (100.0 - 50.0 * 1.5707963) - 1.0


def test_angles_alone_move_no_mark() -> None:
    before = step(as_json("plan", "rest"))
    as_json("testbend", "rest", "--pulled", "97.5", "--left", "90")
    assert step(as_json("plan", "rest"))["mark_mm"] == before["mark_mm"]


def test_what_the_job_says_of_springback_comes_first() -> None:
    Path("rest.toml").write_text(JOB.replace("radius = 50", "radius = 50\nspringback = 1.05"), encoding="utf-8")
    as_json("testbend", "rest", *READ)
    document = as_json("plan", "rest")
    assert step(document)["bend_to_deg"] == pytest.approx(94.5)
    assert step(document)["bend_to_least_deg"] is None
    assert "springback-doubtful" in [finding["code"] for finding in document["findings"]]


def test_one_is_struck_out_and_stays_readable() -> None:
    as_json("testbend", "rest", *READ)
    assert as_json("testbend", "rest", "--strike", "1", "--because", "wrong bar")["test_bends"] == []
    assert as_json("plan", "rest")["pieces"][0]["springback_from"]["source"] == "handbook"
    assert "struck out: wrong bar" in run("workshop", "show").stdout
    again = run("testbend", "rest", "--strike", "1", "--because", "wrong bar")
    assert (again.exit_code, "struck out already" in again.stderr) == (2, True)


def test_inches_are_read_and_shown() -> None:
    Path("rest.toml").write_text(
        JOB.replace('units = "mm"', 'units = "in"').replace("50", "2").replace("= 12\n", '= "12 mm"\n')
    )
    done = run("testbend", "rest", "--pulled", "97.5", "--left", "90", "--bar", "12 5/8", "--mark", "5 1/8")
    assert done.exit_code == 0, done.stderr
    with sqlite3.connect("memory/workshop.sqlite3") as database:
        (row,) = database.execute("SELECT bar_mm, mark_mm, radius_mm FROM test_bends").fetchall()
    database.close()
    assert row == pytest.approx((12.625 * 25.4, 5.125 * 25.4, 50.8))
    assert " in of the same bar" in done.stdout


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--pulled", "90", "--left", "97"), ["--left", "no more than the 90° it was pulled to"]),
        (("--pulled", "-90", "--left", "-97"), ["--pulled", "--left", "an angle above 0°"]),
        (("--pulled", "97.5"), ["--left", "nothing"]),
        (("--pulled", "9o", "--left", "3 ft", "--bar", "x"), ["--pulled", '"9o"', "--left", "--bar"]),
        (("--pulled", "97", "--left", "90", "--held-leg", "100"), ["--bar", "legs say nothing"]),
        (("--pulled", "97", "--left", "90", "--bar", "100", "--mark", "200"), ["--mark", "a place on the bar"]),
        (("--pulled", "97", "--left", "90", "--on", "12 March"), ["--on", "year-month-day"]),
        (("--pulled", "97", "--left", "90", "--gauge", "0"), ["--gauge", "above 0"]),
        (("--stock", "rood", "--pulled", "97", "--left", "90"), ["stock", "rood", "rod"]),
        (("--strike", "7", "--because", "x"), ["number", "7"]),
        (("--strike", "7", "--pulled", "7"), ["--strike", "either"]),
    ],
)
def test_what_cannot_have_been_is_refused_all_at_once_and_nothing_is_kept(
    words: tuple[str, ...], said: list[str]
) -> None:
    done = run("testbend", "rest", *words)
    assert (done.exit_code, done.stdout) == (2, "")
    for word in said:
        assert word in done.stderr
    assert "Traceback" not in done.stderr
    document = json.loads(run("testbend", "rest", *words, "--json").stdout)
    assert document["errors"]
    assert "     0 test bends" in run("workshop", "where").stdout or not Path("memory").exists()


def test_a_look_says_what_to_do_next() -> None:
    done = run("testbend", "rest")
    assert done.exit_code == 0
    assert "from the handbook: make a test bend" in done.stdout
    assert "Next test bend: saw " in done.stdout
    assert "test bends snap" in done.stdout
    run("testbend", "rest", *READ)
    listed = run("testbend", "rest", "--list").stdout
    assert "2026-03-12" in listed
    assert "166.5" in listed


def test_the_papers_say_where_the_pull_is_known_from() -> None:
    from bentwork.cli.memory import worked
    from bentwork.jobs.papers import subjects
    from bentwork.sheets.shop_sheet import shop_sheet
    from bentwork.sheets.subject import A4

    run("testbend", "rest", *READ)
    (subject,) = subjects(worked(Path("rest.toml"), Path("memory")), "today")
    sheet = shop_sheet(subject, A4)
    assert any("from 1 test bend on 2026-03-12" in line for line in sheet.sure)
    assert any("Marks are where your test bends say" in line for line in sheet.sure)
    assert sheet.rows[0].between.startswith("96.")
    force = max(step.lever_force or 0.0 for step in subject.steps)
    assert sheet.facts[-1] == ("Lever", f"{5 * round(force / 5)} N ({force / 9.81:.0f} kg) at 600 mm")


def test_what_a_job_describes_is_kept_and_another_job_names_it() -> None:
    assert run("workshop", "keep", "rest").stdout.split() == ["bender", "lever", "stock", "rod"]
    Path("hoop.toml").write_text(
        'format = 1\nname = "Hoop"\n[piece.hoop]\nstock = "rod"\nbender = "lever"\n'
        "points = [[0, 0, 0], [200, 0, 0], [200, 200, 0]]\n"
    )
    piece = as_json("plan", "hoop")["pieces"][0]
    assert piece["bends"][0]["radius_mm"] == 50.0
    assert piece["mass_kg"] == pytest.approx((400 - 100 + 78.5398) * 113.097 * 2.7e-6, rel=1e-3)
    unknown = run("plan", "hoop", "--workshop", "elsewhere")
    assert (unknown.exit_code, "this file has none" in unknown.stderr) == (2, True)
    assert run("workshop", "forget", "bender", "lever").exit_code == 0
    assert run("plan", "hoop").exit_code == 2
    assert run("workshop", "forget", "bender", "lever").exit_code == 2


def test_backup_and_restore_lose_nothing() -> None:
    run("testbend", "rest", *READ)
    assert run("workshop", "backup", "copy.sqlite3").exit_code == 0
    assert run("workshop", "backup", "copy.sqlite3").exit_code == 2  # it is there already
    run("testbend", "rest", "--pulled", "65", "--left", "60")
    done = run("workshop", "restore", "copy.sqlite3")
    assert done.exit_code == 0
    assert "before-restore" in done.stdout
    assert len(as_json("testbend", "rest")["test_bends"]) == 1
    assert run("workshop", "export", "all.csv").exit_code == 0
    assert len(Path("all.csv").read_text().splitlines()) == 2
    assert run("workshop", "export", "all.csv").exit_code == 2
    assert run("workshop", "export", "all.json").exit_code == 0
    assert json.loads(Path("all.json").read_text())["test_bends"][0]["pulled_deg"] == 97.5


def test_a_workshop_of_a_newer_version_is_left_alone() -> None:
    run("testbend", "rest", *READ)
    with sqlite3.connect("memory/workshop.sqlite3") as database:
        database.execute("PRAGMA user_version = 99")
    database.close()
    for words in (("plan", "rest"), ("testbend", "rest", *READ), ("workshop", "where")):
        done = run(*words)
        assert (done.exit_code, done.stdout) == (2, "")
        assert "newer" in done.stderr
        assert "Traceback" not in done.stderr


def test_nowhere_to_write_is_said_plainly() -> None:
    Path("memory").write_text("a file where a folder should be")
    done = run("testbend", "rest", *READ)
    assert done.exit_code == 2
    assert "is a file, no folder" in done.stderr
    shutil.copy("rest.toml", "memory")
    assert run("workshop", "backup", "x").exit_code == 2


def test_two_bars_ask_which_is_meant() -> None:
    two = JOB + '\n[stock.thin]\nsection = "round"\ndiameter = 8\nmaterial = "S235"\n\n[piece.hook]\nstock = "thin"\n'
    Path("rest.toml").write_text(two + 'bender = "lever"\npoints = [[0, 0, 0], [200, 0, 0], [200, 200, 0]]\n')
    done = run("testbend", "rest", "--pulled", "97", "--left", "90")
    assert done.exit_code == 2
    assert "rod on lever, thin on lever" in done.stderr
    assert "--stock" in done.stderr
    look = run("testbend", "rest").stdout
    assert look.index("rod on lever") < look.index("thin on lever")
    assert as_json("testbend", "rest", "--stock", "thin", "--pulled", "93", "--left", "90")["stock"] == "thin"


def test_an_odd_one_counts_once_it_was_read_twice() -> None:
    odd = ("--pulled", "150", "--left", "90")
    assert as_json("testbend", "rest", *odd)["doubts"][0]["left_out"] is True
    told = run("check", "rest").stdout
    assert "testbend --sure" in " ".join(told.split())
    after = as_json("testbend", "rest", "--sure", "1")
    assert [one["left_out"] for one in after["doubts"]] == [False]
    assert after["source"] == "test bends"
    refused = run("testbend", "rest", "--sure", "7")
    assert refused.exit_code == 2
    assert "the number of a test bend that is there" in " ".join(refused.stderr.split())
    assert run("testbend", "rest", "--sure", "1", *odd).exit_code == 2
