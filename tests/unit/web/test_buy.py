"""What is to be bought, as the page is told."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.desk import NO_SHOP, AtDesk, at_desk


@pytest.fixture
def desk(tmp_path: Path) -> AtDesk:
    return at_desk(tmp_path, {"crate-shelf": NO_SHOP + "\n[shop]\nkerf = 2\n"})


def test_what_to_buy(desk: AtDesk) -> None:
    found = desk.client.get("/api/jobs/crate-shelf/buy").json()
    assert found["sum"] == desk.job()["sum"]
    assert found["goods"][0]["amount"] == "2 × 3000 mm"
    assert found["comes_to"][0].startswith("in all 35.20")
    rod = found["stocks"][0]
    assert rod["longest_mm"] == 3000
    for bar in rod["bars"]:
        for before, after in zip(bar["spans"], bar["spans"][1:], strict=False):
            assert after["from_mm"] == pytest.approx(before["to_mm"] + 2.0)
        assert bar["spans"][-1]["to_mm"] <= bar["length_mm"]
    assert found["scales"] == []
    assert found["spares"] == []


def test_on_the_scales(desk: AtDesk) -> None:
    found = desk.client.get("/api/jobs/crate-shelf/buy", params={"weighed_kg": 1.25}).json()
    assert found["scales_agree"] is True
    assert found["scales"][0].startswith("weighed 1.25 kg, reckoned 1.25 kg")
    assert desk.client.get("/api/jobs/crate-shelf/buy", params={"weighed_kg": -1}).status_code == 422


def test_spares_of_the_job(tmp_path: Path) -> None:
    desk = at_desk(tmp_path, {"crate-shelf": NO_SHOP + "\n[shop]\nspares = { stay = 1 }\n"})
    found = desk.client.get("/api/jobs/crate-shelf/buy").json()
    assert found["spares"] == ["1 of stay"]
    assert any(span["name"] == "stay, spare" for bar in found["stocks"][0]["bars"] for span in bar["spans"])


def test_offcuts_and_bars_on_sale_are_written_into_the_file(desk: AtDesk) -> None:
    now = desk.job()
    changes = [
        {"path": ["stock", "rod", "offcuts"], "value": [820, 400]},
        {"path": ["stock", "rod", "bars"], "value": [{"length": 6000, "price": 26}]},
        {"path": ["shop", "bar_ends"], "value": 4},
    ]
    body = {"sum": now["sum"], "states": {now["sum"]: now["text"]}, "changes": changes}
    answer = desk.client.post("/api/jobs/crate-shelf/changes", json=body)
    assert answer.status_code == 200, answer.text
    found = desk.client.get("/api/jobs/crate-shelf/buy").json()
    rod = found["stocks"][0]
    assert any(bar["offcut"] for bar in rod["bars"])
    assert rod["bars"][0]["spans"][0]["from_mm"] == 2.0


def test_the_buying_list_is_a_paper(desk: AtDesk) -> None:
    found = desk.client.get("/api/jobs/crate-shelf/papers/buying", params={"size": "a4"}).json()
    assert found["file"] == "buying-list.pdf"
    assert len(found["pages"]) >= 1
