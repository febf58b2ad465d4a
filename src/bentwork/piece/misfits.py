"""What does not fit in a set of corner points or a bend table: which corner, by how much, and the least change."""

from __future__ import annotations

import math

from bentwork import tolerances
from bentwork.findings import Finding
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.piece.corners import Corners
from bentwork.piece.remedies import largest_radius, least_shift
from bentwork.space import Vec, distance, norm

__all__ = ["MOST_MOVED", "closure", "misfits", "runs_on"]

MOST_MOVED = 12
"""Of a piece with more sides that are too short no least move of a point is looked for: nobody mends so many one by
one, next to each other they leave no room to move into, and the search takes milliseconds each."""


def misfits(corners: Corners) -> tuple[Finding, ...]:
    """Return a stop for everything that keeps these corners from becoming a bend table; nothing when they fit."""
    doubled = _doubled(corners)
    if doubled:
        return doubled  # sides without length have no direction: angles mean nothing until they are gone
    turned = _flat_or_folded(corners)
    bad = {finding.corner for finding in turned}
    tight = [
        side
        for side in range(corners.sides)
        if corners.slack(side) < -tolerances.SLACK and not bad & {side + 1, (side + 1) % len(corners.points) + 1}
    ]
    by_moving = len(tight) <= MOST_MOVED
    return (*turned, *(_too_close(corners, side, by_moving) for side in tight))


def _doubled(corners: Corners) -> tuple[Finding, ...]:
    found = []
    for side in range(corners.sides):
        gap = norm(corners.side(side))
        if gap >= tolerances.SAME_POINT:
            continue
        first, second = side + 1, (side + 1) % len(corners.points) + 1
        closing = corners.closed and second == 1
        found.append(
            Finding(
                "stop",
                "corner-doubled",
                f"Corner points {first} and {second} stand on the same spot.",
                "They are {gap} apart.",
                f"Take out point {first}: a closed piece closes by itself."
                if closing
                else f"Take out point {second}, or move it.",
                corner=first if closing else second,
                lengths={"gap": gap},
            )
        )
    return tuple(found)


def _flat_or_folded(corners: Corners) -> list[Finding]:
    found = []
    for index in range(len(corners.points)):
        if not corners.is_corner(index):
            continue
        angle, number = corners.angle_at(index), index + 1
        if angle < tolerances.LEAST_BEND:
            found.append(
                Finding(
                    "stop",
                    "corner-flat",
                    f"Corner point {number} lies on a straight line.",
                    f"The bar turns by {angle:.3f}° there; less than {tolerances.LEAST_BEND}° is no bend.",
                    f"Take out point {number}.",
                    corner=number,
                )
            )
        elif angle > 180.0 - tolerances.LEAST_BEND:
            found.append(
                Finding(
                    "stop",
                    "corner-folds-back",
                    f"At corner point {number} the bar comes straight back on itself.",
                    f"It turns by {angle:.3f}°; a return needs two corners, at least {{width}} apart.",
                    f"Put two points in place of point {number}, {{width}} apart across the return: "
                    "two bends of 90° that run into one another.",
                    corner=number,
                    lengths={"width": 2.0 * corners.radius_at(index)},
                )
            )
    return found


def _too_close(corners: Corners, side: int, by_moving: bool) -> Finding:
    first, second = side, (side + 1) % len(corners.points)
    have = norm(corners.side(side))
    setbacks = [corners.setback_at(first), corners.setback_at(second)]
    lengths: dict[str, float | Vec] = {"have": have, "need": sum(setbacks), "short": sum(setbacks) - have}
    bending = [point for point in (first, second) if corners.is_corner(point)]
    if len(bending) == 2:
        says = f"Corners {first + 1} and {second + 1} are too close together for their bends."
        lengths |= {"before": setbacks[0], "after": setbacks[1]}
        why = "The side between them is {have}; the bends take {before} and {after} of it: {short} too little."
    else:
        corner, end = (second, first) if corners.is_corner(second) else (first, second)
        says = f"Corner {corner + 1} is too close to the end of the bar, point {end + 1}, for its bend."
        why = "The side between them is {have}; the bend takes {need} of it: {short} too little."
    advice = []
    radius = largest_radius(corners, side)
    if radius is not None:
        lengths["radius"] = radius
        advice.append("a radius of {radius} or less fits")
    shift = least_shift(corners, side) if by_moving else None
    if shift is not None:
        lengths["shift"] = distance(shift.to, corners.points[shift.point])
        lengths["to"] = shift.to
        advice.append(f"moving point {shift.point + 1} by {{shift}}, to {{to}}, makes room")
    do = "; or ".join(advice) or "Set these corners further apart"
    return Finding(
        "stop",
        "corner-too-close",
        says,
        why,
        do[0].upper() + do[1:] + ".",
        corner=bending[-1] + 1,
        lengths=lengths,
    )


def closure(line: Centreline) -> tuple[Finding, ...]:
    """Return a stop when the ends of a closed piece do not meet."""
    gap = line.gap
    if not line.table.closed or (gap.distance <= tolerances.CLOSES_GAP and gap.angle <= tolerances.CLOSES_ANGLE):
        return ()
    return (
        Finding(
            "stop",
            "ends-apart",
            "The piece is said to be closed, but its ends do not meet.",
            f"End B comes out {{gap}} from end A, at an angle of {gap.angle:.2f}° to it.",
            "Mend the straights, angles or rotations; or take out closed = true.",
            lengths={"gap": gap.distance},
        ),
    )


def runs_on(table: BendTable) -> tuple[Finding, ...]:
    """Return a watch for every two bends with no straight between them."""
    found = []
    for number in range(1, len(table.bends)):
        before, after = table.bends[number - 1], table.bends[number]
        if table.straights[number] >= tolerances.RUNS_ON:
            continue
        one = math.isclose(before.radius, after.radius, rel_tol=1e-6) and abs(after.rotation) < tolerances.LEAST_BEND
        found.append(
            Finding(
                "watch",
                "bend-runs-on",
                f"Bend {number + 1} begins where bend {number} ends.",
                "There is no straight between them to hold or to press on; "
                f"the bend plane turns by {after.rotation:g}°.",
                f"They are one bend of {before.angle + after.angle:g}°: pull it in one, mark {number} start to mark "
                f"{number + 1} end."
                if one
                else "Leave a straight between them if your bender needs one to hold; few benders can do without.",
                bend=number + 1,
            )
        )
    return tuple(found)
