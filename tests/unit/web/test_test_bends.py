"""Test bends by way of the server: the same values, words and rules as the command line's."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from httpx2 import Response

from bentwork.bending.test_bend import TestBend
from bentwork.files.job_file import parse_job
from bentwork.files.test_bend_entry import entry_of
from bentwork.files.test_bend_json import known_document
from bentwork.jobs.pairs import pairs
from bentwork.workshop.store import open_workshop
from tests.desk import EXAMPLE, NO_SHOP, AtDesk, at_desk

GIVEN = {"pulled": "97.5", "left": "90", "bar": "320", "mark": "130", "held_leg": "189", "free_leg": "166.5"}
DAY = {"made_on": "2026-03-12"}
PATH = "/api/jobs/crate-shelf/test-bends"


def enter(desk: AtDesk, given: dict[str, str], entry_id: str = "entry-0001", **more: str) -> Response:
    body = {"stock": "rod", "bender": "lever", "way": "easy", "entry_id": entry_id, "given": given, **more}
    return desk.client.post(PATH, json=body)


def known(desk: AtDesk) -> dict[str, Any]:
    answer = desk.client.get(PATH)
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json()["pairs"][0]
    return found


def kept(desk: AtDesk) -> tuple[TestBend, ...]:
    with open_workshop(desk.desk.place.workshop) as workshop:
        return workshop.test_bends.all(struck=True)


def test_without_test_bends_the_page_gets_what_the_command_line_prints(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    job = parse_job(EXAMPLE.encode(), "crate-shelf.toml")
    told = desk.client.get(PATH).json()
    assert [pair["title"] for pair in told["pairs"]] == ["rod on lever", "strap on press"]
    for pair, ours in zip(pairs(job), told["pairs"], strict=True):
        document = known_document(job, pair, ())
        assert ours["pulls"] == document["known"]["pulls"]
        assert ours["source"] == document["source"] == "handbook"
        assert document["says"] in ours["says"]
        assert ours["advice"] == document["advice"]["says"]
        assert ours["next"]["pull_to_deg"] == document["next"]["pull_to_deg"]
    assert not desk.desk.place.workshop.exists()  # looking makes no workshop


def test_a_test_bend_is_kept_and_what_it_taught_is_told(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    answer = enter(desk, GIVEN | DAY)
    assert answer.status_code == 200, answer.text
    job = parse_job(EXAMPLE.encode(), "crate-shelf.toml")
    pair = pairs(job)[0]
    bend = replace(entry_of(pair, GIVEN | DAY, job.ruler, "2026-01-01"), id=1)
    assert kept(desk) == (bend,)
    document = known_document(job, pair, (bend,), bend)
    told = answer.json()
    assert told["kept"] == 1
    ours = told["pairs"][0]
    assert ours["source"] == "test bends"
    assert ours["says"] == "How far to pull is known from 1 test bend on 2026-03-12."
    assert ours["pulls"] == document["known"]["pulls"]
    assert any(line.startswith("the bend starts") for line in ours["sizes"])
    (row,) = ours["test_bends"]
    assert (row["pulled_deg"], row["left_deg"], row["free_leg"], row["counts"]) == (97.5, 90.0, "166.5", True)


def test_steps_change_after_a_test_bend(tmp_path: Path) -> None:
    """Measured by hand: 97.5 degrees were pulled for 90, so that is near what the plan pulls to from then on."""
    desk = at_desk(tmp_path)
    before = desk.job()
    enter(desk, {"pulled": "97.5", "left": "90"} | DAY)
    after = desk.job()
    (old,), (new,) = (_pulls_of_bend_1(told) for told in (before, after))
    assert old != new
    assert "springback-from-test-bends" in {finding["code"] for finding in after["findings"]}
    assert "springback-from-test-bends" not in {finding["code"] for finding in before["findings"]}


def _pulls_of_bend_1(told: dict[str, Any]) -> set[float]:
    return {step["bend_to_deg"] for step in told["pieces"][0]["steps"] if step["bend"] == 1}


def test_all_that_is_wrong_is_told_by_the_names_of_the_fields_and_nothing_is_kept(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    answer = enter(desk, {"pulled": "far", "held_leg": "189", "tape": "-1", "made_on": "yesterday"})
    assert answer.status_code == 422
    keys = {fault["key"] for fault in answer.json()["errors"]}
    assert keys == {"pulled", "left", "bar", "tape", "made_on"}
    assert "--" not in answer.text  # options are the command line's
    assert enter(desk, {"pulled": "90", "left": "97"}).json()["errors"][0]["key"] == "left"
    assert not desk.desk.place.workshop.exists()


def test_an_entry_that_is_sent_twice_is_kept_once(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    assert [enter(desk, GIVEN, "the-same-entry").json()["kept"] for _ in range(3)] == [1, 1, 1]
    assert enter(desk, GIVEN, "another-entry").json()["kept"] == 2
    assert len(kept(desk)) == 2


def test_a_struck_test_bend_counts_no_more_and_stays_readable(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    before = known(desk)
    enter(desk, GIVEN)
    refused = desk.client.post(f"{PATH}/1/strike", json={"because": " "})
    assert refused.status_code == 422
    assert refused.json()["errors"][0]["key"] == "reason"
    answer = desk.client.post(f"{PATH}/1/strike", json={"because": "read the wrong side"})
    assert answer.status_code == 200
    ours = answer.json()["pairs"][0]
    assert ours["pulls"] == before["pulls"]
    assert ours["picture"]["points"] == []
    assert ours["test_bends"][0]["struck_because"] == "read the wrong side"
    assert not ours["test_bends"][0]["counts"]
    assert desk.client.post(f"{PATH}/7/strike", json={"because": "no such"}).status_code == 422


def test_the_picture_narrows_and_lies_where_the_table_says(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    for number, (pulled, left) in enumerate((("97.5", "90"), ("50", "44.6"), ("129", "119.5"))):
        enter(desk, {"pulled": pulled, "left": left}, f"entry-{number:04}")
    ours = known(desk)
    picture = ours["picture"]
    assert [point["springback_deg"] for point in picture["points"]] == pytest.approx([7.5, 5.4, 9.5])
    widths = [one["half_width_deg"] for one in picture["narrowed"]]
    assert [one["entered"] for one in picture["narrowed"]] == [0, 1, 2, 3]
    assert widths[1] < 0.5 * widths[0]
    assert widths[3] < widths[1]
    at_90 = next(one for one in picture["now"] if one["angle_deg"] == 90)
    pull = next(one for one in ours["pulls"] if one["angle_deg"] == 90)
    assert at_90["likely_deg"] == pytest.approx(pull["bend_to_deg"] - 90)
    assert at_90["least_deg"] == pytest.approx(pull["least_deg"] - 90)
    for now, book in zip(picture["now"], picture["handbook"], strict=True):
        assert now["angle_deg"] == book["angle_deg"]
        assert now["least_deg"] <= now["likely_deg"] <= now["most_deg"]
        assert now["most_deg"] - now["least_deg"] < book["most_deg"] - book["least_deg"]


def test_one_that_does_not_go_with_the_others_is_left_out_and_doubted(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    for number, (pulled, left) in enumerate((("97.5", "90"), ("97.3", "90"), ("97.6", "90"), ("97.5", "60"))):
        enter(desk, {"pulled": pulled, "left": left}, f"entry-{number:04}")
    ours = known(desk)
    assert [point["counts"] for point in ours["picture"]["points"]] == [True, True, True, False]
    assert [doubt["number"] for doubt in ours["doubts"]] == [4]
    assert "is left out" in ours["doubts"][0]["says"]


def test_a_slip_of_the_pen_is_asked_after_at_once_and_pulls_no_job(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    before = known(desk)
    answer = enter(desk, {"pulled": "150", "left": "90"}).json()
    pair = answer["pairs"][0]
    (doubt,) = pair["doubts"]
    assert doubt["number"] == answer["kept"]
    assert "set aside until it is read twice or another one confirms it" in doubt["says"]
    assert "Did you mean 105° pulled, 90° left?" in doubt["says"]
    assert pair["pulls"] == before["pulls"]
    assert pair["test_bends"][0]["counts"] is False
    assert [step["bend_to_deg"] for piece in desk.job()["pieces"] for step in piece["steps"]]
    assert "springback-from-handbook" in [finding["code"] for finding in desk.job()["findings"]]
    assert doubt["meant"] == {"pulled_deg": 105, "left_deg": 90}
    body = {**doubt["meant"], "entry_id": "meant-it-so"}
    for _ in range(2):  # sent again, it is kept once
        put_right = desk.client.post(f"{PATH}/{answer['kept']}/meant", json=body).json()
        struck, meant = put_right["pairs"][0]["test_bends"]
        assert struck["struck_because"] == "misread: 105° pulled, 90° left was meant"
        assert (meant["pulled_deg"], meant["left_deg"], meant["counts"]) == (105, 90, True)
    assert desk.client.post(f"{PATH}/99/meant", json=body).status_code == 422


def test_an_odd_one_that_was_read_twice_counts(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    before = known(desk)
    number = enter(desk, {"pulled": "150", "left": "90"}).json()["kept"]
    (doubt,) = known(desk)["doubts"]
    assert doubt["may_be_sure"] is True
    for _ in range(2):  # saying so twice does no harm
        answer = desk.client.post(f"{PATH}/{number}/sure")
        assert answer.status_code == 200
    now = answer.json()["pairs"][0]
    assert now["test_bends"][0]["counts"] is True
    (doubt,) = now["doubts"]
    assert doubt["may_be_sure"] is False
    assert "counts all the same: it was read twice" in doubt["says"]
    assert now["pulls"] != before["pulls"]
    told = [one for one in desk.job()["findings"] if one["code"] == "test-bend-doubtful"]
    assert {one["level"] for one in told} == {"watch"}
    assert desk.client.post(f"{PATH}/99/sure").status_code == 422


def test_a_bar_that_the_job_does_not_bend_is_refused(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    assert enter(desk, GIVEN, stock="gold").status_code == 422
    assert enter(desk, GIVEN, surprise="1").status_code == 422
    assert enter(desk, {"note": "x" * 5000, "pulled": "9", "left": "8"}).status_code == 422


def test_lengths_are_in_the_units_of_the_job(tmp_path: Path) -> None:
    """320 mm are 12.6 in (1 in = 25.4 mm, ISO 80000-3): a bare number is read in the job's own units."""
    desk = at_desk(tmp_path, {"crate-shelf": NO_SHOP.replace('units = "mm"', 'units = "in"', 1)})
    enter(desk, {"pulled": "97.5", "left": "90", "bar": "12 5/8"})
    assert kept(desk)[0].bar_mm == pytest.approx(12.625 * 25.4)
    told = desk.client.get(PATH).json()
    assert told["unit"] == "in"
    assert told["pairs"][0]["test_bends"][0]["bar"] == "12 5/8"


def test_the_drawing_says_which_length_is_which(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    for to in ("outside", "middle"):
        answer = desk.client.get(f"/api/test-bend-picture/{to}")
        assert answer.headers["content-type"].startswith("image/svg+xml")
        words = {text.text for text in ElementTree.fromstring(answer.content).iter("{http://www.w3.org/2000/svg}text")}
        assert {"bar", "mark", "held leg", "free leg", "left", "pulled", f"{to}s meet"} <= words
