"""``bentwork carry`` as a maker would give it."""

from __future__ import annotations

import io
import json
import math
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from rich.console import Console

from bentwork.cli.main import app
from bentwork.door.example import example_bytes

SHELF = """\
# A shelf bracket in a potting shed: one tube out of the wall.
format = 1
name = "Tool rail"

[stock.tube]
section = "tube"
diameter = 20
wall = 2
material = "S235"
bar_length = 6000
price = 12

[piece.rail]
stock = "tube"
points = [[0, 0, 0], [300, 0, 0]]
"""
LOADED = (
    SHELF
    + """
[load]
use = "house"
leaning = 0

[payload]
mass = 10
centre = [300, 0, 0]
on = ["rail"]
at = [[300, 0, 0]]

[fixing.wall]
piece = "rail"
at = [0, 0, 0]
held = "fixed"
"""
)


@pytest.fixture(autouse=True)
def _in_a_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("rail.toml").write_text(LOADED, encoding="utf-8")
    Path("crate-shelf.toml").write_bytes(example_bytes())


def run(*words: str) -> Result:
    return CliRunner().invoke(app, ["carry", *words])


def as_json(*words: str) -> Any:  # noqa: ANN401  what JSON holds
    return json.loads(run(*words, "--json").stdout)


def test_a_rail_out_of_the_wall_by_hand() -> None:
    found = as_json("rail")
    assert (found["asked"], found["use"], found["safety"]) == (True, "house", 1.5)
    # Dropped on to it counts twice: 1.5 x 2 (m g L + w L^2/2) = 235 W; W and I of a 20 x 2 tube; 7850 kg/m3.
    second = math.pi / 64 * (20**4 - 16**4)
    weight = 7850e-9 * math.pi / 4 * (20**2 - 16**2) * 9.80665
    carries = (235 * second / 10 / 3.0 - weight * 300**2 / 2) / (9.80665 * 300)
    assert found["carries_kg"] == pytest.approx(carries, rel=3e-3)
    assert found["first_to_give"][0]["where"] == "rail"
    assert found["first_to_give"][0]["gives_in"] == "dropped on to it"
    ei = 210000 * second
    still = next(one for one in found["moves"] if one["case"] == "standing still")
    assert still["by_mm"] == pytest.approx((10 * 9.80665 * 300**3 / 3 + weight * 300**4 / 8) / ei, rel=1e-2)
    (wall,) = found["reactions"]
    assert wall["case"] == "dropped on to it"
    assert wall["force_n"][2] == pytest.approx(2 * (10 * 9.80665 + weight * 300), rel=1e-6)
    assert wall["moment_nm"][1] == pytest.approx(-2 * (10 * 9.80665 * 300 + weight * 300**2 / 2) / 1000, rel=1e-6)
    proof = found["proof_load"]
    assert proof["mass_kg"] == pytest.approx(25.0), "a quarter more than dropped"
    assert proof["readings"][0]["goes_down_mm"] == pytest.approx(25 * 9.80665 * 300**3 / 3 / ei, rel=1e-2)


def test_in_words() -> None:
    result = run("crate-shelf", "--what-if")
    assert result.exit_code == 0, result.output
    for words in (
        "It carries 15.4 kg with a safety of 1.5; 12 kg are wanted.",
        "Proof load",
        "Put 37.5 kg on",
        "loop and stay left",
        "nobody: the bars touch",
        "round 12 mm (now)",
        "No certificate",
    ):
        assert words in result.stdout
    assert "Traceback" not in result.output


def test_too_much_is_status_1_and_nothing_to_reckon_is_said() -> None:
    assert run("rail", "--mass", "60").exit_code == 1
    assert run("rail", "--mass", "9").exit_code == 0
    Path("rail.toml").write_text(SHELF, encoding="utf-8")
    result = run("rail")
    assert result.exit_code == 0
    assert "does not say what is carried" in result.stdout
    assert as_json("rail")["asked"] is False


def test_what_cannot_be_tried_is_status_2() -> None:
    for words in (
        ("rail", "--mass", "-1"),
        ("rail", "--mass", "nan"),
        ("rail", "--radius", "0"),
        ("rail", "--stock", "x"),
    ):
        result = run(*words)
        assert result.exit_code == 2, words
        assert "wanted" in result.stderr
    assert as_json("rail", "--mass", "0")["errors"]


def test_tries_in_json() -> None:
    tries = as_json("rail", "--what-if")["what_if"]
    assert (tries["stock"], tries["pieces"]) == ("tube", ["rail"])
    now = next(one for one in tries["tries"] if one["now"])
    assert (now["section"], now["diameter_mm"], now["wall_mm"], now["material"]) == ("tube", 20, 2, "S235")
    assert now["price"] == pytest.approx(12 * 0.3 / 6)
    assert any(one["best"] for one in tries["tries"])


def test_check_tells_it_too() -> None:
    Path("rail.toml").write_text(LOADED.replace("mass = 10", "mass = 60"), encoding="utf-8")
    result = CliRunner().invoke(app, ["check", "rail", "--json"])
    assert result.exit_code == 1
    assert "carries-too-little" in [finding["code"] for finding in json.loads(result.stdout)["findings"]]


def test_a_frame_that_gives_stops_check_and_plan() -> None:
    for words in (("check", "rail"), ("plan", "rail")):
        assert CliRunner().invoke(app, list(words)).exit_code == 0, words
    Path("rail.toml").write_text(LOADED.replace("mass = 10", "mass = 60"), encoding="utf-8")
    for asked in (["check", "rail"], ["plan", "rail"], ["check", "rail", "--json"], ["plan", "rail", "--json"]):
        result = CliRunner().invoke(app, asked)
        assert result.exit_code == 1, asked
        assert "with a safety of 1.5, not 60 kg" in result.stdout
        if "--json" in asked:
            first = json.loads(result.stdout)["findings"][0]
            assert (first["level"], first["code"]) == ("stop", "carries-too-little")
            assert first["at_mm"] == pytest.approx([0, 0, 0], abs=1.0), "at the wall"


def test_braces_are_told_with_where_each_end_goes() -> None:
    told = " ".join(run("crate-shelf").stdout.split())
    assert "What would help most for the fewest grams" in told
    found = as_json("crate-shelf")
    helps = found["helps"]
    per_gram = [one["gain"] / one["grams"] for one in helps]
    assert per_gram == sorted(per_gram, reverse=True), "the best for a gram first"
    assert any(not one["braces"] for one in helps), "bigger sizes stand beside them"
    pair = next(one for one in helps if len(one["braces"]) == 2)
    assert f"{pair['change']}: {pair['gain']:+.0%}, {pair['grams']:+.0f} g" in told
    assert "carrier, wheels and straps are yours to look at" in told
    for brace in pair["braces"]:
        assert math.dist(*brace["points_mm"]) == pytest.approx(brace["length_mm"])
        assert (brace["section"], brace["diameter_mm"], brace["material"]) == ("round", 12.0, "6082-T6")
        for point, end in zip(brace["points_mm"], brace["ends"], strict=True):
            assert math.dist(point, end["at_mm"]) < 3 * 6.0, "cut to sit on the surface of what it ends on"
            assert end["bar"] in ("loop", "stay right", "stay left")
    grams = sum(2700e-6 * math.pi * 36 * brace["length_mm"] for brace in pair["braces"])
    assert pair["grams"] == pytest.approx(grams, rel=1e-6)


def test_a_rail_alone_has_nowhere_for_a_brace() -> None:
    assert all(not one["braces"] for one in as_json("rail")["helps"])


def test_what_if_at_a_terminal_of_80_columns(monkeypatch: pytest.MonkeyPatch) -> None:
    # No number is cut short, and every try is one line.
    text = io.StringIO()
    wide = Console(width=80, file=text)
    monkeypatch.setattr("bentwork.cli.say.console", lambda: wide)
    assert run("crate-shelf", "--what-if").exit_code == 0
    told = text.getvalue()
    lines = told[told.index("What if") : told.index("were tried")].splitlines()
    assert "…" not in told
    assert max(map(len, lines)) <= 80
    (now,) = (line.split() for line in lines if "(now)" in line)
    assert now[:6] == ["round", "12", "mm", "(now)", "6082-T6", "1.23"]
    assert "17.30" in now
