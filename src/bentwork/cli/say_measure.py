"""Measured points, stays and keep-outs on the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.text import Text

from bentwork.cli import say
from bentwork.jobs.fit_told import (
    checked_words,
    datum_words,
    difference_words,
    end_words,
    missing_words,
    pair_words,
    read_words,
    room_words,
    spread_words,
    stay_words,
    sure_words,
    way_words,
)
from bentwork.jobs.survey_findings import reading_words

if TYPE_CHECKING:
    from rich.console import Console

    from bentwork.jobs.fit_round import FitRound
    from bentwork.jobs.stays import StayMade
    from bentwork.jobs.surveyed import Surveyed
    from bentwork.units import Ruler

__all__ = ["show"]


def show(found: FitRound, out: Console) -> None:
    """Print what a frame must fit."""
    ruler = found.job.ruler
    out.print(Text(f"{found.job.name}, version {found.job.version}", style="bold"))
    if not found.any:
        where = "[measured], [stay.NAME], [keepout.NAME] or [opening.NAME] (docs/measure.md)"
        out.print(Text(f"Nothing was measured: there is no {where}."))
    if found.points is not None:
        _points(found.points, ruler, out)
    for stay in found.stays:
        out.print()
        _stay(stay, ruler, out)
    if found.rooms:
        out.print()
        out.print(Text("Room to be left", style="bold"))
        for room in found.rooms:
            out.print(f"  {room.out.name}: {room_words(room, ruler)}")
    if found.ways:
        out.print()
        out.print(Text("Ways through", style="bold"))
        length, width, height = (ruler.length(size) for size in found.ways[0].box)
        out.print(f"  the frame as it stands is {length} long, {width} wide, {height} high")
        for way in found.ways:
            out.print(f"  {way.passed.opening.name}: {way_words(way, ruler)}")
    if found.findings:
        out.print()
        say.findings(found.findings, ruler, out)


def _points(points: Surveyed, ruler: Ruler, out: Console) -> None:
    out.print()
    out.print(Text("Points", style="bold") + Text(", in the coordinates of the job"))
    for spot in points.found.spots:
        place = ruler.point(points.found.place(spot.name))
        out.print(f"  {spot.name}: {place}, {sure_words(points, spot.name, ruler)}")
    if datum_words(points):
        out.print(f"  {datum_words(points)}")
    out.print()
    out.print(Text("Readings", style="bold"))
    checks = {check.reading: check for check in points.checks}
    for number, reading in enumerate(points.asked.used):
        said = f"{reading_words(reading.kind, reading.points)}: {read_words(reading, ruler)}"
        out.print(f"  {reading.number}  {said}; {checked_words(checks[number], ruler)}")
    if spread_words(points):
        out.print(f"  {spread_words(points)}")
    if points.sides is not None:
        out.print()
        out.print(Text("Left against right", style="bold"))
        for one in points.sides.differences:
            out.print(f"  {difference_words(one, ruler)}")
    if points.missing:
        out.print()
        out.print(Text("To measure next", style="bold") + Text(", what helps most first"))
        for number, wanted in enumerate(points.missing, 1):
            out.print(f"  {number}  {missing_words(wanted, ruler)}")


def _stay(one: StayMade, ruler: Ruler, out: Console) -> None:
    out.print(Text(f"Stay {one.name}", style="bold") + Text(f"  {one.stock.name}"))
    for line in stay_words(one, ruler):
        out.print(f"  {line}")
    for number, end in enumerate("AB"):
        out.print(f"  end {end}: {end_words(one, number, ruler)}")
    if pair_words(one, ruler):
        out.print(f"  {pair_words(one, ruler)}")
