"""Where the seam is best put once the load is known; against the verdict on a frame that is really joined there."""

from __future__ import annotations

from functools import cache

import pytest

from bentwork.files.job_file import parse_job
from bentwork.fitup.ends import SeamPlace
from bentwork.jobs.carried import Carried, carried
from bentwork.jobs.fit_ahead import FitAhead, fit_ahead
from bentwork.jobs.seam_choice import load_words, seam_finding
from bentwork.jobs.seam_load import seam_load
from bentwork.jobs.work import Result, work
from tests.unit.jobs.test_going_on import BARE, DEMO, chance

SEAM = 'seam = "auto"'


@cache
def joined(seam: str) -> tuple[Result, Carried]:
    assert SEAM in DEMO
    result = work(parse_job(DEMO.replace(SEAM, f"seam = {seam}").encode(), "job.toml"))
    found = carried(result)
    assert found is not None
    return result, found


def beside_its_seam(found: Carried) -> float:
    """What the verdict on the whole frame has, where no other weld is near."""
    limits = found.verdict.limits
    assert limits is not None
    return max(limit.use for limit in limits.found if limit.where.endswith("beside its seam"))


@cache
def ahead(*, loaded: bool) -> FitAhead:
    result, _ = joined('"auto"')
    found = fit_ahead(result.pieces[0], chance, None, result if loaded else None)
    assert found is not None
    return found


@pytest.mark.parametrize(("seam", "place"), [("3", (3, 0.5)), ("7", (7, 0.5)), ("[5, 0.3]", (5, 0.3))])
def test_a_seam_is_used_as_it_is_once_the_frame_is_joined_there(seam: str, place: tuple[int, float]) -> None:
    result, _ = joined('"auto"')
    load = seam_load(result, result.pieces[0])
    assert load is not None
    really = beside_its_seam(joined(seam)[1])
    assert load.once_joined(place) == pytest.approx(really, rel=1e-3)


@pytest.mark.parametrize("place", [(3, 0.5), (7, 0.5), (5, 0.3)])
def test_at_rest_no_load_follows_the_seam_and_the_quick_way_is_right(place: tuple[int, float]) -> None:
    """Other elements: the two agree within what the places of stress lie apart, beside a strap 7 in 100."""
    lines = [line for line in DEMO.splitlines() if not line.startswith(("use =", "leaning", "road", "km ="))]
    result = work(parse_job("\n".join(lines).encode(), "job.toml"))
    load = seam_load(result, result.pieces[0])
    assert load is not None
    assert load.at(place) == pytest.approx(load.once_joined(place), rel=0.1)


def test_the_seam_prefers_a_straight_that_carries_little() -> None:
    found = ahead(loaded=True)
    assert found.seam is not None
    assert found.seam.load is not None
    assert not found.seam.light
    best = found.seams[0]
    assert best.light
    assert best.reached
    told = next(finding for finding in found.findings if finding.code == "seam-elsewhere")
    assert "a sixth of the strength" in told.why
    assert "nearly all where it is now" in told.why


def test_without_a_load_nothing_changes() -> None:
    found = ahead(loaded=False)
    assert all(seam.load is None for seam in found.seams)
    assert found.seam is not None
    assert found.seams[0].seam == found.seam.seam
    assert "seam-elsewhere" not in {finding.code for finding in found.findings}
    bare = work(parse_job(BARE.encode(), "job.toml"))
    assert carried(bare) is None
    assert seam_load(bare, bare.pieces[0]) is None
    result, _ = joined('"auto"')
    assert seam_load(result, next(plan for plan in result.pieces if plan.spec.name == "stay")) is None  # it is open


def test_what_carries_little_anyway_stays_where_it_is() -> None:
    best, now = (SeamPlace((side, 0.5), 300.0, 150.0, 10.0, load, True) for side, load in ((1, 0.05), (3, 0.3)))
    assert seam_finding((best, now), now) is None
    assert seam_finding((best, now), best) is None
    assert seam_finding((), None) is None


def test_words() -> None:
    assert load_words(0.34) == "a third of the strength in the worst case"
    assert load_words(0.96).startswith("nearly all")
    assert load_words(1.2).startswith("more than all")
