"""From a result to the bodies of its frame: every piece of either hand, and where each copy of it stands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bentwork.jobs.job import PieceSpec
from bentwork.jobs.papers import subjects
from bentwork.jobs.work import Result
from bentwork.models.carried import LEAST_ROOM, room_inside
from bentwork.models.mesh import Mesh
from bentwork.models.saddle import saddle
from bentwork.models.slab import slab
from bentwork.sheets.gauge_shapes import Gauge, card_for, gauges_for
from bentwork.sheets.subject import Subject
from bentwork.space import Vec
from bentwork.stock.section import Way

__all__ = ["GAUGE_THICKNESS", "Body", "bodies", "gauge_bodies", "saddle_bodies"]

GAUGE_THICKNESS = 3.0
"""Of printed angle gauges, mm: stiff in plastic, and it reaches past the middle of a 6 mm bar."""


@dataclass(frozen=True, slots=True)
class Body:
    """One piece of one hand.

    Args:
        name: of the piece, with its hand where both are made.
        subject: everything known of it.
        copies: name and shift, mm, of every one that stands in the frame; none where the job does not say where.
        tight: numbers of the bends whose inside leaves no room, so that no body can be made; usually none.
    """

    name: str
    subject: Subject
    copies: tuple[tuple[str, Vec], ...]
    tight: tuple[int, ...] = ()


def bodies(result: Result, date: str) -> tuple[Body, ...]:
    """Return every piece that fits, and its opposite hand where one is made.

    Args:
        result: of the job.
        date: that papers of it would carry.
    """
    specs = {plan.spec.name: plan.spec for plan in result.pieces}
    return tuple(_body(subject, specs[subject.piece]) for subject in subjects(result, date))


def _body(subject: Subject, spec: PieceSpec) -> Body:
    name = subject.piece if subject.hand is None else f"{subject.piece} {subject.hand}"
    room = room_inside(subject.line, subject.stock.section, subject.way)
    tight = tuple(bend for bend, left in room if left < LEAST_ROOM)
    return Body(name, subject, spec.copies(as_drawn=subject.as_drawn), tight)


def gauge_bodies(about: Sequence[Body]) -> tuple[tuple[Gauge, Mesh], ...]:
    """Return the angle gauges of all pieces as bodies, equal ones once; a bend whose legs cross takes none."""
    found: dict[tuple[object, ...], tuple[Gauge, Mesh]] = {}
    for body in about:
        for gauge in gauges_for(body.subject):
            key = (gauge.purpose, round(gauge.angle, 1), round(gauge.inside, 1), round(gauge.leg, 1))
            if key in found or card_for(gauge).far[0] <= 0.0:
                continue
            found[key] = (gauge, slab([(x, -y) for x, y in card_for(gauge).points], GAUGE_THICKNESS))
    return tuple(found.values())


def saddle_bodies(about: Sequence[Body]) -> tuple[tuple[str, Mesh], ...]:
    """Return a saddle for every bar of the job, and one for either way up where it makes a difference; with names."""
    found: dict[str, Mesh] = {}
    ways: tuple[Way, Way] = ("easy", "hard")
    for body in about:
        stock = body.subject.stock
        for way in ways:
            same = stock.section.depth() == stock.section.breadth()
            name = stock.name if same else f"{stock.name} {'flat' if way == 'easy' else 'on edge'}"
            if name not in found:
                found[name] = saddle(stock.section, way)
    return tuple(found.items())
