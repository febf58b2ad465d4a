"""Holes of a bracket: from a job into a model, out of it again, and into a job."""

from __future__ import annotations

from pathlib import Path

import pytest

from bentwork.files.export_files import export_files
from bentwork.files.job_file import parse_job
from bentwork.jobs.work import work
from bentwork.takeoff.job_text import job_of
from bentwork.takeoff.take import take_off
from tests.brackets import worked
from tests.truth.test_finished_models import HOLES
from tests.truth.test_step_models import STAMP


def test_a_job_of_a_model_has_the_holes_that_the_model_was_made_with(tmp_path: Path) -> None:
    first = worked(HOLES, 'mirror = true\nmirror_in = { axis = "y", at = 50 }')
    for name, data in export_files(first, STAMP, ["step"], lambda words: None):
        (tmp_path / name).write_bytes(data)
    text = job_of(take_off(tmp_path / "frame.step"))
    assert text.count("holes = [") == 1 and "mirror = true" in text
    second = work(parse_job(text.encode(), "frame.toml"))
    assert [f for f in second.findings if f.level == "stop"] == []
    (tmp_path / "again").mkdir()
    for name, data in export_files(second, STAMP, ["step"], lambda words: None):
        (tmp_path / "again" / name).write_bytes(data)
    (left, _), (again, *_) = (take_off(folder / "frame.step").solids for folder in (tmp_path, tmp_path / "again"))
    for a, b in zip(left.bars[0].holes, again.bars[0].holes, strict=True):
        assert (b.at, b.diameter, b.off_middle) == pytest.approx((a.at, a.diameter, a.off_middle), abs=1e-6)
        assert (b.slot, b.lean) == pytest.approx((a.slot, a.lean), abs=1e-6)
