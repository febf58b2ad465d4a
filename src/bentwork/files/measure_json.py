"""What the frame must fit as JSON: lengths in mm, angles in degrees, keys carry the unit; what is not known is null."""

from __future__ import annotations

import math
from typing import Any

from bentwork.files.plan_json import FORMAT, findings_document
from bentwork.jobs.fit_round import FitRound
from bentwork.jobs.room_left import Room, RoomLeft, WayThrough
from bentwork.jobs.stays import StayMade
from bentwork.jobs.surveyed import Surveyed

__all__ = ["measure_document"]


def measure_document(found: FitRound) -> dict[str, Any]:
    """Return what ``measure --json`` prints."""
    job = found.job
    return {
        "format": FORMAT,
        "job": job.name,
        "version": job.version,
        "findings": findings_document(found.findings, job.ruler),
        "measured": None if found.points is None else _points(found.points),
        "stays": [_stay(one) for one in found.stays],
        "keepouts": [_room(one) for one in found.rooms],
        "openings": [_way(one) for one in found.ways],
    }


def _told(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _points(points: Surveyed) -> dict[str, Any]:
    found = points.found
    checks = {one.reading: one for one in points.checks}
    sides = points.sides
    return {
        "points": [
            {
                "name": spot.name,
                "place_mm": list(found.place(spot.name)),
                "sure_to_mm": _told(found.sure_to(spot.name)),
                "covariance_mm2": [[float(c) for c in row] for row in found.block(spot.name)],
                "told": not open_,
                "given": spot.at is not None,
            }
            for spot, open_ in zip(found.spots, found.untold, strict=True)
        ],
        "held": list(found.datum.held),
        "ground_mm": found.ground,
        "readings": [
            {
                "number": reading.number,
                "kind": reading.kind,
                "points": list(reading.points),
                "read_mm": reading.value,
                "accuracy_mm": reading.accuracy,
                "residual_mm": checks[number].residual,
                "normalised_residual": checks[number].normalised,
                "redundancy": checks[number].redundancy,
                "least_error_found_mm": _told(checks[number].least_found),
                "odd": any(number == one.reading for one in points.odd),
            }
            for number, reading in enumerate(points.asked.used)
        ],
        "left_out": sorted(points.asked.left_out),
        "more_than_needed": found.degrees,
        "spread": found.spread,
        "left_against_right": None
        if sides is None
        else {
            "plane_normal": list(sides.normal),
            "plane_at_mm": sides.at,
            "pairs": [
                {
                    "left": one.left,
                    "right": one.right,
                    "ahead_mm": one.ahead,
                    "outward_mm": one.outward,
                    "up_mm": one.up,
                    "sure_to_mm": [_told(size) for size in one.sure],
                }
                for one in sides.differences
            ],
        },
        "measure_next": [
            {
                "kind": one.kind,
                "points": list(one.points),
                "about_mm": one.about,
                "sure_before_mm": one.before,
                "sure_after_mm": one.after,
                "tells": one.tells,
            }
            for one in points.missing
        ],
    }


def _stay(one: StayMade) -> dict[str, Any]:
    asked = one.laid.asked
    return {
        "name": one.name,
        "stock": asked.stock,
        "start_mm": list(one.laid.start),
        "end_mm": list(one.laid.end),
        "corner_points_mm": [list(point) for point in one.laid.way.points],
        "straight_mm": one.straight,
        "developed_mm": one.developed,
        "cut_length_mm": one.cut_length,
        "bends": one.bends,
        "clear": one.laid.way.clear,
        "fouls": [{"name": foul.name, "gap_mm": foul.gap, "wanted_mm": foul.wanted} for foul in one.laid.way.fouls],
        "length_sure_to_mm": _told(one.moved.length),
        "end_across_sure_to_mm": _told(one.moved.across),
        "slot_mm": one.slot,
        "ends": [
            {
                "kind": end.kind,
                "hole_mm": end.hole,
                "from_hole_to_end_mm": end.beyond,
                "cut_back_mm": back,
                "flat_width_mm": flat.width if flat else None,
                "flat_thickness_mm": flat.thickness if flat else None,
                "flat_length_mm": flat.length if flat else None,
                "bent_to_bolt_deg": tongue,
            }
            for end, back, flat, tongue in zip(asked.ends, one.laid.cut_back, one.flats, one.tongues, strict=True)
        ],
        "second_flat_turned_deg": one.turn,
        "pair": None
        if one.pair is None
        else {
            "other": one.pair.other,
            "longer_mm": one.pair.longer,
            "sure_to_mm": _told(one.pair.sure),
            "alike": one.pair.alike,
        },
    }


def _room(one: RoomLeft) -> dict[str, Any]:
    return {
        "name": one.out.name,
        "wanted_mm": one.out.clearance,
        "drawn": _near(one.drawn),
        "loaded": None if one.loaded is None else _near(one.loaded),
    }


def _near(one: Room) -> dict[str, Any]:
    return {
        "bar": one.bar,
        "gap_mm": one.near.gap,
        "place_mm": list(one.near.place),
        "swung_deg": one.near.angle,
        "case": one.case,
    }


def _way(one: WayThrough) -> dict[str, Any]:
    passed = one.passed
    return {
        "name": passed.opening.name,
        "clear_width_mm": passed.opening.width,
        "clear_height_mm": passed.opening.height,
        "width_mm": passed.width,
        "height_mm": passed.height,
        "spare_mm": passed.spare,
        "along": list(passed.along),
        "up": list(passed.up),
        "frame_mm": list(one.box),
    }
