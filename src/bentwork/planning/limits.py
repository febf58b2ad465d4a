"""What bar and bender must allow whatever the order of work: lengths, angles, radii, straights; as findings."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from bentwork.findings import Finding
from bentwork.forming.effort import Straights
from bentwork.piece.bend_table import BendTable
from bentwork.planning.steps import Step
from bentwork.stock.bar import Stock
from bentwork.tooling.bender import Bender

__all__ = ["bar_findings", "bender_findings", "needed"]

_USUAL_REACH = 180.0  # degrees; most lever benders stop about there (common practice, no source)


def bar_findings(cut_length: float, stock: Stock) -> tuple[Finding, ...]:
    """Return a stop when the longest bar does not make the piece."""
    longest = stock.longest_bar
    if longest is None or cut_length <= longest:
        return ()
    return (
        Finding(
            "stop",
            "bar-too-short",
            f"One bar of {stock.name} is too short for this piece.",
            "It takes {cut} with its trim; the bar is {bar}: {short} too little.",
            "Buy a longer bar, leave less trim, or make it of two pieces joined in a straight.",
            lengths={"cut": cut_length, "bar": longest, "short": cut_length - longest},
        ),
    )


def bender_findings(
    table: BendTable, steps: Sequence[Step], bender: Bender | None, trim: float = 0.0
) -> tuple[Finding, ...]:
    """Return what the bender cannot do of a piece, and what is not known of it.

    Args:
        table: the piece.
        steps: the work at the bender.
        bender: None where none is named.
        trim: spare length on each end, mm.
    """
    if not table.bends:
        return ()
    if bender is None:
        return (
            Finding(
                "watch",
                "no-bender",
                "No bender is named for this piece.",
                f"It has {len(table.bends)} bends; which mark to line up and how far to pull depend on the bender.",
                "Add bender = to the piece.",
            ),
        )
    return (*_beyond(table, steps, bender), *_other_radii(table, bender), *_short_straights(table, bender, trim))


def _beyond(table: BendTable, steps: Sequence[Step], bender: Bender) -> Iterator[Finding]:
    reach = _USUAL_REACH if bender.max_angle is None else bender.max_angle
    stops = (
        f"the bender stops at {reach:g}°"
        if bender.max_angle is not None
        else f"nobody has said how far it goes, and many stop at {reach:g}°"
    )
    for step in steps:
        wanted = table.bends[step.bend - 1].angle
        far, most = step.bend_to > reach + 1e-9, max(step.bend_to, step.most or 0.0)
        if most <= reach + 1e-9:
            continue
        pulls = f"It has to be pulled to {step.bend_to:.1f}°"
        if not far:
            pulls += f", perhaps to {most:.1f}°,"
        yield Finding(
            "stop" if far and bender.max_angle is not None else "watch",
            "bend-beyond-tool",
            f"Bend {step.bend} {'is' if far else 'may be'} further than {bender.name} goes.",
            f"{pulls} to leave {wanted:.1f}°; {stops}.",
            "Split it into two bends with a straight between, use another bender, or finish it by hand in the vise."
            if far
            else "Make a test bend as far as this one, before you cut the bar.",
            bend=step.bend,
        )


def _other_radii(table: BendTable, bender: Bender) -> Iterator[Finding]:
    for number, bend in enumerate(table.bends, 1):
        if math.isclose(bend.radius, bender.radius, rel_tol=1e-6, abs_tol=1e-3):
            continue
        yield Finding(
            "watch",
            "other-radius",
            f"Bend {number} is drawn to another radius than {bender.name} makes.",
            "It is drawn to {drawn}; the die makes {die}. Every mark after it moves if it is made on this die.",
            "Fit a die of the drawn radius, or draw the piece to the die's.",
            bend=number,
            lengths={"drawn": bend.radius, "die": bender.radius},
        )


def needed(bender: Bender) -> tuple[Straights, Straights]:
    """Return the straights that a bender needs beside a bend: between bends, and to the ends of the bar.

    What its owner has not said follows from hook and follower.
    """
    hook, follower = bender.hook, bender.follower
    half = (follower.length or 0.0) / 2.0 if follower and follower.kind == "shoe" else 0.0
    sizes = Straights.needed(
        hook.starts_behind if hook else 0.0,
        hook.length if hook else 0.0,
        follower.ahead if follower else 0.0,
        half,
    )
    needs = bender.needs
    between = Straights(needs.straight_held or sizes.held, needs.straight_free or sizes.free)
    return between, Straights(needs.end_held or between.held, needs.end_free or between.free)


def _short_straights(table: BendTable, bender: Bender, trim: float) -> Iterator[Finding]:
    """Tell which straights are too short however the bar is held, and whichever neighbour is bent first.

    Of two neighbours the second is made with the first one bent: their straight then has to hold the hook or to take
    the follower. The end of a bar has to do either for the bend next to it.
    """
    between, ends = needed(bender)
    last = len(table.bends)
    for number, straight in enumerate(table.straights):
        at_end = number in (0, last)
        need = ends if at_end else between
        least = min(need.held, need.free)
        length = straight + (trim if at_end else 0.0)
        if length >= least - 1e-9:
            continue
        if at_end:
            end, bend = ("A", 1) if number == 0 else ("B", last)
            where = f"The straight at end {end}"
            do = "Leave more trim there and cut it off after bending"
        else:
            bend = number + 1
            where = f"The straight between bends {number} and {bend}"
            do = f"Move bends {number} and {bend} apart"
        yield Finding(
            "stop",
            "straight-too-short",
            f"{where} is too short for {bender.name}.",
            "It is {have}; the hook needs {held} of straight bar beside a bend, the follower {free}: whichever end is "
            "held, {short} is missing.",
            f"{do}, or shorten hook or follower of the bender.",
            bend=bend,
            lengths={"have": length, "held": need.held, "free": need.free, "short": least - length},
        )
