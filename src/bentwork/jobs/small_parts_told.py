"""Small parts in words: what every face says alike. Lengths are in the maker's units."""

from __future__ import annotations

from collections.abc import Sequence

from bentwork.jobs.cope_told import cutting_words, made_words, passing_words, round_words
from bentwork.jobs.endings import Ending
from bentwork.jobs.jig import Row
from bentwork.jobs.own_end_told import sawn_words
from bentwork.jobs.small_parts import Crossbars, OwnEnded
from bentwork.jobs.tabs import Pattern, TabMade
from bentwork.parts.blocks import Stack
from bentwork.parts.cope import Cope
from bentwork.piece.corners import Corners
from bentwork.units import Ruler, angle

__all__ = [
    "CUT_OF_TUBE",
    "arriving_words",
    "cut_words",
    "end_words",
    "filing_words",
    "gang_words",
    "hole_words",
    "line_words",
    "making_words",
    "place_words",
    "row_words",
    "set_words",
    "spare_words",
    "stack_words",
    "tab_words",
    "template_words",
]

CUT_OF_TUBE = (
    "A hole saw, or a file pushed along the bar it will sit on, cuts both edges of the wall right at once: follow the "
    "heavy line. A hacksaw or a disc held square to the tube follows the line nearest to the end, heavy or dashed; "
    "then file the edge that touches first until the heavy line meets the bar all round."
)
"""How the template of a tube is used, and why no gap is left."""

_UNDER = 1e-6
_CORNERS = "Crease a wrap along its fold lines, at the corners of the bar."
_BESIDE = "Where the upper line is dotted the bar passes beside the other: there it may be cut as it looks best."


def template_words(copes: Sequence[Cope]) -> str:
    """Return how the templates of these copes are used, as far as there are some of the kind; empty without any."""
    told = [CUT_OF_TUBE] if any(not cope.solid and not cope.plane for cope in copes) else []
    told += [_CORNERS] if any(not cope.bar.is_round for cope in copes) else []
    told += [_BESIDE] if any(cope.passing for cope in copes) else []
    return " ".join(told)


def end_words(ending: Ending, ruler: Ruler, *, alone: bool = False) -> str:
    """Return what an end sits on, in a few words: ``on loop, side 1, square, coped 2.9 mm deep``.

    Args:
        ending: of the first bar that is cut so.
        ruler: how lengths are shown.
        alone: it is the only one, and is told where it stands.
    """
    met = ending.meeting
    where = f"bend {ending.bend}" if ending.side is None else f"side {ending.side}"
    if alone and ending.side is not None:
        where += f", its middle {ruler.tape(ending.station)} {ruler.units} from the beginning of that straight"
    square = abs(met.angle - 90.0) < 0.05
    how = "square" if square else f"at {angle(met.angle)}"
    beside = f", {ruler.length(met.offset)} beside its middle" if met.offset > 0.005 else ""
    return f"on {ending.onto}, {where}, {how}{beside}, {_shape(ending, ruler)}"


def _shape(ending: Ending, ruler: Ruler) -> str:
    met = ending.meeting
    if ending.ends == "coped":
        return made_words(met.cope, met.plain.lean, ruler)
    return sawn_words(met.plain)


def filing_words(ending: Ending, ruler: Ruler) -> str:
    """Return what is filed, or what gap is left, at an end; empty where nothing is to be said."""
    met = ending.meeting
    if ending.ends == "coped":
        passing = passing_words(met.cope, ending.onto, ruler)
        return cutting_words(met.cope, ruler) + (f"; {passing}" if passing else "")
    if met.plain.gap < 0.005:
        return ""
    return f"butted, the round leaves up to {ruler.length(met.plain.gap)} open beside the middle for the weld to fill"


def arriving_words(group: Crossbars, ruler: Ruler) -> str:
    """Return where the line that is scribed from one end arrives at the other; empty unless both are coped."""
    first = group.first
    if first.line_turn is None or len(group.coped) < 2:
        return ""
    cope = first.endings[1].meeting.cope
    return f"the line 0 of end A arrives at {round_words(cope, cope.place_at(first.line_turn), ruler)} of end B"


def cut_words(group: Crossbars, ruler: Ruler) -> str:
    """Return to what length bars are sawn: ``cut 400 mm``; bent ones are as long as their plan says."""
    first = group.first
    return "cut its ends after bending" if first.bent else f"cut {ruler.tape(first.cut_length)} {ruler.units}"


def line_words(one: OwnEnded) -> str:
    """Return which line along a piece its ends are turned from."""
    if one.bends:
        return "the line along the inside of the first bend"
    shape, line = one.plan.spec.shape, one.plan.line
    if not isinstance(shape, Corners):
        return "the side that towards names"
    return "its underside" if line is not None and line.start.inward[2] < -_UNDER else "the line 0"


def making_words(one: OwnEnded, ruler: Ruler) -> str:
    """Return to what length a piece is sawn whose ends are made by themselves, where nothing else tells it."""
    if one.bends:
        return "make its ends after bending" if one.ends else ""
    return "" if one.cut_length is None else f"cut {ruler.tape(one.cut_length)} {ruler.units}"


def spare_words(group: Crossbars, ruler: Ruler) -> str:
    """Return how far the drawing is from what fits; empty where it fits within a tenth of a millimetre."""
    first = group.first
    if first.bent:
        off = [(one.end, one.spare) for one in first.endings if abs(one.spare) >= 0.1]
        told = [f"of end {end} {ruler.length(abs(by))} {'before' if by > 0.0 else 'beyond'}" for end, by in off]
        return f"the longest point {', '.join(told)} the end as it is drawn" if told else ""
    by = first.bar.length - first.cut_length
    if abs(by) < 0.1:
        return ""
    more = "longer" if by > 0.0 else "shorter"
    return f"drawn {ruler.length(abs(by))} {more} than it fits: the length given here is the one that fits"


def stack_words(stack: Stack, ruler: Ruler) -> str:
    """Return the blocks of a stack: ``100 + 2 + 2``, and the shim that is left."""
    if not stack.blocks:
        return "no block is small enough"
    told = " + ".join(_bare(block, ruler) for block in stack.blocks)
    if stack.fits:
        return told
    return f"{told}, and a shim of {ruler.length(stack.left)}"


def _bare(block: float, ruler: Ruler) -> str:
    return f"{block:g}" if ruler.units == "mm" else ruler.length(block).removesuffix(" in")


def row_words(row: Row) -> str:
    """Return where a row stands: ``loop, side 1, and loop, side 3``."""
    return " and ".join(f"{name}, side {side}" for name, side in row.onto)


def set_words(row: Row, ruler: Ruler) -> tuple[str, ...]:
    """Return where the bars of a row stand, what is clear at its ends and, without blocks, between them."""
    at = f"{', '.join(map(ruler.tape, row.middles))} {ruler.units}"
    low, high = row.stops
    turned = "".join(f", on {name}, side {side}, from its end" for name, side in row.turned)
    if len(row.bars) == 1:
        return (f"its middle from the beginning of the straight{turned}: {at}",)
    told = (
        f"middles from the beginning of the straight{turned}: {at}",
        f"stops: {ruler.length(low)} before the first, {ruler.length(high)} after the last",
    )
    between = ", ".join(ruler.length(one) for one in row.between)
    return told if row.stacks else (*told, f"room between them: {between}")


def tab_words(pattern: Pattern, ruler: Ruler) -> str:
    """Return the end of a tab on its bar, in words."""
    tab = pattern.tab
    told = []
    if tab.hollow > 0.05:
        told.append(f"hollowed {ruler.length(tab.hollow)} deep to sit on the bar")
    elif abs(tab.lean) > 0.05:
        told.append(f"cut {angle(abs(tab.lean))} off square to lie along the bar")
    else:
        told.append("cut square to lie along the bar")
    if tab.gap > 0.005:
        told.append(f"the round leaves up to {ruler.length(tab.gap)} open at its faces")
    if abs(tab.beside) > 0.05:
        told.append(f"its middle stands {ruler.length(abs(tab.beside))} beside that of the bar")
    return "; ".join(told)


def hole_words(pattern: Pattern, ruler: Ruler) -> str:
    """Return what is drilled, and tapped."""
    drill = ruler.length(pattern.drill)
    if not pattern.tapped or pattern.thread is None:
        through = f" for {pattern.thread.name} to go through" if pattern.thread else ""
        return f"drill {drill}{through}"
    thread = pattern.thread
    inch = f" ({thread.inch_drill})" if thread.inch_drill else ""
    share = thread.depth_share(pattern.drill)
    return (
        f"drill {drill}{inch}, tap {thread.name}: {share:.0%} of the full depth of thread; class {pattern.grade} wants "
        f"{ruler.length(pattern.wanted)} of it, the tab has {ruler.length(pattern.tab.thickness)}"
    )


def place_words(made: TabMade, ruler: Ruler) -> str:
    """Return where a tab stands on its bar."""
    at = f"{ruler.tape(made.station)} {ruler.units} from the beginning of its straight"
    return f"{made.name}: on {made.bar}, side {made.side}, {at}"


def gang_words(pattern: Pattern, ruler: Ruler) -> str:
    """Return how equal tabs are machined together; empty for one alone."""
    gang = pattern.gang
    if gang.count == 1:
        return ""
    if gang.together == 1:
        told = f"drill the {gang.count} one by one"
    elif gang.clampings == 1:
        every = "both" if gang.count == 2 else f"all {gang.count}"
        told = f"clamp {every} together, {ruler.length(gang.thickness)} thick, and drill and file them as one"
    else:
        told = f"clamp {gang.together} together, {ruler.length(gang.thickness)} thick, {gang.clampings} times"
    why = {
        "": f"the flutes of a {ruler.length(gang.drill)} drill are {ruler.length(gang.flutes)} long",
        "flutes": f"the flutes of a {ruler.length(gang.drill)} drill are only {ruler.length(gang.flutes)} long",
        "true": "deeper than 5 times its diameter a drill wanders",
    }[gang.limit]
    tap = "; tap each alone" if pattern.tapped else ""
    return f"{told}: {why}{tap}"
