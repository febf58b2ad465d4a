"""The welding plan in words: the same for every face. Lengths are in the maker's units."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby

from bentwork.carry.structure import Directions
from bentwork.jobs.closed_tubes import alike, vent_words
from bentwork.jobs.small_parts_told import row_words, stack_words
from bentwork.jobs.weld_clamps import Clamped
from bentwork.jobs.welding import WeldingPlan, WeldStep
from bentwork.parts.weld_metal import Advice
from bentwork.sheets.hot_cautions import AT_THE_ARC, AT_THE_STAINLESS, AT_THE_ZINC, BEFORE_THE_ARC, WHO_DECIDES
from bentwork.sheets.told_pages import ToldPart
from bentwork.space import Vec, dot, scale
from bentwork.units import Ruler

__all__ = ["ORDER_WHY", "side_words", "step_words", "tack_words", "welding_parts"]

ORDER_WHY = (
    "Seams first, while nothing hangs on them; then from the middle outwards, always the one farthest from the weld "
    "before: ends stay free to move, heat is spread, and pulls meet their opposites. One side of every weld, then the "
    "other side in the same order."
)
"""Why the welds stand in this order."""


def side_words(way: Vec, directions: Directions) -> str:
    """Return which side of a bar a direction points to: top, underneath, front, back, left side or right side."""
    names = (
        (directions.up, "top", "underneath"),
        (directions.forward, "front", "back"),
        (directions.left, "left side", "right side"),
    )
    axis, more, less = max(names, key=lambda item: abs(dot(way, item[0])))
    return more if dot(way, axis) > 0.0 else less


def tack_words(step: WeldStep, ruler: Ruler, directions: Directions) -> str:
    """Return how one weld is tacked."""
    tacks = step.tacks
    first = side_words(step.line.side, directions)
    if step.line.runs == "pair":
        where = "at both ends of either fillet" if tacks.count == 4 else "one in the middle of either fillet"
    elif tacks.count == 2:
        where = f"{first} first, then opposite"
    else:
        where = f"opposite pairs, {first} first, {ruler.about(tacks.apart)} apart"
    return f"{tacks.count} tacks of {ruler.about(tacks.length)}, {where}"


def step_words(step: WeldStep, ruler: Ruler, directions: Directions, *, second: bool = False) -> str:
    """Return one run: which weld, which side, how long, how thick."""
    line = step.line
    side = side_words(scale(line.side, -1.0) if second else line.side, directions)
    how = "half way round" if line.runs == "ring" else "the fillet"
    half = ruler.about(line.length / 2.0)
    return f"{step.number}: {line.where}, {side}: {how}, {half} of throat {ruler.length(line.throat)}"


def welding_parts(plan: WeldingPlan, ruler: Ruler) -> tuple[ToldPart, ...]:
    """Return the work in its order; nothing where nothing is welded."""
    if not plan.steps:
        return ()
    return tuple(part.in_shop(ruler) for part in _parts(plan, ruler))


def _parts(plan: WeldingPlan, ruler: Ruler) -> Iterator[ToldPart]:
    ways = plan.structure.directions
    yield ToldPart("Before the arc is lit", tuple(_before(plan, ruler)), BEFORE_THE_ARC, ticks=True)
    stainless = any(metal.group == "stainless" for step in plan.steps for metal in step.line.metals)
    fume = (*(AT_THE_ZINC if plan.zinc else ()), *(AT_THE_STAINLESS if stainless else ()))
    yield ToldPart("Filler and heat", tuple(line for one in _alike(plan.advice) for line in _advice(one, ruler)), fume)
    spacing = (*_clamps(plan.clamped, ruler), *_spacers(plan, ruler))
    yield ToldPart("Clamp, and leave in", spacing, ticks=True)
    yield ToldPart("Tack everything, in this order", tuple(_tacks(plan, ruler)), AT_THE_ARC, ticks=True)
    for second in (False, True):
        told = tuple(step_words(step, ruler, ways, second=second) for step in plan.steps)
        title = "Weld the other side of each, in the same order" if second else "Weld one side of each, in this order"
        yield ToldPart(title, told, ticks=True, intro="" if second else ORDER_WHY)
    yield ToldPart("Afterwards", _after(), WHO_DECIDES, ticks=True)


def _before(plan: WeldingPlan, ruler: Ruler) -> Iterator[str]:
    for one in _alike(plan.advice):
        yield f"{one.metals}: {one.clean}."
    for names, vent in alike(plan.vents):
        closed = f"{', '.join(names)} {'are' if len(names) > 1 else 'is'} closed at both ends"
        yield f"{closed}: drill {vent_words(vent, ruler)}."
    for seam in plan.seams:
        at = f"{ruler.tape(seam.station)} {ruler.units} from the beginning of side {seam.side}"
        yield f"The seam of {seam.bar} goes {at}; file both ends square, chamfer them, hold them in line in an angle."
    yield "Fit everything dry: no gap wider than half the throat. Measure both diagonals and write them down."
    yield "Make one joint of two offcuts the same way: it shows the heat to set, and to which side it pulls."


def _alike(advice: Sequence[Advice]) -> Iterator[Advice]:
    """Return each advice once, with all the pairs of metals that it is for, whichever is named first."""
    found: dict[Advice, dict[frozenset[str], str]] = {}
    for one in advice:
        found.setdefault(replace(one, metals=""), {}).setdefault(frozenset(one.metals.split(" to ")), one.metals)
    for one, pairs in found.items():
        yield replace(one, metals=", ".join(pairs.values()))


def _advice(one: Advice, ruler: Ruler) -> Iterator[str]:
    yield f"{one.metals}: {one.filler}; {one.why}."
    most = "" if one.most_preheat is None else f", never above {ruler.warmth(one.most_preheat)}"
    yield f"Preheat: {one.preheat}{most}."
    if one.interpass is not None:
        yield (
            f"Before the next run on the same place the metal is below {ruler.warmth(one.interpass)}: wait, or weld "
            "elsewhere meanwhile. Look with a thermometer or a melting crayon."
        )


def _clamps(clamped: Sequence[Clamped], ruler: Ruler) -> Iterator[str]:
    clear = max((one.clear for one in clamped), default=0.0)
    for one in clamped:
        if not one.spots:
            continue
        told = []
        for side, spots in groupby(sorted(one.spots), key=lambda spot: spot[0]):
            at = ", ".join(ruler.tape(station) for _, station in spots)
            told.append(f"side {side} at {at}")
        yield f"{one.bar}: clamp it flat on {'; '.join(told)} {ruler.units} from the beginning of the side."
    held = [one.bar for one in clamped if not one.spots]
    if held:
        yield f"{', '.join(held)}: hold by the middle, pressed against what they end on."
    yield f"No clamp nearer to a weld than {ruler.about(clear)}; copper or aluminium blocks beside it draw heat off."


def _spacers(plan: WeldingPlan, ruler: Ruler) -> Iterator[str]:
    for row in plan.rows:
        if row.stacks:
            alike = Counter((ruler.length(stack.wanted), stack_words(stack, ruler)) for stack in row.stacks)
            told = "; ".join(
                f"{room} ({blocks}){f', {times} times' if times > 1 else ''}" for (room, blocks), times in alike.items()
            )
        else:
            told = ", ".join(ruler.length(one) for one in row.between)
        yield f"Between {', '.join(row.bars)} on {row_words(row)}: spacers of {told}. Leave them in until all is cold."
    for bar in plan.structure.bars:
        if bar.closed:
            yield f"Across {bar.name}: a strut cut to fit, in its middle, until all is cold: its sides stay apart."


def _tacks(plan: WeldingPlan, ruler: Ruler) -> Iterator[str]:
    """The tacks, joints that are tacked alike in one line."""
    ways = plan.structure.directions
    for words, steps in groupby(plan.steps, key=lambda step: tack_words(step, ruler, ways)):
        mine = list(steps)
        yield f"{'; '.join(f'{step.number}: {step.line.where}' for step in mine)}: {words}."
    yield "Measure the diagonals again, sight along it, set it true now: a tack is cut in a minute, a weld is not."


def _after() -> tuple[str, ...]:
    return (
        "Leave clamps and spacers in until it is hand-warm; never quench it.",
        "Fill the crater at every end; look at each end and each stop with a glass: cracks begin there. Cut out what "
        "is cracked, never weld over it.",
        "Measure the diagonals and the fixings; set what is out by cold bending only far from welds.",
    )
