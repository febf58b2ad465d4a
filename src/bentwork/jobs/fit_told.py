"""What the frame must fit, in words: what every face says alike. Lengths are in the maker's units."""

from __future__ import annotations

import math

from bentwork.jobs.own_end_told import flat_words
from bentwork.jobs.room_left import RoomLeft, WayThrough
from bentwork.jobs.stays import StayMade
from bentwork.jobs.survey_findings import reading_words
from bentwork.jobs.surveyed import Surveyed
from bentwork.parts.survey_next import Missing
from bentwork.parts.survey_odd import Checked
from bentwork.parts.survey_reading import Reading
from bentwork.parts.survey_sides import Difference
from bentwork.space import Vec, unit
from bentwork.units import Ruler, angle

__all__ = [
    "checked_words",
    "datum_words",
    "difference_words",
    "end_words",
    "going_words",
    "missing_words",
    "pair_words",
    "read_words",
    "room_words",
    "spread_words",
    "stay_words",
    "sure_words",
    "way_words",
]

_STRAIGHT = 2.0  # degrees: a direction nearer to an axis is told as it


def sure_words(found: Surveyed, name: str, ruler: Ruler) -> str:
    """Return how surely a point is known: ``to 0.8 mm``, ``given``, ``not told yet``."""
    spot = found.found.spots[found.found.number(name)]
    if spot.at is not None:
        return "given"
    sure = found.found.sure_to(name)
    return f"to {ruler.length(sure)}" if math.isfinite(sure) else "not told yet"


def read_words(reading: Reading, ruler: Ruler) -> str:
    """Return what was read: ``612 mm``, ``equally high``, ``straight above``."""
    return {"level": "equally high", "plumb": "straight above"}.get(reading.kind) or ruler.length(reading.value)


def checked_words(one: Checked, ruler: Ruler) -> str:
    """Return how a reading fits the others."""
    if not math.isfinite(one.least_found):
        return "nothing checks it"
    return f"off by {ruler.length(abs(one.residual))}; an error of {ruler.length(one.least_found)} would be found"


def datum_words(found: Surveyed) -> str:
    """Return where the points stand, and why there; empty where the readings and given points say it all."""
    held = found.found.datum.held
    return f"What no reading says is taken so: {'; '.join(held)}." if held else ""


def spread_words(found: Surveyed) -> str:
    """Return how many readings there are more than are needed, and how they agree; empty where nothing checks them."""
    spread = found.found.spread
    if spread is None:
        return ""
    return f"{found.found.degrees} more than are needed; they miss one another by {spread:.1f} times their accuracies"


def missing_words(one: Missing, ruler: Ruler) -> str:
    """Return a reading that would help, and what it would do."""
    words = reading_words(one.kind, one.points)
    if one.tells:
        return f"{words}: tells what no reading told"
    surer = f"from {ruler.length(one.before)} to {ruler.length(one.after)} on the average"
    return f"{words}, about {ruler.length(one.about)}: {surer}"


def difference_words(one: Difference, ruler: Ruler) -> str:
    """Return how the left point of a pair differs from the right one."""
    if not math.isfinite(max(one.sure)):
        return f"{one.left} and {one.right}: not told yet"
    parts = []
    ways = (("higher", "lower", one.up, one.sure[2]), ("further forward", "further back", one.ahead, one.sure[0]))
    for more, less, off, sure in ways:
        if abs(off) < 0.05:
            parts.append(f"not {more}, sure to {ruler.length(sure)}")
        else:
            parts.append(f"{ruler.length(abs(off))} {more if off > 0.0 else less}, sure to {ruler.length(sure)}")
    return f"{one.left} against {one.right}: {'; '.join(parts)}"


def stay_words(one: StayMade, ruler: Ruler) -> tuple[str, ...]:
    """Return lengths of a stay, how sure they are, and its slot."""
    exact = f" ({ruler.length(one.cut_length)})" if ruler.units == "in" else ""
    told = [f"cut {ruler.tape(one.cut_length)} {ruler.units}{exact}"]
    holes = [one.laid.asked.ends[k].hole is not None for k in (0, 1)]
    between = "from end to end"
    if any(holes):
        between = "from hole to hole" if all(holes) else "from the middle of the bar it starts on to the hole"
    told.append(f"{ruler.length(one.straight)} straight {between}")
    if one.bends:
        told.append(f"{ruler.length(one.developed)} along the bar, {one.bends} bend{'s' if one.bends > 1 else ''}")
    if not math.isfinite(one.moved.length):
        told.append("the readings do not tell its length")
    elif one.moved.length > 0.0:
        told.append(
            f"sure to {ruler.length(one.moved.length)} in length and {ruler.length(one.moved.across)} across at the end"
        )
        if one.slot is not None:
            told.append(f"a slot of {ruler.length(one.slot)} reaches in {one.laid.asked.sure:.0%} of such cases")
    return tuple(told)


def end_words(one: StayMade, number: int, ruler: Ruler) -> str:
    """Return how an end of a stay is made.

    Args:
        one: the stay.
        number: 0 for its first end, 1 for its second.
        ruler: of the job.
    """
    asked, flat = one.laid.asked.ends[number], one.flats[number]
    tongue = one.tongues[number]
    if asked.kind == "butted":
        back = one.laid.cut_back[number]
        return f"welded on, {ruler.length(back)} from the middle of the bar" if back > 0.0 else "welded on"
    hole = ruler.length(asked.hole or 0.0)
    told = f"hole {hole}, {ruler.length(asked.beyond)} from the end"
    if flat is not None:
        told = f"{flat_words(flat, ruler)}; {told}"
    if tongue is not None and tongue >= 0.5:
        told += f"; bend it {angle(tongue)} to lie square to its bolt"
    if number == 1 and one.turn is not None and abs(one.turn) >= 0.5:
        told += f"; turned {angle(one.turn)} against end A, right-handed from A to B"
    return told


def pair_words(one: StayMade, ruler: Ruler) -> str:
    """Return how a stay compares with that of the other side; empty without one."""
    pair = one.pair
    if pair is None:
        return ""
    if not math.isfinite(pair.sure):
        return f"against {pair.other}: not told yet"
    more = "longer" if pair.longer > 0.0 else "shorter"
    told = f"{ruler.length(abs(pair.longer))} {more} than {pair.other}, sure to {ruler.length(pair.sure)}"
    return f"{told}: {'make both alike' if pair.alike else 'make each to its own length'}"


def room_words(one: RoomLeft, ruler: Ruler) -> str:
    """Return how near the frame comes to a keep-out."""
    worst = one.worst
    wanted = f"{ruler.length(one.out.clearance)} wanted"
    swung = f", swung by {angle(worst.near.angle, 0)}" if one.out.swing is not None else ""
    when = f" under load ({worst.case}), {ruler.length(one.drawn.near.gap)} as drawn" if worst.case else ""
    if worst.near.gap < 0.0:
        return f"{worst.bar} stands in it at {ruler.point(worst.near.place)}{swung}{when}; {wanted}"
    gap = ruler.length(worst.near.gap)
    return f"{gap} to {worst.bar} at {ruler.point(worst.near.place)}{swung}{when}; {wanted}"


def way_words(one: WayThrough, ruler: Ruler) -> str:
    """Return how the frame goes through an opening."""
    passed = one.passed
    clear = ruler.length(passed.opening.width)
    if passed.opening.height is not None:
        clear += f" by {ruler.length(passed.opening.height)}"
    size = f"{ruler.length(passed.width)} wide and {ruler.length(passed.height)} high"
    turned = "as it stands" if passed.opening.upright else "turned any way"
    if passed.spare < 0.0:
        return f"clear {clear}; {turned} it is {size} at best: {ruler.length(-passed.spare)} are missing"
    going = f"going {going_words(passed.along)}"
    return f"clear {clear}; {turned}, {going}, it is {size}: {ruler.length(passed.spare)} left"


def going_words(along: Vec) -> str:
    """Return a direction in words: ``towards x −``; where no axis is near, how steeply and between which two.

    It is a direction of the job's own axes, not of left and right: a frame is carried as one likes.
    """
    way = unit(along)
    parts = sorted(zip(way, "xyz", strict=True), key=lambda part: -abs(part[0]))
    told = [f"{axis} {'+' if part > 0.0 else '−'}" for part, axis in parts]
    off = math.degrees(math.acos(min(1.0, abs(parts[0][0]))))
    if off < _STRAIGHT:
        return f"towards {told[0]}"
    aside = math.degrees(math.asin(abs(parts[2][0])))
    rest = told[1] if aside < _STRAIGHT else f"{told[1]} and {told[2]}"
    return f"towards {told[0]}, turned {off:.0f}° to {rest}"
