"""What the bar and the bender must allow before a mark is made, as findings."""

from __future__ import annotations

import math
from collections.abc import Sequence

from bentwork.findings import Finding
from bentwork.piece.bend_table import BendTable
from bentwork.planning.steps import Step
from bentwork.stock.bar import Stock
from bentwork.tooling.bender import Bender

__all__ = ["bar_findings", "bender_findings"]


def bar_findings(cut_length: float, stock: Stock) -> tuple[Finding, ...]:
    """Return a stop when one bar does not make the piece."""
    if stock.bar_length is None or cut_length <= stock.bar_length:
        return ()
    return (
        Finding(
            "stop",
            "bar-too-short",
            f"One bar of {stock.name} is too short for this piece.",
            "It takes {cut} with its trim; the bar is {bar}: {short} too little.",
            "Buy a longer bar, leave less trim, or make it of two pieces joined in a straight.",
            lengths={"cut": cut_length, "bar": stock.bar_length, "short": cut_length - stock.bar_length},
        ),
    )


def bender_findings(table: BendTable, steps: Sequence[Step], bender: Bender | None) -> tuple[Finding, ...]:
    """Return what the bender cannot do of a piece, and what is not known of it."""
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
    found = []
    for step in steps:
        bend = table.bends[step.bend - 1]
        if step.bend_to > bender.max_angle + 1e-9:
            found.append(
                Finding(
                    "stop",
                    "bend-beyond-tool",
                    f"Bend {step.bend} is further than {bender.name} goes.",
                    f"It has to be pulled to {step.bend_to:.1f}° to leave {bend.angle:.1f}°; "
                    f"the bender stops at {bender.max_angle:g}°.",
                    "Split it into two bends with a straight between, or use another bender.",
                    bend=step.bend,
                )
            )
        if not math.isclose(bend.radius, bender.radius, rel_tol=1e-6, abs_tol=1e-3):
            found.append(
                Finding(
                    "watch",
                    "other-radius",
                    f"Bend {step.bend} is drawn to another radius than {bender.name} makes.",
                    "It is drawn to {drawn}; the die makes {die}. Every mark after it moves if it is made on this die.",
                    "Fit a die of the drawn radius, or draw the piece to the die's.",
                    bend=step.bend,
                    lengths={"drawn": bend.radius, "die": bender.radius},
                )
            )
    if bender.springback is None:
        found.append(
            Finding(
                "watch",
                "springback-unknown",
                f"How far bends spring back on {bender.name} is not known.",
                "The steps pull to the drawn angle, so every bend will come out too open.",
                f"Make a test bend in the same bar: pull to 90°, let go, measure. Then write springback = "
                f"(pulled angle / angle left) into [bender.{bender.name}].",
            )
        )
    return tuple(found)
