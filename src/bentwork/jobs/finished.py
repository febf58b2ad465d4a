"""Pieces as they are when they are finished: with their holes, and their ends cut to sit on the bars they meet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from bentwork.jobs.bodies import Body
from bentwork.jobs.bracket import HoleMade, brackets
from bentwork.jobs.endings import Ending, StraightBar
from bentwork.jobs.hole_place import spot_of
from bentwork.jobs.small_parts import small_parts
from bentwork.jobs.stay_asked import StayLaid
from bentwork.jobs.work import Result
from bentwork.models.cuts import Bore, Sawn, bore_through, moved, sawn_end
from bentwork.parts.tab import Tab
from bentwork.piece.carried import Stretch, carried
from bentwork.space import Vec, distance, scale, unit

__all__ = ["Finished", "TabStanding", "finished", "tabs_standing"]

_SAME = 1e-5  # mm: copies cut so nearly alike are one


@dataclass(frozen=True, slots=True)
class Finished:
    """A body with what is taken out of it.

    Args:
        name: of the piece; of the copy where that is cut otherwise than the first.
        body: before anything is cut; its copies are those that are cut so.
        cuts: holes and ends.
        longer: how much longer it is made than it is drawn at end A and at end B, mm.
        plain: what is left as it is drawn, and why, a sentence each.
    """

    name: str
    body: Body
    cuts: tuple[Bore | Sawn, ...] = ()
    longer: tuple[float, float] = (0.0, 0.0)
    plain: tuple[str, ...] = ()


def finished(result: Result, about: Sequence[Body]) -> tuple[Finished, ...]:
    """Return bodies as they are when they are finished; a piece whose copies are cut in several ways comes in several.

    Args:
        result: of the job.
        about: its bodies.
    """
    straight = {one.bar.name: one for group in small_parts(result).crossbars for one in group.bars}
    drilled = _holes(result)
    stays = {laid.asked.name: laid for laid in result.job.stays}
    found: list[Finished] = []
    for body in about:
        holes = list(drilled.get(body.name, ()))
        plain: tuple[str, ...] = ()
        laid = stays.get(body.subject.piece)
        if laid is not None:
            more, plain = _stay_holes(laid, body)
            holes += more
        found += _ways(body, straight, tuple(holes), plain)
    return tuple(found)


def _ways(
    body: Body, straight: Mapping[str, StraightBar], holes: tuple[Bore, ...], plain: tuple[str, ...]
) -> Iterator[Finished]:
    """Every way in which copies of a body are cut, the first under its own name."""
    made: list[Finished] = []
    for name, shift in body.copies:
        bar = straight.get(name)
        ends, longer, left = _ends(bar, shift) if bar is not None else ((), (0.0, 0.0), ())
        one = Finished(name, replace(body, copies=((name, shift),)), (*ends, *holes), longer, (*plain, *left))
        like = next((k for k, other in enumerate(made) if _alike(one, other)), None)
        if like is None:
            made.append(one)
        else:
            other = made[like]
            made[like] = replace(other, body=replace(other.body, copies=(*other.body.copies, (name, shift))))
    if not made:
        made = [Finished(body.name, body, holes, plain=plain)]
    yield replace(made[0], name=body.name)
    yield from made[1:]


def _ends(bar: StraightBar, shift: Vec) -> tuple[tuple[Bore | Sawn, ...], tuple[float, float], tuple[str, ...]]:
    """Cuts of the ends of a straight bar where it is drawn, how much longer it is made, and which ends stay plain."""
    cuts: list[Bore | Sawn] = []
    longer = {"A": 0.0, "B": 0.0}
    plain = []
    for one in bar.endings:
        if one.bend is not None:
            plain.append(f"end {one.end} is square: it sits on bend {one.bend} of {one.onto}, to be fitted by hand")
            continue
        cut = sawn_end(_end_words(one), one.meeting, one.ends)
        if cut is not None:
            cuts.append(moved(cut, scale(shift, -1.0)))
        longer[one.end] = max(0.0, -one.spare)
    return tuple(cuts), (longer["A"], longer["B"]), tuple(plain)


def _end_words(one: Ending) -> str:
    return f"end {one.end}, {one.ends} onto {one.onto}"


def _alike(one: Finished, other: Finished) -> bool:
    if len(one.cuts) != len(other.cuts) or one.plain != other.plain:
        return False
    if any(abs(a - b) > _SAME for a, b in zip(one.longer, other.longer, strict=True)):
        return False
    return all(_same_cut(a, b) for a, b in zip(one.cuts, other.cuts, strict=True))


def _same_cut(one: Bore | Sawn, other: Bore | Sawn) -> bool:
    if isinstance(one, Bore) or isinstance(other, Bore):
        return one == other
    apart = [distance(one.origin, other.origin)]
    apart += [distance(a, b) for a, b in zip(one.ways, other.ways, strict=True)]
    if len(one.edges) != len(other.edges):
        return False
    for a, b in zip(one.edges, other.edges, strict=True):
        apart += [abs(x - y) for p, q in ((a.start, b.start), (a.end, b.end)) for x, y in zip(p, q, strict=True)]
    return max(apart) <= _SAME


def _holes(result: Result) -> dict[str, tuple[Bore, ...]]:
    """Holes of every piece of flat bar, by the name of its body."""
    lines = {plan.spec.name: plan.line for plan in result.pieces}
    found = {}
    for one in brackets(result):
        spec, line, drawn = one.plan.spec, one.plan.line, lines[one.plan.spec.name]
        if line is None or drawn is None or not one.holes:
            continue
        stretches = carried(line, spec.way)
        bores = []
        for hole in one.holes:
            station = spot_of(hole.asked, spec, drawn).station
            stretch = _at(stretches, station)
            along, across = _half_slot(hole)
            bores.append(
                bore_through(
                    f"hole {hole.flat.number}",
                    stretch,
                    station - stretch.run.station,
                    hole.flat.y,
                    hole.drill,
                    (along, across, 0.0),
                    one.blank.thickness,
                )
            )
        found[one.name] = tuple(bores)
    return found


def _half_slot(hole: HoleMade) -> tuple[float, float]:
    half = hole.flat.half_straight
    return (half, 0.0) if hole.flat.runs == "along" else (0.0, half)


def _at(stretches: Sequence[Stretch], station: float) -> Stretch:
    """The straight or bend that a station is in; the nearest for one beyond the ends."""
    return next((one for one in stretches if station <= one.run.station + one.run.length), stretches[-1])


def _stay_holes(laid: StayLaid, body: Body) -> tuple[list[Bore], tuple[str, ...]]:
    """Holes through the drilled ends of a stay, and which of its ends stay plain."""
    section = body.subject.stock.section
    stretches = carried(body.subject.line, body.subject.way)
    bores, plain = [], []
    for number, (end, place) in enumerate(zip(laid.asked.ends, (laid.start, laid.end), strict=True)):
        side = "AB"[number]
        if end.kind == "flattened":
            plain.append(f"end {side} is drawn round and without its hole: flattening it is not modelled")
        elif end.kind == "drilled" and end.hole is not None:
            axis = unit(end.axis) if end.axis is not None else stretches[-number].high
            if not body.subject.as_drawn and laid.asked.mirror_in is not None:
                place = _flipped(place, *laid.asked.mirror_in)
                axis = axis if end.axis is None else _flipped(axis, laid.asked.mirror_in[0], 0.0)
            reach = 2.0 * max(section.depth("easy"), section.depth("hard"))
            bores.append(Bore(f"hole of end {side}", place, axis, reach, end.hole))
    return bores, tuple(plain)


def _flipped(v: Vec, axis: int, at: float) -> Vec:
    x, y, z = (2.0 * at - c if k == axis else c for k, c in enumerate(v))
    return (x, y, z)


@dataclass(frozen=True, slots=True)
class TabStanding:
    """A tab where it stands in the frame.

    Args:
        name: of it, as in pictures of the frame.
        tab: its shape.
        at: the middle of its hole, in the middle of its thickness, mm.
        drill: diameter of its hole as it is drilled, mm.
    """

    name: str
    tab: Tab
    at: Vec
    drill: float


def tabs_standing(result: Result) -> tuple[TabStanding, ...]:
    """Return every tab of the frame."""
    return tuple(
        TabStanding(f"tab {one.name}", one.tab, one.hole, pattern.drill)
        for pattern in small_parts(result).tabs
        for one in pattern.tabs
    )
