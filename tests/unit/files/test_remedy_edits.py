"""A remedy written into the job file means, read again, what was weighed up when it was found."""

from __future__ import annotations

import tomllib

import pytest

from bentwork.files.job_edit import set_value
from bentwork.files.job_file import parse_job
from bentwork.files.remedy_edits import remedy_edits
from bentwork.jobs.job import Job
from bentwork.jobs.work import PiecePlan, order_problem, work
from bentwork.planning.order_problem import OrderProblem
from bentwork.planning.order_remedies import Remedy, changed_by

ROLLER = """
format = 1
units = "mm"
[stock.rod]
section = "round"
diameter = 12
material = "6082-T6"
bar_length = 3000
[bender.lever]
kind = "wrap"
radius = 50
hook = { starts_behind = 12, length = 30, width = 16, height = 30 }   # worn
follower = { kind = "roller", radius = 18, height = 24, ahead = 22 }
plate = { x = [-110, 90], y = [-90, 70], gap_below_bar = 14, thickness = 10 }
needs = { straight_held = 42, straight_free = 35, end_held = 60, end_free = 60 }
[mounting.vise]
bender = "lever"
vise = { x = [-75, 75], y = [-60, 140], top = -24, bottom = -150 }
bench = { x = [-700, 700], y = [20, 700], top = -150, thickness = 40 }
floor = -1000
bodies = [
    { name = "wall", shape = "box", x = [-340, -320], y = [-900, 900], z = [-300, 800] },
    { name = "pipe", shape = "cylinder", from = [300, 0, -300], to = [300, 100, 300], radius = 20 },
]
[piece.hook]
stock = "rod"
bender = "lever"
points = [[0, 0, 0], [300, 0, 0], [300, 250, 0]]
trim = 15
"""
SHOE = ROLLER.replace('{ kind = "roller", radius = 18,', '{ kind = "shoe", length = 40, width = 15,')
INCHES = """
format = 1
units = "in"
[stock.rod]
section = "round"
diameter = "1/2"
material = "6082-T6"
bar_length = 118
[bender.lever]
kind = "wrap"
radius = 2
plate = { x = [-4, 3.5], y = [-3.5, 3], gap_below_bar = "9/16", thickness = "3/8" }
[mounting.vise]
bender = "lever"
vise = { x = [-3, 3], y = ["-2 1/2", 5.5], top = "-1 in", bottom = "-150 mm" }
[piece.hook]
stock = "rod"
points = [[0, 0, 0], [12, 0, 0], [12, 10, 0]]
"""


def of(text: str) -> tuple[Job, PiecePlan, OrderProblem]:
    job = parse_job(text.encode(), "job.toml")
    plan = work(job).pieces[0]
    assert plan.what is not None and plan.line is not None
    return job, plan, order_problem(plan.spec, plan.stock, plan.what, list(job.mountings.values()), plan.line.table)


def a_remedy(kind: str, value: float, other: float | None = None) -> Remedy:
    lengths = {"value": value} if other is None else {"value": value, "other": other}
    return Remedy(kind, value, "", lengths, ())


@pytest.mark.parametrize(
    ("text", "remedy"),
    [
        (ROLLER, a_remedy("riser", 80.0)),
        (ROLLER, a_remedy("turned-bender", 90.0)),
        (ROLLER, a_remedy("turned-bender", -90.0)),
        (ROLLER, a_remedy("turned-bender", 180.0)),
        (ROLLER, a_remedy("smaller-follower", 13.5)),
        (SHOE, a_remedy("roller", 7.5)),
        (ROLLER, a_remedy("shorter-hook", 15.0)),
        (ROLLER, a_remedy("longer-ends", 100.0)),
        (ROLLER, a_remedy("larger-radius", 75.0)),
        (ROLLER, a_remedy("riser+shorter-hook", 20.0, 22.5)),
        (INCHES, a_remedy("riser", 50.0)),
        (INCHES, a_remedy("longer-ends", 20.0)),
        (INCHES, a_remedy("larger-radius", 63.5)),
    ],
    ids=lambda value: value.kind if isinstance(value, Remedy) else "",
)
def test_what_is_written_is_what_was_weighed_up(text: str, remedy: Remedy) -> None:
    job, plan, problem = of(text)
    wanted = changed_by(problem, remedy)
    assert wanted is not None
    assert wanted != problem
    edits = remedy_edits(job, plan, remedy, tomllib.loads(text))
    assert edits
    after = text
    for path, value in edits:
        after = set_value(after, path, value)
    _, _, read = of(after)
    assert repr(rounded(read.bender)) == repr(rounded(wanted.bender))
    assert repr(rounded(read.mountings)) == repr(rounded(wanted.mountings))
    assert read.trim == pytest.approx(wanted.trim, abs=1e-4)
    assert read.table.straights == pytest.approx(wanted.table.straights, abs=1e-4)
    assert [bend.radius for bend in read.table.bends] == pytest.approx([bend.radius for bend in wanted.table.bends])
    assert text.count("#") == after.count("#")


def rounded(value: object) -> object:
    """Numbers to a hundredth of a millimetre, in whatever they stand."""
    if isinstance(value, float | int) and not isinstance(value, bool):
        return round(float(value), 2) + 0.0
    if isinstance(value, tuple | list):
        return [rounded(one) for one in value]
    slots = getattr(value, "__slots__", None)
    return {name: rounded(getattr(value, name)) for name in slots} if slots else value


def test_what_is_not_a_matter_of_the_file_gets_no_edits() -> None:
    job, plan, _ = of(ROLLER)
    data = tomllib.loads(ROLLER)
    assert remedy_edits(job, plan, a_remedy("split", 2.0), data) is None
    assert remedy_edits(job, plan, a_remedy("riser", 33.3), data) is None  # never offered
    assert remedy_edits(job, plan, a_remedy("riser", 80.0), data | {"bender": {}}) is None  # the workshop's own
    other = ROLLER + '[piece.more]\nstock = "rod"\nbender = "lever"\npoints = [[0, 0, 0], [300, 0, 0], [300, 250, 0]]\n'
    job, plan, _ = of(other)
    assert remedy_edits(job, plan, a_remedy("larger-radius", 75.0), tomllib.loads(other)) is None
    assert remedy_edits(job, plan, a_remedy("riser", 80.0), tomllib.loads(other)) is not None
