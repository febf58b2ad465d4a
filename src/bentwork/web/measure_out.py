"""What the frame must fit, as it goes over the wire."""

from __future__ import annotations

import math
from typing import Literal

from bentwork.files.plan_json import findings_document
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
    spread_words,
    stay_words,
    sure_words,
    way_words,
)
from bentwork.jobs.measure_papers import measure_seen
from bentwork.jobs.room_left import RoomLeft
from bentwork.jobs.stays import StayMade
from bentwork.jobs.survey_findings import reading_words
from bentwork.jobs.surveyed import Surveyed
from bentwork.jobs.work import Result
from bentwork.parts.keep_out_lines import lines_of
from bentwork.parts.survey_reading import KINDS
from bentwork.sheets.measure_sheet import measure_picture
from bentwork.units import Ruler
from bentwork.web.wire import FindingOut
from bentwork.web.wire_measure import (
    KeepOutRoomOut,
    MeasuredOut,
    MeasuredPointOut,
    MeasuredReadingOut,
    ReadingKindOut,
    ReadingMissingOut,
    StayOut,
    WayThroughOut,
)
from bentwork.web.wire_picture import picture_out

__all__ = ["measure_out"]

_WIDE, _HIGH = 120.0, 90.0  # mm; of the picture


def measure_out(sum_of_file: str, result: Result) -> MeasuredOut:
    """Return what the frame of a job must fit.

    Args:
        sum_of_file: of the job's text.
        result: of the job.
    """
    found, ruler = fit_round(result), result.job.ruler
    points = found.points
    return MeasuredOut(
        sum=sum_of_file,
        any=found.any,
        picture=picture_out(measure_picture(measure_seen(result), _WIDE, _HIGH)) if found.any else None,
        points=[] if points is None else _points(points, ruler),
        held="" if points is None else datum_words(points),
        readings=[] if points is None else _readings(points, ruler),
        spread="" if points is None else spread_words(points),
        sides=[] if points is None or points.sides is None else _sides(points, ruler),
        missing=[] if points is None else _missing(points, ruler),
        stays=[_stay(one, ruler) for one in found.stays],
        rooms=[_room(one, ruler) for one in found.rooms],
        ways=[
            WayThroughOut(name=one.passed.opening.name, says=way_words(one, ruler), fits=one.passed.spare >= 0.0)
            for one in found.ways
        ],
        box=_box(found, ruler),
        findings=[FindingOut(**one) for one in findings_document(found.findings, ruler)],
        kinds=_kinds(),
        lines_mm=[[list(place) for place in row] for out in result.job.keepouts for row in lines_of(out)],
    )


def _points(points: Surveyed, ruler: Ruler) -> list[MeasuredPointOut]:
    told = []
    for spot in points.found.spots:
        sure = points.found.sure_to(spot.name)
        look: Literal["given", "good", "loose", "open"] = "good" if sure <= points.asked.good else "loose"
        look = "given" if spot.at is not None else look if math.isfinite(sure) else "open"
        at = points.found.place(spot.name)
        told.append(
            MeasuredPointOut(
                name=spot.name,
                place=ruler.point(at),
                at_mm=list(at),
                sure=sure_words(points, spot.name, ruler),
                look=look,
            )
        )
    return told


def _missing(points: Surveyed, ruler: Ruler) -> list[ReadingMissingOut]:
    return [
        ReadingMissingOut(
            says=missing_words(one, ruler),
            kind=one.kind,
            of=list(one.points),
            about=ruler.number(round(one.about, 1) if ruler.units == "mm" else one.about),
        )
        for one in points.missing
    ]


def _readings(points: Surveyed, ruler: Ruler) -> list[MeasuredReadingOut]:
    checks, odd = {one.reading: one for one in points.checks}, {one.reading for one in points.odd}
    return [
        MeasuredReadingOut(
            entry=reading.number,
            says=reading_words(reading.kind, reading.points),
            read=read_words(reading, ruler),
            checked=checked_words(checks[number], ruler),
            odd=number in odd,
        )
        for number, reading in enumerate(points.asked.used)
    ]


def _sides(points: Surveyed, ruler: Ruler) -> list[str]:
    return [difference_words(one, ruler) for one in points.sides.differences] if points.sides is not None else []


def _stay(one: StayMade, ruler: Ruler) -> StayOut:
    lines = stay_words(one, ruler)
    return StayOut(
        name=one.name,
        facts=f"{one.stock.name}, {lines[0]}",
        lines=list(lines[1:]),
        ends=[end_words(one, number, ruler) for number in (0, 1)],
        pair=pair_words(one, ruler),
        at_mm=list(one.laid.end),
    )


def _room(one: RoomLeft, ruler: Ruler) -> KeepOutRoomOut:
    gap = one.worst.near.gap
    look: Literal["good", "near", "hit"] = "hit" if gap < 0.0 else "near" if gap < one.out.clearance else "good"
    return KeepOutRoomOut(name=one.out.name, says=room_words(one, ruler), look=look, at_mm=list(one.worst.near.place))


def _box(found: FitRound, ruler: Ruler) -> str:
    if not found.ways:
        return ""
    length, width, height = (ruler.length(size) for size in found.ways[0].box)
    return f"The frame as it stands is {length} long, {width} wide, {height} high."


def _kinds() -> list[ReadingKindOut]:
    """Kinds that may be entered; both readings off a string are one entry."""
    plain = [(kind, says) for kind, says in KINDS.items() if kind not in ("along", "offset")]
    told = [
        ReadingKindOut(
            kind=kind,
            says=f"{kind}: {says}",
            points=1 if kind == "height" else 2,
            numbers=[] if kind in ("level", "plumb") else ["reads"],
        )
        for kind, says in plain
    ]
    says = "string: from a string stretched between the first two points to the third"
    return [*told, ReadingKindOut(kind="string", says=says, points=3, numbers=["along", "off"])]
