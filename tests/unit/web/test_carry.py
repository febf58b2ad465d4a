"""What a frame carries by way of the server: another payload, load cases, joints to confirm, other bars to take."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tests.desk import EXAMPLE, AtDesk, at_desk


def carry(desk: AtDesk, **query: float) -> dict[str, Any]:
    answer = desk.client.get("/api/jobs/crate-shelf/carry", params=query)
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json()
    return found


def tries(desk: AtDesk, **query: str | float) -> dict[str, Any]:
    answer = desk.client.get("/api/jobs/crate-shelf/carry/what-if", params=query)
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json()
    return found


def changed(desk: AtDesk, changes: list[dict[str, Any]]) -> dict[str, Any]:
    body = {"sum": desk.job()["sum"], "changes": changes}
    answer = desk.client.post("/api/jobs/crate-shelf/changes", json=body)
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json()
    return found


def test_the_example(tmp_path: Path) -> None:
    found = carry(at_desk(tmp_path))
    assert found["asked"]
    assert found["enough"]
    assert found["says"].startswith("It carries 15.4 kg with a safety of 1.5;")
    assert found["cases"][found["case"]]["name"] == found["gives"][0]["case"]
    assert [bar["name"] for bar in found["bars"]][:2] == ["loop", "crossbar 1"]
    for bar in found["bars"]:
        counts = {len(bar[key]) for key in ("places_mm", "moves_mm", "heats", "told")}
        assert len(counts) == 1
    assert [fixing["held"] for fixing in found["fixings"]] == ["fixed", "fixed", "pinned", "pinned"]
    assert found["payload"]["mass_kg"] == found["payload"]["tried_kg"] == 12.0
    assert len(found["payload"]["straps_mm"]) == 2
    assert found["proof"]["load"] == "37.5 kg where the payload bears, for 10 minutes."
    assert not found["motions"]


TABS = """
[tab.foot]
piece = "loop"
at = [[200, 300, -24], [200, 0, -24]]
thickness = 5
width = 24
end = 12
material = "S235"
hole = "M8"
axis = [0, 1, 0]
"""


def test_tabs_are_seen_and_go_with_their_bar(tmp_path: Path) -> None:
    assert carry(at_desk(tmp_path / "bare"))["tabs"] == []
    found = carry(at_desk(tmp_path, {"crate-shelf": EXAMPLE + TABS}))
    assert [one["name"] for one in found["tabs"]] == ["foot 1", "foot 2"]
    loop = next(bar for bar in found["bars"] if bar["name"] == "loop")
    for one, hole in zip(found["tabs"], ([200, 300, -24], [200, 0, -24]), strict=True):
        assert one["half_mm"] == [12.0, 2.5]
        ends = np.array(one["ends_mm"])
        assert ends[1] == pytest.approx([hole[0], hole[1], hole[2] - 12])  # the hole lies 12 mm before its outer end
        assert ends[0][2] == pytest.approx(-loop["half_mm"][1], abs=0.7)  # it is let onto the round of the bar
        # it goes with the place of the bar above it, but for what the bar turns there: no further than 40 mm of lever
        places = np.linalg.norm(np.array(loop["places_mm"]) - [*hole[:2], 0.0], axis=1)
        bar = np.array(loop["moves_mm"])[int(places.argmin())]
        moves = np.array(one["moves_mm"])
        assert moves[0] == pytest.approx(bar, abs=0.2)
        assert np.linalg.norm(moves[1] - moves[0]) < 0.5, "it stays as long and straight as it is"


def test_a_fixing_holds_by_inf_and_the_page_is_told_the_word(tmp_path: Path) -> None:
    text = EXAMPLE.replace('held = "fixed"', "held = [1000, inf, inf, 0, 0, 0]", 1)
    desk = at_desk(tmp_path, {"crate-shelf": text})
    (name,) = [one for one, table in desk.job()["data"]["fixing"].items() if isinstance(table.get("held"), list)]
    assert desk.job()["data"]["fixing"][name]["held"] == [1000, "inf", "inf", 0, 0, 0]
    typed = {"path": ["fixing", name, "held"], "value": ["inf", "inf", 2000, 0, 0, 0]}
    after = changed(desk, [typed])
    assert after["data"]["fixing"][name]["held"] == typed["value"]
    assert next(one["held"] for one in carry(desk)["fixings"] if one["name"] == name) == "on springs"


def test_the_bent_shape_goes_through_the_largest_move_and_its_drawing_is_seen(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    found = carry(desk, case=0)
    most = max(float(np.linalg.norm(bar["moves_mm"], axis=1).max()) for bar in found["bars"])
    assert found["cases"][0]["moves"] == f"{most:.2g} mm"
    places = np.concatenate([bar["places_mm"] for bar in found["bars"]])
    drawn = most * found["drawn_times"] / float(np.linalg.norm(np.ptp(places, axis=0)))
    assert 0.02 < drawn < 0.07
    held = [place for fixing in found["fixings"] for place in [fixing["at_mm"]]]
    for bar in found["bars"]:
        for place, move in zip(bar["places_mm"], bar["moves_mm"], strict=True):
            if min(float(np.linalg.norm(np.subtract(place, at))) for at in held) < 0.1:
                assert np.linalg.norm(move) < 1e-3, "what is held does not move"


def test_another_payload_and_another_case(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    heavy = carry(desk, mass=20.0)
    assert heavy["enough"] is False
    assert heavy["payload"]["mass_kg"] == 12.0
    assert heavy["payload"]["tried_kg"] == 20.0
    assert heavy["findings"][0]["code"] == "carries-too-little"
    assert "hit" in {heat for bar in heavy["bars"] for heat in bar["heats"]}
    other = carry(desk, case=3)
    assert other["case"] == 3
    assert carry(desk, case=99)["case"] == carry(desk)["case"]
    for mass in ("0", "-1", "nan", "much"):
        assert desk.client.get("/api/jobs/crate-shelf/carry", params={"mass": mass}).status_code == 422


def test_joints_are_confirmed_with_a_press_and_undone(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    found = carry(desk)
    told = [(joint["says"], joint["made"], joint["confirmed"]) for joint in found["joints"]]
    assert told == [
        ("loop and crossbar, 6 places", "welded", False),
        ("loop and stay, 2 places", "welded", False),
        ("crossbar and bracket", "bolted", True),
    ]
    text = changed(desk, found["joints"][0]["changes"]["welded"])["text"]
    assert '[joint."loop crossbar"]' in text
    after = carry(desk)
    assert [joint["confirmed"] for joint in after["joints"]] == [True, False, True]
    assert after["joints"][0]["changes"] == {}
    assert after["says"] == found["says"]
    changed(desk, after["joints"][1]["changes"]["none"])
    loose = carry(desk)
    assert loose["joints"][1]["says"] == "crossbar and bracket"


def test_a_frame_that_can_move_is_drawn_with_what_it_turns_about(tmp_path: Path) -> None:
    text = EXAMPLE.replace('held = "fixed"', 'held = "pinned"').replace("[joint.bracket]", "[joint.b]")
    stop = text.index('[fixing."left hook"]')
    desk = at_desk(tmp_path, {"crate-shelf": text[:stop] + text[text.index("[joint.b]") :]})
    found = carry(desk)
    (motion,) = found["motions"]
    assert "can turn" in motion["says"]
    (a, b) = np.array(motion["axis_mm"])
    along = (b - a) / np.linalg.norm(b - a)
    assert abs(along[1]) == pytest.approx(1.0), "it tips about the line through both feet"
    assert (a + b)[0] / 2 == pytest.approx(160.0)
    assert (a + b)[2] / 2 == pytest.approx(-326.0)
    assert motion["arrows_mm"]
    assert found["enough"] is None
    assert found["proof"] is None
    assert found["bars"][0]["places_mm"]
    assert tries(desk)["tries"] == []


def test_a_job_that_says_nothing_of_a_load(tmp_path: Path) -> None:
    desk = at_desk(tmp_path, {"crate-shelf": EXAMPLE[: EXAMPLE.index("[load]")]})
    found = carry(desk)
    assert not found["asked"]
    assert found["bars"] == []
    assert tries(desk)["tries"] == []


@pytest.mark.parametrize("units", ["mm", "in"])
def test_a_guess_to_start_from_can_be_reckoned_at_once(tmp_path: Path, units: str) -> None:
    text = EXAMPLE[: EXAMPLE.index("[load]")]
    if units == "in":
        text = INCHES[: INCHES.index("[payload]")]
    desk = at_desk(tmp_path, {"crate-shelf": text})
    start = carry(desk)["start"]
    mass = "10" if units == "mm" else '"20 lb"'
    assert f"\n[payload]\nmass = {mass}\n" in changed(desk, start)["text"], "a table of its own"
    found = carry(desk)
    assert found["asked"]
    assert found["start"] == []
    if units == "mm":
        assert "stay left" in found["copies"]
        held = [fixing["at_mm"] for fixing in found["fixings"]]
        assert np.allclose(sorted(held), [[160, 8, -326], [160, 292, -326]])
        assert "hand cart" in found["uses"]


def test_take_this_changes_the_stock_and_nothing_else(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    found = tries(desk)
    assert (found["stock"], found["stocks"], found["wanted_kg"]) == ("rod", ["rod", "strap"], 12.0)
    one = next(one for one in found["tries"] if one["says"] == "tube 16 × 1.5 mm, 6082-T6")
    assert one["bends"] == "other die"
    after = changed(desk, one["changes"])
    assert after["data"]["stock"]["rod"] == {
        "section": "tube",
        "diameter": 16,
        "wall": 1.5,
        "material": "6082-T6",
        "bar_length": 3000,
    }
    assert {key: after["data"][key] for key in after["data"] if key != "stock"} == {
        key: value for key, value in at_desk(tmp_path / "other").job()["data"].items() if key != "stock"
    }
    now = next(each for each in tries(desk)["tries"] if each["now"])
    assert now["says"] == one["says"]
    assert now["changes"] == []


def test_another_bend_radius_is_taken_by_what_is_bent(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    found = tries(desk, radius_mm=60.0)
    one = next(one for one in found["tries"] if one["says"] == "round 12 mm, 6082-T6, bends of 60 mm")
    assert [change["path"] for change in one["changes"]] == [["piece", "loop", "radius"], ["piece", "stay", "radius"]]
    assert changed(desk, one["changes"])["pieces"][0]["bends"][0]["radius_mm"] == 60.0


INCHES = """\
format = 1
units = "in"

[stock.rod]
section = "round"
diameter = 0.5
material = "S235"

[piece.arm]
stock = "rod"
points = [[0, 0, 0], [8, 0, 0]]

[payload]
mass = 2
centre = [8, 0, 0]
on = ["arm"]
at = [[8, 0, 0]]

[fixing.wall]
piece = "arm"
at = [0, 0, 0]
held = "fixed"
"""


def test_in_inches_sizes_are_written_as_what_they_are(tmp_path: Path) -> None:
    desk = at_desk(tmp_path, {"crate-shelf": INCHES})
    one = next(one for one in tries(desk)["tries"] if one["says"].startswith("tube") and one["enough"])
    after = changed(desk, one["changes"])
    assert after["data"]["stock"]["rod"]["diameter"].endswith(" mm")
    assert next(each for each in tries(desk)["tries"] if each["now"])["mass_kg"] == pytest.approx(one["mass_kg"])


def test_a_stock_that_is_not_there(tmp_path: Path) -> None:
    answer = at_desk(tmp_path).client.get("/api/jobs/crate-shelf/carry/what-if", params={"stock": "gold"})
    assert answer.status_code == 422
    assert "rod, strap" in answer.json()["errors"][0]["says"]


def test_straps_load_cases_and_bolts_are_written_as_the_page_writes_them(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    before = carry(desk)
    assert "M6" in before["bolt_sizes"]
    assert before["bolt_classes"][0] == "8.8"
    strap = {"piece": "loop", "at": [200, 150, 0], "towards": [200, 150, 110], "tension": 400}
    changed(desk, [{"path": ["payload", "straps", 2], "value": strap, "how": "insert"}])
    assert len(carry(desk)["payload"]["straps_mm"]) == 3
    after = changed(desk, [{"path": ["payload", "straps", 2], "how": "remove"}])
    assert after["text"].count("tension = 100") == 2
    assert len(carry(desk)["payload"]["straps_mm"]) == 2
    changed(desk, [{"path": ["load", "cases"], "value": [{"name": "own case", "down": 6}]}])
    own = carry(desk)
    assert own["cases"][-1]["name"] == "own case"
    assert own["gives"][0]["case"] == "own case", "six times its weight is harder than all of the use"
    changed(desk, [{"path": ["load", "cases", 0, "source"], "value": "a spring balance"}])
    assert carry(desk)["cases"][-1]["source"] == "a spring balance"
    changed(desk, [{"path": ["load", "cases"], "how": "remove"}])
    assert carry(desk)["says"] == before["says"]
    text = changed(desk, [{"path": ["joint", "bracket", "bolt", "size"], "value": "M8"}])["text"]
    assert 'bolt = { size = "M8", grade = "A2-70", hole = 0, count = 2 }' in text
    made = ["joint", "stays"]
    changed(desk, [{"path": made, "value": {"pieces": ["stay", "loop"], "made": "bolted"}}])
    changed(desk, [{"path": [*made, "bolt"], "value": {"size": "M5"}}])
    joint = next(one for one in carry(desk)["joints"] if "stay" in one["pieces"])
    assert (joint["made"], joint["confirmed"]) == ("bolted", True)
    gone = [{"path": [*made, "made"], "value": "welded"}, {"path": [*made, "bolt"], "how": "remove"}]
    changed(desk, gone)
    joint = next(one for one in carry(desk)["joints"] if "stay" in one["pieces"])
    assert joint["made"] == "welded"


def helps(desk: AtDesk) -> dict[str, Any]:
    answer = desk.client.get("/api/jobs/crate-shelf/carry/helps")
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json()
    return found


def test_a_pair_of_braces_is_added_to_the_job_and_then_carries_what_was_told(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    before = carry(desk)
    found = helps(desk)
    assert found["sum"] == before["sum"]
    assert "carrier, wheels" in found["caution"]
    pair = next(one for one in found["helps"] if one["says"].startswith("a pair of braces"))
    assert len(pair["lines_mm"]) == 2
    for one, other in zip(*pair["lines_mm"], strict=True):
        assert other == pytest.approx([one[0], 300.0 - one[1], one[2]])
    assert pair["where"][0].endswith("of round 12 mm, 6082-T6")
    (change,) = pair["changes"]
    assert change["path"] == ["piece", "brace"]
    assert change["value"]["mirror_in"] == {"axis": "y", "at": 150}
    changed(desk, pair["changes"])
    after = carry(desk)
    assert {"brace left", "brace right"} <= {bar["name"] for bar in after["bars"]}
    assert {"loop and brace", "stay and brace"} <= {one["says"].split(",")[0] for one in after["joints"]}
    gain = kg_of(after) / kg_of(before) - 1.0
    assert gain == pytest.approx(told_gain(pair), abs=0.012), "as far as both are rounded"
    assert all(not one["says"].startswith(pair["says"][:40]) for one in helps(desk)["helps"]), "there is no room twice"


def kg_of(found: dict[str, Any]) -> float:
    return float(found["says"].split()[2])


def told_gain(one: dict[str, Any]) -> float:
    return float(one["says"].split(": ")[-1].split("%")[0]) / 100.0


def test_bigger_sections_stand_beside_braces_and_nothing_without_a_load(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    thicker = next(one for one in helps(desk)["helps"] if one["says"].startswith("stay of round 14 mm"))
    assert thicker["where"] == thicker["lines_mm"] == thicker["changes"] == []
    bare = at_desk(tmp_path / "bare", {"crate-shelf": EXAMPLE[: EXAMPLE.index("[load]")]})
    assert helps(bare)["helps"] == []


def test_in_inches_a_brace_is_written_in_mm(tmp_path: Path) -> None:
    post = INCHES.replace("points = [[0, 0, 0], [8, 0, 0]]", "points = [[0, 0, 0], [16, 0, 0]]")
    post = post.replace("[payload]", '[piece.prop]\nstock = "rod"\npoints = [[0, 0, -12], [16, 0, -12]]\n\n[payload]')
    post += '\n[fixing.low]\npiece = "prop"\nat = [0, 0, -12]\nheld = "fixed"\n'
    desk = at_desk(tmp_path, {"crate-shelf": post})
    found = next(one for one in helps(desk)["helps"] if one["lines_mm"])
    (change,) = found["changes"]
    assert all(str(c).endswith(" mm") for point in change["value"]["points"] for c in point)
    changed(desk, found["changes"])
    assert "brace" in {bar["name"] for bar in carry(desk)["bars"]}
