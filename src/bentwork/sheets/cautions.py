"""What can hurt someone, said where it is met. The usual cautions of the trade; local rules come first."""

from __future__ import annotations

__all__ = ["AT_THE_BENDER", "AT_THE_MARKS", "AT_THE_TAPE", "ON_THE_COVER"]

AT_THE_MARKS = (
    "Mark with a pen. A line scratched across the outside of a bend starts a crack there.",
    "Scribe one straight line along the bar for the rotations, on the side that will be the inside of bend 1.",
)

AT_THE_BENDER = (
    "Eye protection on. A bent bar springs back when it is let go: keep clear of the lever's way, let go slowly.",
    "Bolt the bender down. No loose pipe over the lever: it slips off, and the tool may break.",
    "Aluminium breaks without warning. Pull slowly and steadily, stand aside, look at the outside of the bend.",
    "Deburr cut ends before you handle the bar.",
)

AT_THE_TAPE = (
    "Sizes that came with a kind of bender are only a start. Measure yours, and correct the job file: the plan is no "
    "better than they are.",
    "Measure with no bar under load and the lever at rest; take a ram or a press off its pressure first.",
)

ON_THE_COVER = (
    "These papers are an aid, not a certificate. Whether the frame is strong enough has not been worked out here.",
    "Load it for the first time on purpose, low over the ground, with nobody under or behind it.",
    "For anything carried in traffic or over people, local rules and licensed trades decide.",
)
