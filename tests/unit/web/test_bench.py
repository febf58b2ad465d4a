"""The bench by way of the server: steps ready to be shown, entries kept once, and struck out."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path
from typing import Any

import pytest

from bentwork.sheets.size_words import about_words
from bentwork.units import Ruler
from bentwork.workshop.log_entries import LoggedBend
from bentwork.workshop.store import open_workshop
from tests.desk import EXAMPLE, NO_SHOP, AtDesk, at_desk, client_of

VERSION = hashlib.sha256(EXAMPLE.encode()).hexdigest()[:6]
_NO_LENGTHS = {"max_angle", "price", "leaning", "km", "mass"}


def entry(**changes: Any) -> dict[str, Any]:  # noqa: ANN401 - whatever a test changes
    usual: dict[str, Any] = {
        "entry_id": "e1",
        "version": VERSION,
        "piece": "loop",
        "bend": 3,
        "held": "B",
        "pulled_deg": 98.7,
        "angle_deg": 89.5,
        "made_on": "2026-03-12",
    }
    return usual | changes


def log(desk: AtDesk, **changes: Any) -> Any:  # noqa: ANN401 - whatever a test changes
    return desk.client.post("/api/bench/crate-shelf/log", json=entry(**changes))


def bar(desk: AtDesk, **query: str | int) -> dict[str, Any]:
    answer = desk.client.get("/api/bench/crate-shelf/bar", params={"piece": "loop", **query})
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json()
    return found


def kept(desk: AtDesk, *, struck: bool = False) -> list[LoggedBend]:
    with open_workshop(desk.desk.place.workshop) as workshop:
        return [one for one in workshop.log.all(struck=struck) if isinstance(one, LoggedBend)]


def test_the_cards_are_the_steps_of_the_plan_with_every_text(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    steps = desk.job()["pieces"][0]["steps"]
    cards = bar(desk)["cards"]
    assert [(card["bend"], card["held"], card["pull_deg"]) for card in cards] == [
        (step["bend"], step["held"], step["bend_to_deg"]) for step in steps
    ]
    first = cards[0]
    assert (first["mark"], first["unit"], first["mark_from"]) == ("667", "mm", "from end A")
    assert (first["hold"], first["turn"], first["line"]) == ("Hold end B", "Put the bar in", "line faces down")
    assert first["caution"].startswith("Eye protection on. Fingers clear of die and follower.")
    assert (first["angle_least_deg"], first["angle_most_deg"]) == (85.0, 95.0)
    assert (first["off_least"], first["off_most"]) == (-5.0, 5.0)


def test_in_inches_the_mark_is_a_fraction(tmp_path: Path) -> None:
    inch = NO_SHOP.replace('units = "mm"', 'units = "in"').replace("[400, 300, 0]", "[400, 300, 0]")
    scaled = at_desk(tmp_path, {"crate-shelf": "\n".join(_in_mm(line) for line in inch.splitlines())})
    card = bar(scaled)["cards"][0]
    assert (card["mark"], card["unit"]) == ("26 1/4", "in")
    assert (card["off_least"], card["off_most"]) == (-0.19685, 0.19685)  # 5 mm: keyed in, and asked about, in inches
    answer = log(scaled, off="-1/16")
    assert answer.json()["made"][0]["more"] == "1/16 in towards end A"


@pytest.mark.parametrize("units", ["mm", "in"])
def test_a_length_in_doubt_is_told_in_the_units_of_the_job(tmp_path: Path, units: str) -> None:
    text = NO_SHOP.replace('units = "mm"', f'units = "{units}"')
    desk = at_desk(tmp_path, {"crate-shelf": "\n".join(_in_mm(line) for line in text.splitlines())})
    log(desk, off={"mm": "-40", "in": "-1 9/16"}[units])
    (doubt,) = bar(desk)["doubts"]
    read, rest = re.findall(rf"(\d[\d. /]*) {units}\b", doubt["says"])[:2]
    assert read == {"mm": "40", "in": "1 9/16"}[units]
    assert f"{read} {units} off its mark towards end A" in doubt["says"]
    assert doubt["value"] == f"{read} {units} towards end A"
    assert rest != read
    assert {"mm": " in ", "in": " mm"}[units] not in doubt["says"].replace("in the", "")


def test_cautions_are_those_of_the_metal_and_the_bender(tmp_path: Path) -> None:
    """Aluminium breaks without warning; a press has no lever to put a pipe over (common practice, no source)."""
    desk = at_desk(tmp_path)
    lever, press = (" ".join(bar(desk, piece=piece)["cautions"]) for piece in ("loop", "bracket"))
    assert "Aluminium breaks" in lever
    assert "No loose pipe" in lever
    assert "Aluminium" not in press
    assert "pipe" not in press
    assert "thrown out" in press
    assert lever.count("Eye protection on") == press.count("Eye protection on") == 1


def test_a_straight_bar_is_not_asked_for_at_the_bench(tmp_path: Path) -> None:
    """Where the job has one bender, its straight pieces have it too, and nothing to bend on it."""
    one = EXAMPLE.replace('[piece.crossbar]\nstock = "rod"', '[piece.crossbar]\nstock = "rod"\nbender = "lever"')
    listed = at_desk(tmp_path, {"crate-shelf": one}).client.get("/api/bench/crate-shelf/bars").json()["bars"]
    assert [row["says"] for row in listed] == ["loop", "stay RIGHT", "stay LEFT", "bracket"]


def test_what_is_logged_is_on_the_disk_when_the_answer_comes(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    answer = log(desk, rotation_deg=0.5, off="-1.5")
    assert answer.status_code == 200
    assert [one["bend"] for one in answer.json()["made"]] == [3]
    (one,) = kept(desk)
    marks = {mark["bend"]: mark["start_mm"] for mark in desk.job()["pieces"][0]["marks"]}
    assert (one.piece, one.bend, one.angle_deg, one.rotation_deg, one.held) == ("loop", 3, 89.5, 0.5, "B")
    assert one.position_mm == pytest.approx(marks[3] - 1.5)
    assert (one.bender, one.stock_key, one.pulled_deg) == ("lever", "round 12 6082-T6", 98.7)


def test_an_entry_sent_again_is_kept_once_even_when_the_job_was_changed_meanwhile(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    log(desk, off="2")
    path = desk.desk.place.job("crate-shelf")
    path.write_text(path.read_text().replace("trim = 15", "trim = 25").replace('"6082-T6"', '"S235"'))
    assert log(desk, off="2").status_code == 200
    assert len(kept(desk)) == 1
    other = log(desk, off="2", angle_deg=60.0)
    assert other.status_code == 422
    assert "an id that no other measurement has" in other.text


def test_an_entry_is_struck_out_and_saying_so_twice_does_no_harm(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    log(desk)
    word = {"entry_id": "e1", "piece": "loop", "made_on": "2026-03-12"}
    for _ in range(2):
        answer = desk.client.post("/api/bench/crate-shelf/strike", json=word)
        assert answer.status_code == 200
        assert answer.json()["made"] == []
    assert kept(desk) == []
    assert [one.struck_because for one in kept(desk, struck=True)] == ["taken back at the bench"]
    for wrong in ({"entry_id": "never"}, {"piece": "bracket"}):
        assert desk.client.post("/api/bench/crate-shelf/strike", json=word | wrong).status_code == 422


def test_bars_are_told_apart(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    log(desk, piece="stay", hand="left", bend=1, held="A", angle_deg=20.0)
    rows = desk.client.get("/api/bench/crate-shelf/bars").json()["bars"]
    assert [(row["says"], row["made"], row["finished"]) for row in rows] == [
        ("loop", 0, False),
        ("stay RIGHT", 0, False),
        ("stay LEFT", 1, True),
        ("bracket", 0, False),
    ]


def test_to_its_end(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    found = bar(desk)
    for number, card in enumerate(found["cards"]):
        assert not found["finished"]
        got = {"bend": card["bend"], "angle_deg": card["angle_deg"], "pulled_deg": card["pull_deg"]}
        found = log(desk, entry_id=f"e{number}", **got).json()
        assert (found["last_entry"], found["last_bend"]) == (f"e{number}", card["bend"])
    assert found["finished"]
    assert found["reckoning"]
    found = bar(desk)
    assert found["finished"]
    assert not found["reckoning"]
    assert not found["stopped"]
    # Its rotations were not measured, nor its gap: nobody knows how its ends meet.
    assert [one["code"] for one in found["findings"]] == ["measure-first"]
    assert (found["advice"], found["correct"]) == ("carry on", [])
    assert found["expected_gap_mm"] > 0.0
    assert found["expected_gap_sd_mm"] > 0.0
    assert found["outlook"]["head"] == "As measured"


@pytest.mark.parametrize(
    "changes",
    [
        {"piece": "ring"},
        {"bend": 9},
        {"bend": 0},
        {"angle_deg": 0},
        {"angle_deg": 400},
        {"rotation_deg": 181},
        {"hand": "left"},
        {"number": 2},
        {"made_on": "soon"},
        {"off": "far"},
        {"entry_id": ""},
        {"entry_id": "x" * 300},
        {"more": 1},
    ],
)
def test_what_makes_no_sense_is_refused_and_not_kept(tmp_path: Path, changes: dict[str, Any]) -> None:
    desk = at_desk(tmp_path)
    answer = log(desk, **changes)
    assert answer.status_code == 422
    assert answer.json()["errors"]
    assert kept(desk) == []


def test_a_paired_phone_may_use_the_bench_and_nothing_else(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    phone = client_of(desk.desk, "bench")
    assert phone.get("/api/bench/crate-shelf/bars").status_code == 200
    assert phone.post("/api/bench/crate-shelf/log", json=entry()).status_code == 200
    refused = ["/", "/job/crate-shelf", "/api/jobs", "/api/jobs/crate-shelf", "/api/sharing", "/api/meshes/x"]
    for path in refused:
        assert phone.get(path).status_code == 403, path
    for path in ("/api/sharing/start", "/api/sharing/stop", "/api/sharing/word", "/api/jobs/crate-shelf/changes"):
        assert phone.post(path, json={}).status_code == 403, path
    assert phone.put("/api/jobs/crate-shelf/text", json={}).status_code == 403
    assert len(kept(desk)) == 1


def _in_mm(line: str) -> str:
    """A line of the example with its lengths marked as mm."""
    key = line.split("=")[0].strip()
    bare = line.split("#")[0] if "name" not in key else line
    if key in {"count", "format", "closed", "mirror", "name", "units", "kind", "hand", "bolt"} | _NO_LENGTHS:
        return bare
    bare, apart, tension = bare.partition(", tension")
    bare = re.sub(r"(?<![\w.\"-])(-?\d+(?:\.\d+)?)(?![\w.\"-])", r'"\1 mm"', bare)
    return re.sub(r'axis = "(\d) mm"', r"axis = \1", bare) + apart + tension


def test_the_ghost_is_the_bar_over_its_drawing(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    log(desk, angle_deg=92.0)
    answer = desk.client.get("/api/bench/crate-shelf/ghost", params={"piece": "loop"})
    assert answer.status_code == 200
    ghost = answer.json()
    assert [stroke["dash"] for stroke in ghost["picture"]["strokes"]] == ["full", "dash"]
    assert "lies furthest off" in ghost["says"]


def test_a_bend_far_over_is_to_be_set_by_hand_with_cautions(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    log(desk, angle_deg=92.5)
    found = bar(desk)
    assert found["advice"] == "correct"
    assert found["correct"][0]["bend"] == 3
    assert found["correct"][0]["by_deg"] < 0.0
    assert found["outlook"]["sets"][0]["says"] == "Open bend 3"
    assert any("crack" in caution for caution in found["outlook"]["cautions"])


def test_a_reading_in_doubt_is_asked_about_and_settled_at_the_bench(tmp_path: Path) -> None:
    """98 for 89 is left out; said to be right it counts, and says so; said to be 89, it is that."""
    for told, value in (("right", None), ("meant", 89.0)):
        desk = at_desk(tmp_path / told)
        log(desk, angle_deg=98.0)
        (doubt,) = bar(desk)["doubts"]
        assert (doubt["entry_id"], doubt["kind"], doubt["bend"], doubt["value"]) == ("e1", "angle", 3, "98°")
        body = {"entry_id": "e2", "of": "e1", "kind": "angle", "value": value, "piece": "loop", "made_on": "2026-03-12"}
        for _ in range(2):  # a telephone sends it again when no answer came
            assert desk.client.post("/api/bench/crate-shelf/sure", json=body).status_code == 200
        assert [(one.angle_deg, one.sure) for one in kept(desk)] == [(98.0, False), (value or 98.0, True)]
        now = bar(desk)
        assert now["doubts"] == []
        off = now["outlook"]["off"]
        assert off == [] if value else off[0].startswith("Bend 3 is 8° too far: measure again, or ")


def test_a_reading_that_was_confirmed_before_it_was_sent_counts_at_once(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    log(desk, angle_deg=98.0, sure=True)
    assert bar(desk)["doubts"] == []


def test_sizes_are_measured_at_the_bench(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    log(desk)
    now = bar(desk)
    across = next(one for one in now["measures"] if one["kind"] == "across")
    assert across["says"].startswith("across, end A to corner 3")
    body = {
        "entry_id": "s1",
        "version": VERSION,
        "piece": "loop",
        "kind": "across",
        "start": across["start"],
        "end": across["end"],
        "length": "631.5",
        "made_on": "2026-03-12",
    }
    for _ in range(2):
        answer = desk.client.post("/api/bench/crate-shelf/size", json=body)
        assert answer.status_code == 200, answer.text
    after = bar(desk)
    assert after["sizes"] == ["across, end A to corner 3, 631.5 mm"]
    assert (after["last_entry"], after["last_says"]) == ("s1", "across, end A to corner 3, 631.5 mm")
    gap = body | {"entry_id": "s2", "kind": "gap", "start": None, "end": None, "length": "1.5"}
    refused = desk.client.post("/api/bench/crate-shelf/size", json=gap)
    assert refused.status_code == 422
    assert "when every bend is made" in refused.text
    struck = {"entry_id": "s1", "piece": "loop", "made_on": "2026-03-12"}
    assert desk.client.post("/api/bench/crate-shelf/strike", json=struck).json()["sizes"] == []


def test_a_mark_that_moved_from_the_sheet_says_so_on_its_card(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    assert not any(card["moved"] for card in bar(desk)["cards"])
    log(desk, angle_deg=92.0, off="3")
    moved = [card["moved"] for card in bar(desk)["cards"] if card["moved"]]
    assert moved
    assert all(" than the sheet: " in one for one in moved)


def test_what_was_meant_is_kept_as_it_was_shown(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    card = bar(desk)["cards"][0]
    log(desk, mark_mm=card["mark_mm"], turn_deg=card["turn_deg"])
    second = bar(desk)["cards"][1]
    assert second["turn_deg"] is not None
    log(desk, entry_id="e2", bend=second["bend"], mark_mm=second["mark_mm"], turn_deg=second["turn_deg"])
    assert [(one.mark_mm, one.turn_deg) for one in kept(desk)] == [
        (card["mark_mm"], None),
        (pytest.approx(second["mark_mm"]), pytest.approx(second["turn_deg"])),
    ]


def test_the_hand_is_told_from_other_bars_of_the_kind(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    assert bar(desk)["hand_says"] == []
    log(desk)
    assert bar(desk)["hand_says"] == []  # on the bar itself it counts as what it is
    for number, hand in enumerate(("left", "right")):
        step = bar(desk, piece="stay", hand=hand)["cards"][0]
        log(
            desk,
            entry_id=f"stay {number}",
            piece="stay",
            hand=hand,
            bend=step["bend"],
            held=step["held"],
            pulled_deg=step["pull_deg"],
            angle_deg=step["angle_deg"] + 1.0,
        )
    (says,) = bar(desk)["hand_says"]
    assert says.startswith("after 2 bends your angles scatter")


def test_a_height_below_the_table_is_asked_for_over_its_edge() -> None:
    """Nobody reads -340 mm off a rule: it is told which way it is measured, and how its sign is keyed in."""
    ruler = Ruler("mm")
    assert about_words("height", 12.34, ruler) == "about 12.3 mm"
    below = about_words("height", -340.0, ruler)
    assert below.startswith("about 340 mm below the table")
    assert below.endswith("±")
    assert about_words("height", -0.04, ruler) == "about 0 mm"
    assert about_words("gap", -2.0, ruler) == "about −2 mm"
