"""What can hurt someone, said where it is met. The usual cautions of the trade; local rules come first."""

from __future__ import annotations

from bentwork.stock.material import Group
from bentwork.tooling.bender import Kind
from bentwork.units import angle

__all__ = [
    "AT_THE_BENDER",
    "AT_THE_CHECK_BAR",
    "AT_THE_DRILL",
    "AT_THE_MARKS",
    "AT_THE_TAPE",
    "AT_THE_TEST_BEND",
    "ON_THE_COVER",
    "at_the_bender",
    "at_the_pull",
]

AT_THE_MARKS = (
    "Mark with a pen. A line scratched across the outside of a bend starts a crack there.",
    "Scribe one straight line along the bar for the rotations, on the side that will be the inside of bend 1.",
)

AT_THE_BENDER = (
    "Eye protection on. A bent bar springs back when it is let go: keep clear of the lever's way, let go slowly.",
    "Bolt the bender down. No loose pipe over the lever: it slips off, and the tool may break.",
)
_AT_THE_PRESS = (
    "Eye protection on. The legs of the bar swing up as it is pressed and spring back when it is let go: keep face and "
    "hands out of their way, let go slowly.",
    "Set the bar square to the tool and stand aside: one that slips under a ram or a punch is thrown out.",
)
_SLOWLY = "Pull slowly and steadily, stand aside, look at the outside of the bend."
_DEBURR = "Deburr cut ends before you handle the bar."

AT_THE_TEST_BEND = (
    "Wear glasses and make the first pull slow: test bends snap.",
    "Keep your face and your other hand out of the lever's way when you let go: it comes back.",
)

AT_THE_DRILL = (
    "Clamp what you drill, never hold it: a drill that breaks through grabs the metal and whirls it round.",
    "Eye protection on, no gloves and no loose sleeves at a turning drill or hole saw. Deburr both sides.",
)

AT_THE_CHECK_BAR = (
    "Print at actual size. 'Fit to page' is what most print dialogues start with, and it shrinks.",
    "Lay a rule on both check bars before you trust a page at 1:1. If they are off, so is everything else.",
)

AT_THE_TAPE = (
    "Sizes that came with a kind of bender are only a start. Measure yours, and correct the job file: the plan is no "
    "better than they are.",
    "Measure with no bar under load and the lever at rest; take a ram or a press off its pressure first.",
)

ON_THE_COVER = (
    "These papers are an aid, not a certificate. What the frame is reckoned to carry stands on the page of its proof "
    "load, where the job gives one; nobody has tested it.",
    "Load it for the first time on purpose, low over the ground, with nobody under or behind it.",
    "For anything carried in traffic or over people, local rules and licensed trades decide.",
)

_PINCHES: dict[Kind, str] = {
    "wrap": "die and follower",
    "draw": "die and follower",
    "ram": "former and rollers",
    "vee": "punch and block",
}


def at_the_bender(kind: Kind, group: Group) -> tuple[str, ...]:
    """Return the cautions for the work on a bar at its bender (common practice, no source).

    Args:
        kind: of the bender.
        group: the metal of the bar.
    """
    pressed = kind in ("ram", "vee")
    slowly = _SLOWLY.replace("Pull", "Press") if pressed else _SLOWLY
    if group == "aluminium":
        slowly = f"Aluminium breaks without warning. {slowly}"
    return (*(_AT_THE_PRESS if pressed else AT_THE_BENDER), slowly, _DEBURR)


def at_the_pull(kind: Kind, springback: float) -> str:
    """Return the caution that stands beside a pull (common practice, no source).

    Args:
        kind: of the bender.
        springback: what the bend will open by, degrees.
    """
    words = f"Eye protection on. Fingers clear of {_PINCHES[kind]}."
    if springback < 0.05:
        return f"{words} Let go slowly."
    return f"{words} Let go slowly: it springs back {angle(springback)}."
