"""A frame of mitred bars in one solid, taken off into a job and made into solids again, a bar each.

Independent truth: the kernel's volume of the frame (eps 1e-9) is that of its bars, which only touch at their mitres;
the long points of the bars reach its box.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from OCP.TopoDS import TopoDS_Shape

from bentwork.files.job_file import parse_job
from bentwork.jobs.work import work
from bentwork.takeoff.job_text import job_of
from bentwork.takeoff.take import take_off
from tests.takeoff_models.files import write_step
from tests.takeoff_models.frames import mitred_cases
from tests.truth.test_finished_models import exported
from tests.truth.test_step_models import box, solids, volume

CASES = {name: shape for name, shape, _ in mitred_cases()}


@pytest.mark.parametrize("name", CASES)
def test_a_mitred_frame_comes_back_as_its_bars(tmp_path: Path, name: str) -> None:
    shape: TopoDS_Shape = CASES[name]
    found = take_off(write_step(tmp_path / "one.step", [("frame", shape)]))
    (solid,) = found.solids
    assert solid.kind == "joined"
    result = work(parse_job(job_of(found).encode(), "again.toml"))
    assert exported(tmp_path, result) == []
    bars = solids(tmp_path / "frame.step")
    assert len(bars) == len(solid.bars)
    metal = [volume(bar) for bar in bars]
    assert sum(metal) == pytest.approx(volume(shape), rel=1e-6)
    lows, highs = zip(*((box(bar)[:3], box(bar)[3:]) for bar in bars), strict=True)
    whole = [*(min(sizes) for sizes in zip(*lows, strict=True)), *(max(sizes) for sizes in zip(*highs, strict=True))]
    assert whole == pytest.approx(list(box(shape)), abs=1e-3)
