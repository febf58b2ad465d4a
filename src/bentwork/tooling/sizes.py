"""Every size of a bender one by one: its key in the job file, what it is, how to find it with a tape. Lengths in mm.

Heights and gaps count from the middle of the bar, because that is where the bender's frame lies; the words say how to
get there from an edge that a tape can be hooked on.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields

from bentwork.tooling.bender import Bender

__all__ = ["KeyPath", "Size", "sizes_of"]

KeyPath = tuple[str | int, ...]
"""Keys from the bender's table down; an index, from 0, for one number of a pair: ``("plate", "x", 0)``."""

_GROUPS = ("die", "hook", "follower", "arm", "plate", "rollers", "block", "needs")
_WORDS = ("kind", "side")  # keys of a part that hold a word

_TOLD: Mapping[str, tuple[str, str]] = {
    "radius": ("die's axis to the middle of the bar", "Bar in the groove: axis to the bar's outside, less half a bar."),
    "die.thickness": ("thickness of the die", "From its upper to its lower face, along the axis."),
    "die.groove_depth": ("depth of the groove", "Straight edge across the rim, depth gauge to the bottom."),
    "hook.starts_behind": ("tangent point back to the hook", "Zero mark of the die back to where the hook begins."),
    "hook.length": ("length of the hook along the bar", "Only what lies against the bar."),
    "hook.width": ("width of the hook, square to the bar", "From the outside of the bar out to its far edge."),
    "hook.height": ("height of the hook", "From its lower to its upper edge, along the die's axis."),
    "follower.radius": ("radius of the roller", "Half of what it measures across, where it touches the bar."),
    "follower.length": ("length of the shoe along the bar", "Only what lies against the bar."),
    "follower.width": ("width of the shoe, square to the bar", "From the outside of the bar out to its far edge."),
    "follower.height": ("height of the follower", "From its lower to its upper face, along the die's axis."),
    "follower.ahead": (
        "tangent point ahead to the follower",
        "Lever at zero: zero mark to the middle of the follower.",
    ),
    "arm.gap": ("middle of the bar to the arm", "Gap between bar and arm, and half a bar."),
    "arm.thickness": ("thickness of the arm", "Along the die's axis, where it passes the bar."),
    "arm.width": ("width of the arm", "Across it, where it passes the bar."),
    "arm.length": ("pivot to your hand", "Along the arm, from the pivot to the middle of the grip."),
    "plate.x.0": ("die's axis to the plate's end, held side", "Along the bar; below 0: behind the axis."),
    "plate.x.1": ("die's axis to the plate's end, free side", "Along the bar; above 0: ahead of the axis."),
    "plate.y.0": ("die's axis to the plate's edge at the bar", "Square to the bar, in the plate's plane."),
    "plate.y.1": ("die's axis to the plate's far edge", "Square to the bar, in the plate's plane."),
    "plate.gap_below_bar": ("middle of the bar to the plate", "Gap between bar and plate, and half a bar."),
    "plate.thickness": ("thickness of the plate", "At its edge."),
    "rollers.span": ("between the middles of the rollers", "Middle of one pin to the middle of the other."),
    "rollers.radius": ("radius of the rollers", "Half of what one measures across, where it touches the bar."),
    "block.opening": ("opening of the V", "Across the top, from shoulder to shoulder."),
    "block.punch_radius": ("radius of the punch's nose", "Radius gauge, or a drill shank that fits it."),
    "block.shoulder_radius": ("radius of the V's shoulders", "Radius gauge; 0 where they are sharp."),
    "needs.straight_held": ("straight wanted where the bar is held", "Tangent point to the end of what holds it."),
    "needs.straight_free": ("straight wanted where the bar is free", "Tangent point to the end of what presses it."),
    "needs.end_held": (
        "least bar from bend to end, held side",
        "Tangent point to the shortest end that does not slip.",
    ),
    "needs.end_free": ("least bar from bend to end, free side", "Tangent point to the shortest end that is caught."),
}

_PUSHED: Mapping[str, tuple[str, str]] = {
    "radius": ("former's middle to the middle of the bar", "Bar in the former: chord and height, or a paper template."),
    "die.thickness": ("thickness of the former", "From face to face, square to the bar."),
    "follower.radius": ("radius of the rollers", "Half of what one measures across, where it touches the bar."),
    "follower.height": ("height of the rollers", "From face to face, along their pins."),
    "follower.ahead": ("former's middle to a roller's middle", "Half of what the pins are apart."),
    "needs.straight_held": (
        "straight wanted on one side",
        "From the end of the bend until it reaches over the support.",
    ),
    "needs.straight_free": ("straight wanted on the other side", "The same on the other side."),
}

_PRESSED: Mapping[str, tuple[str, str]] = {
    "radius": ("radius of the bend to mid-thickness", "The bend's inside radius, and half the thickness."),
    "die.thickness": ("length of the punch along the bend", "From end to end: the widest flat that it bends."),
    "follower.radius": ("radius of the supports", "Half of what one measures across, where it touches the bar."),
    "follower.height": ("length of the supports", "From end to end, along the bend."),
    "follower.ahead": ("punch to the middle of a support", "Half of what the supports are apart."),
}

_TURNED: Mapping[str, tuple[str, str]] = {
    "follower.ahead": ("tangent point ahead to the follower", "Die at zero: zero mark to the middle of the follower."),
    "hook.starts_behind": ("tangent point back to the clamp", "Die at zero: zero mark back to where the clamp begins."),
    "hook.length": ("length of the clamp along the bar", "Only what lies against the bar; it turns with the die."),
    "hook.width": ("width of the clamp, square to the bar", "From the outside of the bar out to its far edge."),
    "hook.height": ("height of the clamp", "From its lower to its upper edge, along the die's axis."),
}

_BY_KIND = {
    "wrap": _TOLD,
    "draw": {**_TOLD, **_TURNED},
    "ram": {**_TOLD, **_PUSHED},
    "vee": {**_TOLD, **_PUSHED, **_PRESSED},
}


@dataclass(frozen=True, slots=True)
class Size:
    """One size of a bender.

    Args:
        path: where it stands in the bender's table.
        value: mm; of ``plate.x`` and ``plate.y`` it may be below 0.
        says: what it is.
        measure: how to find it with a tape.
    """

    path: KeyPath
    value: float
    says: str
    measure: str

    @property
    def key(self) -> str:
        """The key as it is written, with dots; which of a pair of numbers is said in words."""
        names = ".".join(str(part) for part in self.path if isinstance(part, str))
        return names if not isinstance(self.path[-1], int) else f"{names}, {('first', 'second')[self.path[-1]]}"


def sizes_of(bender: Bender) -> tuple[Size, ...]:
    """Return every length that a bender has, in the order of the job file; parts that are not there have none."""
    told = _BY_KIND[bender.kind]
    if bender.hand == "right":  # its bar lies on the other side of the axis
        told = {**told, "plate.y.0": told["plate.y.1"], "plate.y.1": told["plate.y.0"]}
    found: list[tuple[KeyPath, float]] = [(("radius",), bender.radius)]
    for group in _GROUPS:
        part = getattr(bender, group)
        if part is None:
            continue
        for field in fields(part):
            value, path = getattr(part, field.name), (group, field.name)
            if isinstance(value, tuple):
                found += [((*path, number), one) for number, one in enumerate(value)]
            elif value is not None and field.name not in _WORDS and not (value == 0.0 and _may_lack(path)):
                found.append((path, value))
    return tuple(Size(path, value, *told[".".join(map(str, path))]) for path, value in found)


def _may_lack(path: KeyPath) -> bool:
    """Tell whether 0 means that there is none, so that there is nothing to measure."""
    return path[0] in ("needs", "block") or path == ("die", "groove_depth")
