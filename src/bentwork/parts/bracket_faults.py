"""What is the matter with the holes of a bracket: in or near a bend, near an edge or one another, off the piece."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import combinations

from bentwork.fastening.faults import edge_findings
from bentwork.findings import Finding
from bentwork.parts.bracket import Blank, Seat

__all__ = ["hole_findings"]

LEAST_PITCH = 2.2
"""From middle to middle of two holes, in hole diameters: EN 1993-1-8, Table 3.3, p1 (seen)."""


def hole_findings(seats: Sequence[Seat], blank: Blank, piece: str) -> tuple[Finding, ...]:
    """Return what there is to say of the holes of a piece.

    Args:
        seats: of its holes.
        blank: of which it is bent.
        piece: its name.
    """
    found: list[Finding] = []
    for seat in seats:
        words = f"{_kind(seat)} {seat.hole.number}"
        if seat.off:
            found.append(_off(seat, words, blank, piece))
            continue
        found += edge_findings(seat.hole.size, seat.edge, f"{piece}, number {seat.hole.number},", piece)
        if seat.fold is not None and seat.gap < 0.0:
            found.append(_in_bend(seat, words, piece))
        elif seat.after:
            found.append(_near_bend(seat, words, blank, piece))
    found += _close(seats, piece)
    return tuple(found)


def _kind(seat: Seat) -> str:
    return "slot" if seat.hole.half_straight > 0.0 else "hole"


def _off(seat: Seat, words: str, blank: Blank, piece: str) -> Finding:
    return Finding(
        "stop",
        "hole-off-piece",
        f"{words.capitalize()} does not lie in {piece}: it reaches over an edge.",
        "Its middle is {edge} from the nearest edge of the finished piece, and from its middle to its own edge there "
        "are {half} already.",
        "Move it in, make it smaller, or take wider or longer bar.",
        piece=piece,
        lengths={"edge": seat.edge, "half": seat.hole.size / 2.0},
    )


def _in_bend(seat: Seat, words: str, piece: str) -> Finding:
    return Finding(
        "stop" if seat.in_bend else "watch",
        "hole-in-bend",
        f"{words.capitalize()} of {piece} lies in bend {seat.fold}.",
        "Its middle is in the bend." if seat.in_bend else "It reaches {into} into the bend.",
        "Move it out of the bend. Drilled in the flat the bar breaks or folds there; drilled afterwards the drill runs "
        "off the round, and no bolt head or nut lies flat.",
        piece=piece,
        bend=seat.fold,
        lengths={} if seat.in_bend else {"into": -seat.gap},
    )


def _near_bend(seat: Seat, words: str, blank: Blank, piece: str) -> Finding:
    if seat.rule == "block":
        why = (
            "Its edge is {gap} from where the bend ends, and {wanted} are wanted: nearer it hangs over the open V of "
            "{opening} while it is bent (half the opening, a bending shop's guide)."
        )
    else:
        times = seat.wanted / blank.thickness
        why = (
            f"Its edge is {{gap}} from where the bend ends, and {{wanted}} are wanted: {times:g} times the thickness "
            "(a stamping shop's guide)."
        )
    lengths = {"gap": seat.gap, "wanted": seat.wanted}
    if seat.rule == "block":
        lengths["opening"] = blank.opening or 0.0
    return Finding(
        "watch",
        "hole-near-bend",
        f"{words.capitalize()} of {piece} is too near bend {seat.fold} to be drilled in the flat.",
        why,
        "Centre-punch it in the flat, and drill it when the bend is made; or move it away from the bend.",
        piece=piece,
        bend=seat.fold,
        lengths=lengths,
    )


def _close(seats: Sequence[Seat], piece: str) -> Iterator[Finding]:
    for one, other in combinations(seats, 2):
        apart = min(math.dist(a, b) for a in one.hole.rounds for b in other.hole.rounds)
        least = LEAST_PITCH * max(one.hole.size, other.hole.size)
        if apart >= least - 1e-9:
            continue
        through = apart < (one.hole.size + other.hole.size) / 2.0
        yield Finding(
            "stop" if through else "watch",
            "holes-close-together",
            f"Holes {one.hole.number} and {other.hole.number} of {piece} "
            f"{'run into one another' if through else 'stand close together'}.",
            "From middle to middle there are {apart}; 2.2 times the hole, {least}, is the least (EN 1993-1-8, Table "
            "3.3).",
            "Move them apart.",
            piece=piece,
            lengths={"apart": apart, "least": least},
        )
