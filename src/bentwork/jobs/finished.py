"""Pieces as they are when they are finished: with their holes, their ends cut to sit on others or pressed flat."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from bentwork.jobs.bar_holes import bar_bores
from bentwork.jobs.bodies import Body
from bentwork.jobs.bracket import HoleMade, brackets
from bentwork.jobs.end_cuts import end_cuts, room_of
from bentwork.jobs.endings import EndedBar, Ending
from bentwork.jobs.hole_place import spot_of
from bentwork.jobs.small_parts import small_parts
from bentwork.jobs.work import Result
from bentwork.models.bar_mesh import bar_mesh
from bentwork.models.cuts import CLEAR, Bore, Pressed, Sawn, bore_through, moved, sawn_end
from bentwork.models.drilled_mesh import drilled
from bentwork.models.ended_mesh import Shape
from bentwork.models.mesh import Mesh
from bentwork.parts.tab import Tab
from bentwork.piece.carried import carried, stretch_at
from bentwork.space import Vec, distance, scale

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
        pressed: ends that are pressed flat.
        plain: what is left as it is drawn, and why, a sentence each.
    """

    name: str
    body: Body
    cuts: tuple[Bore | Sawn, ...] = ()
    longer: tuple[float, float] = (0.0, 0.0)
    pressed: tuple[Pressed, ...] = ()
    plain: tuple[str, ...] = ()

    @property
    def ends(self) -> tuple[Shape, Shape]:
        """How end A and end B are made."""
        found: list[Shape] = [*self.longer]
        for one in (*self.cuts, *self.pressed):
            if not isinstance(one, Bore):
                found[one.end] = one
        return found[0], found[1]

    @property
    def bores(self) -> tuple[Bore, ...]:
        """What is drilled and slotted."""
        return tuple(one for one in self.cuts if isinstance(one, Bore))

    def mesh(self, chord_error: float) -> Mesh:
        """Return it as triangles where it is drawn, drilled, and with its ends as they are made.

        Args:
            chord_error: how far a triangle may lie from its true surface, mm.
        """
        about = self.body.subject
        whole = bar_mesh(about.line, about.stock.section, about.way, chord_error, self.ends)
        return drilled(whole, self.bores, chord_error)


def finished(result: Result, about: Sequence[Body]) -> tuple[Finished, ...]:
    """Return bodies as they are when they are finished; a piece whose copies are cut in several ways comes in several.

    Args:
        result: of the job.
        about: its bodies.
    """
    ended = {one.bar.name: one for group in small_parts(result).ended for one in group.bars}
    laid_out = _holes(result)
    specs = {spec.name: spec for spec in result.job.pieces}
    found: list[Finished] = []
    for body in about:
        spec, about_it = specs[body.subject.piece], body.subject
        made = end_cuts(spec, body)
        bored = bar_bores(spec, about_it.stock.section, about_it.line, as_drawn=about_it.as_drawn)
        cuts = (*laid_out.get(body.name, ()), *bored, *made.cuts)
        found += _ways(Finished(body.name, body, cuts, made.longer, made.pressed, made.plain), ended)
    return tuple(found)


def _ways(own: Finished, ended: Mapping[str, EndedBar]) -> Iterator[Finished]:
    """Every way in which copies of a body are cut, the first under its own name."""
    made: list[Finished] = []
    for name, shift in own.body.copies:
        bar = ended.get(name)
        ends, longer, left = _ends(bar, shift) if bar is not None else ((), (0.0, 0.0), ())
        one = replace(own, name=name, body=replace(own.body, copies=((name, shift),)))
        both = (own.longer[0] + longer[0], own.longer[1] + longer[1])  # an end is cut in one of the two ways
        one = replace(one, cuts=(*ends, *own.cuts), longer=both, plain=(*own.plain, *left))
        like = next((k for k, other in enumerate(made) if _alike(one, other)), None)
        if like is None:
            made.append(one)
        else:
            other = made[like]
            made[like] = replace(other, body=replace(other.body, copies=(*other.body.copies, (name, shift))))
    if not made:
        made = [own]
    yield replace(made[0], name=own.name)
    yield from made[1:]


def _ends(bar: EndedBar, shift: Vec) -> tuple[tuple[Bore | Sawn, ...], tuple[float, float], tuple[str, ...]]:
    """Cuts of the ends of a bar where it is drawn, how much longer it is made, and which ends stay plain."""
    cuts: list[Bore | Sawn] = []
    longer = {"A": 0.0, "B": 0.0}
    plain = []
    for one in bar.endings:
        if one.bend is not None:
            plain.append(f"end {one.end} is square: it sits on bend {one.bend} of {one.onto}, to be fitted by hand")
            continue
        if bar.bent and one.into_bend:
            plain.append(f"end {one.end} is square: cut to sit on {one.onto} it would reach into the bend before it")
            continue
        cut = sawn_end(_end_words(one), one.meeting, one.ends)
        longer[one.end] = max(0.0, -one.spare if cut is None else CLEAR - one.spare)
        if cut is not None:
            within = room_of(one.limb, one.room, longer[one.end]) if bar.bent else None
            cut = replace(cut, within=within, end="AB".index(one.end))
            cuts.append(moved(cut, scale(shift, -1.0)))
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
            stretch = stretch_at(stretches, station)
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
