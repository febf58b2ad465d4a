"""From a result to what its measuring page is about, and to its picture."""

from __future__ import annotations

from itertools import pairwise

from bentwork.jobs.carried import frame_of
from bentwork.jobs.fit_round import FitRound, fit_round
from bentwork.jobs.fit_told import (
    checked_words,
    datum_words,
    difference_words,
    end_words,
    missing_words,
    pair_words,
    read_words,
    room_words,
    stay_words,
    sure_words,
    way_words,
)
from bentwork.jobs.survey_findings import reading_words
from bentwork.jobs.surveyed import Surveyed
from bentwork.jobs.work import Result
from bentwork.parts.keep_out_lines import lines_of
from bentwork.sheets.measure_sheet import MeasurePicture, MeasureSubject
from bentwork.sheets.told_pages import ToldPart
from bentwork.space import Vec
from bentwork.units import Ruler

__all__ = ["measure_parts", "measure_seen", "measure_subject"]


def measure_subject(result: Result, date: str) -> MeasureSubject:
    """Return what a frame must fit; without words where the job says nothing of it."""
    found, job = fit_round(result), result.job
    return MeasureSubject(
        job.name, job.version, date, measure_seen(result), measure_parts(found, job.ruler) if found.any else ()
    )


def measure_seen(result: Result) -> MeasurePicture:
    """Return what is seen of what a frame must fit."""
    bars, _ = frame_of(result)
    points = fit_round(result).points
    outs = tuple(row for out in result.job.keepouts for row in lines_of(out))
    if points is None:
        return MeasurePicture(bars, (), (), outs)
    named = tuple((spot.name, points.found.place(spot.name)) for spot in points.found.spots)
    return MeasurePicture(bars, named, tuple(_taken(points)), outs)


def _taken(points: Surveyed) -> list[tuple[Vec, Vec]]:
    """Lines between points that something was read between, each once."""
    pairs: dict[frozenset[str], tuple[str, str]] = {}
    for reading in points.asked.used:
        for pair in pairwise(reading.points[:2]):
            pairs.setdefault(frozenset(pair), pair)
    return [(points.found.place(one), points.found.place(other)) for one, other in pairs.values()]


def measure_parts(found: FitRound, ruler: Ruler) -> tuple[ToldPart, ...]:
    """Return all of it in words, in the order of the work."""
    parts = [] if found.points is None else _points(found.points, ruler)
    for stay in found.stays:
        ends = [f"End {end}: {end_words(stay, number, ruler)}." for number, end in enumerate("AB")]
        pair = [f"{pair_words(stay, ruler)}."] if stay.pair else []
        lines = [_sentence(line) for line in (*stay_words(stay, ruler),)]
        parts.append(ToldPart(f"Stay {stay.name}, {stay.stock.name}", (*lines, *ends, *map(_sentence, pair))))
    if found.rooms:
        lines = [f"{one.out.name}: {room_words(one, ruler)}." for one in found.rooms]
        parts.append(ToldPart("Room to be left", tuple(lines)))
    if found.ways:
        lines = [f"{one.passed.opening.name}: {way_words(one, ruler)}." for one in found.ways]
        parts.append(ToldPart("Ways through", tuple(lines)))
    return tuple(parts)


def _points(points: Surveyed, ruler: Ruler) -> list[ToldPart]:
    checks = {check.reading: check for check in points.checks}
    places = [
        f"{spot.name}: {ruler.point(points.found.place(spot.name))}, {sure_words(points, spot.name, ruler)}."
        for spot in points.found.spots
    ]
    if datum_words(points):
        places.append(datum_words(points))
    read = [
        f"{reading.number}. {_sentence(reading_words(reading.kind, reading.points))[:-1]}: "
        f"{read_words(reading, ruler)}; {checked_words(checks[number], ruler)}."
        for number, reading in enumerate(points.asked.used)
    ]
    parts = [ToldPart("Points, in the coordinates of the job", tuple(places)), ToldPart("What was read", tuple(read))]
    if points.sides is not None:
        lines = [f"{_sentence(difference_words(one, ruler))}" for one in points.sides.differences]
        parts.append(ToldPart("Left against right", tuple(lines)))
    if points.missing:
        lines = [_sentence(missing_words(one, ruler)) for one in points.missing]
        parts.append(ToldPart("To measure next, what helps most first", tuple(lines), ticks=True))
    return parts


def _sentence(text: str) -> str:
    ended = text if text.endswith(".") else f"{text}."
    return ended[:1].upper() + ended[1:]
