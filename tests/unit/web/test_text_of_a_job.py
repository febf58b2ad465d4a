"""The text of a job file by way of the server, also of one that is wrong and has to be mended."""

from __future__ import annotations

from pathlib import Path

from tests.desk import EXAMPLE, at_desk

WRONG = EXAMPLE.replace("diameter = 12", "diameter = -12", 1)


def test_a_file_that_is_wrong_can_be_read_and_mended(tmp_path: Path) -> None:
    desk = at_desk(tmp_path, {"wrong": WRONG})
    assert desk.client.get("/api/jobs/wrong").status_code == 422
    told = desk.client.get("/api/jobs/wrong/text").json()
    assert told["text"] == WRONG
    worse = desk.client.put("/api/jobs/wrong/text", json={"sum": told["sum"], "text": WRONG.replace("-12", "-13")})
    assert worse.status_code == 422
    assert desk.desk.place.job("wrong").read_text() == WRONG
    mended = desk.client.put("/api/jobs/wrong/text", json={"sum": told["sum"], "text": EXAMPLE})
    assert mended.status_code == 200
    assert desk.desk.place.job("wrong").read_text() == EXAMPLE


def test_a_job_that_is_not_there_has_no_text(tmp_path: Path) -> None:
    assert at_desk(tmp_path).client.get("/api/jobs/nothing/text").status_code == 422
