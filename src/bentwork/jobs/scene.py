"""From a result to what is seen of its frame: bodies where they stand, their runs, and what is written beside them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bentwork.jobs.bodies import Body, bodies
from bentwork.jobs.carried import frame_of
from bentwork.jobs.finished import Finished, finished
from bentwork.jobs.small_parts import small_parts
from bentwork.jobs.work import Result
from bentwork.models.mesh import Mesh
from bentwork.models.tab_mesh import tab_mesh
from bentwork.parts.tab import Tab
from bentwork.piece.centreline import Run, chords_for
from bentwork.space import Vec
from bentwork.units import Ruler, angle

__all__ = ["MOVING_ERROR", "SIGHT_ERROR", "SceneBody", "SeenRun", "TabBody", "body_mesh", "scene"]

SIGHT_ERROR = 0.3
"""How far a triangle that is looked at may lie from the true surface, mm."""

MOVING_ERROR = 1.2
"""The same of what is seen while it moves, where the machine cannot keep up."""

_LINE_ERROR = 0.2  # of the polyline along the middle, mm


@dataclass(frozen=True, slots=True)
class SeenRun:
    """One straight or bend of a body.

    Args:
        kind: ``straight`` or ``bend``.
        number: straights from 0 at end A, bends from 1.
        points: along its middle, (n, 3), mm.
        text: its length or angle, in the maker's units.
    """

    kind: Literal["straight", "bend"]
    number: int
    points: NDArray[np.float64]
    text: str


@dataclass(frozen=True, slots=True)
class SceneBody:
    """One hand of one piece, as far as its copies are cut alike, or a tab on it.

    Args:
        name: of the piece, with its hand where both are made; of the copy where that is cut otherwise than the first.
        piece: name of the piece.
        as_drawn: False for the opposite hand.
        key: what its shape depends on; equal keys are equal bodies.
        runs: from end A to end B; straights of no length are left out.
        copies: name and shift, mm, of every one that stands in the frame.
        body: what its mesh is made from; None where its bends leave no room inside, so that there is none.
    """

    name: str
    piece: str
    as_drawn: bool
    key: tuple[object, ...]
    runs: tuple[SeenRun, ...]
    copies: tuple[tuple[str, Vec], ...]
    body: Finished | TabBody | None


@dataclass(frozen=True, slots=True)
class TabBody:
    """A tab, and the middle of its hole, mm."""

    tab: Tab
    hole: Vec

    def mesh(self, chord_error: float) -> Mesh:
        """Return it as triangles where it stands, within this error of its true surface, mm."""
        return tab_mesh(self.tab, self.hole, chord_error)


def scene(result: Result) -> tuple[SceneBody, ...]:
    """Return every body of the frame, its tabs last; pieces whose corners do not fit have none."""
    ruler = result.job.ruler
    return (*(_seen(one, ruler) for one in finished(result, bodies(result, ""))), *_tabs(result))


def _tabs(result: Result) -> Iterator[SceneBody]:
    """Tabs, each as part of the piece that it stands on."""
    if not result.job.tabs:
        return
    bars, _ = frame_of(result)
    piece = {bar.name: bar.of for bar in bars}
    for pattern in small_parts(result).tabs:
        for one in pattern.tabs:
            name = f"tab {one.name}"
            shape = TabBody(one.tab, one.hole)
            key = ("tab", replace(one.tab, foot=(0.0, 0.0, 0.0)), one.hole)
            yield SceneBody(name, piece[one.bar], True, key, (), ((name, (0.0, 0.0, 0.0)),), shape)


def body_mesh(body: Finished | TabBody, error: float = SIGHT_ERROR) -> Mesh:
    """Return a body as triangles to be looked at, within this error of its true surface, mm."""
    return body.mesh(error)


def _seen(one: Finished, ruler: Ruler) -> SceneBody:
    body, about = one.body, one.body.subject
    return SceneBody(
        name=one.name,
        piece=about.piece,
        as_drawn=about.as_drawn,
        key=(about.line, about.stock.section, about.way, one.ends, one.bores),
        runs=tuple(_runs(body, ruler)),
        copies=body.copies,
        body=None if body.tight else one,
    )


def _runs(body: Body, ruler: Ruler) -> Iterator[SeenRun]:
    straight = 0
    for run in body.subject.line.runs:
        if run.length > 0.0:
            points = np.array(_points(run))
            if run.bend:
                yield SeenRun("bend", run.bend, points, angle(run.angle))
            else:
                yield SeenRun("straight", straight, points, ruler.length(run.length))
        straight += run.bend == 0


def _points(run: Run) -> list[Vec]:
    count = chords_for(run.radius, run.length / run.radius, _LINE_ERROR) if run.bend else 1
    return [run.pose(run.length * k / count).origin for k in range(count + 1)]
