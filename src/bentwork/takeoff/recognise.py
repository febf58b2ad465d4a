"""What is this solid? One bar, several in one, a free curve, or something else."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import chain

from bentwork.takeoff.bar import Bar, Kind
from bentwork.takeoff.bars import UNTWISTED, Doubt, Swept, Tried, Untried
from bentwork.takeoff.drawn_out import drawn_out
from bentwork.takeoff.formal import formal_faces
from bentwork.takeoff.free import free_bars
from bentwork.takeoff.free_rectangular import swept_bars
from bentwork.takeoff.joined import Joined, joined_bars
from bentwork.takeoff.no_bars import no_bar
from bentwork.takeoff.rectangular import LongEdges, rectangular_bars, why_none
from bentwork.takeoff.rods import rods
from bentwork.takeoff.round import RoundChains, round_bars
from bentwork.takeoff.shape import Face, Shape

__all__ = ["Verdict", "along_curve", "recognise"]


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a solid is, where it was drawn.

    Args:
        kind: piece, joined, curve or other.
        bars: one for a piece or curve, the members of a joined one.
        reason: why it is no piece.
        volume: mm3.
    """

    kind: Kind
    bars: tuple[Bar, ...]
    reason: str | None
    volume: float


def recognise(shape: Shape) -> Verdict:
    """Return what a solid is; everything that is not one bar has its reason."""
    if not shape.closed:
        reason = "its faces do not close a volume: an edge has no neighbour, or more than one. Mend the model."
        return Verdict("other", (), reason, 0.0)
    volume = shape.read_volume()
    verdict = _recognised(shape, volume)
    if verdict.kind in ("joined", "other") and shape.read_finely is not None:
        # The kernel's quick integral may miss by a hundredth, however exact it says it is.
        finer = shape.read_finely()
        if abs(finer - volume) > MISSED * abs(finer):
            return _recognised(shape, finer)
    return verdict


def _recognised(shape: Shape, volume: float) -> Verdict:
    faces, spines = formal_faces(shape.faces)
    if volume < 0.0:
        # Drawn inside out: what counts as outside is turned round.
        volume = -volume
        faces, spines = _turned(faces), [replace(spine, outward=not spine.outward) for spine in spines]
    if volume < 1e-3:
        return Verdict("other", (), "it has no volume", 0.0)
    doubts: list[Doubt] = []
    untried: list[Untried] = []
    along, round_ones = LongEdges(shape, faces), rods(faces)
    chains = RoundChains(faces, round_ones)
    # What is in part not known by formula is followed first: of the rest alone a bar without its bends may be made.
    curves: list[Verdict | Doubt] = []
    for curved in chain(
        free_bars(shape, faces, round_ones, spines, volume), swept_bars(shape, along, volume, free=True)
    ):
        curves.append(_curved(curved, volume))
        if isinstance(curves[-1], Verdict) and curves[-1].kind == "piece":
            return curves[-1]
    for found in chain(round_bars(shape, chains, spines, along, volume), rectangular_bars(shape, faces, along, volume)):
        if isinstance(found, Doubt):
            doubts.append(found)
            continue
        if isinstance(found, Untried):
            untried.append(found)
            continue
        why = no_bar(found.bar)
        if why is not None:
            doubts.append(Doubt(why, 2.0))
            continue
        if any(face.patch for face in shape.faces) and any(end.cut == "flattened" for end in found.bar.ends):
            # A leg behind a slight bend whose faces are known too roughly looks like an end that is pressed.
            for one in swept_bars(shape, along, volume, free=False):
                bent = _curved(one, volume)
                if isinstance(bent, Verdict) and bent.kind == "piece":
                    return bent
            if any(end.cut == "flattened" and end.flat == 0.0 for end in found.bar.ends):
                doubts.append(Doubt(NOT_PRESSED, 1.9))
                continue
        return Verdict("piece", (found.bar,), None, volume)
    rest = swept_bars(shape, along, volume, free=False)
    for verdict in chain(curves, (_curved(one, volume) for one in rest)):
        if isinstance(verdict, Verdict):
            return verdict
        doubts.append(verdict)
    if not any(doubt.share >= 2.0 for doubt in doubts):
        members = joined_bars(shape, faces, chains, along, volume)
        if isinstance(members, Doubt):
            doubts.append(members)
        elif members:
            return Verdict("joined", members.bars, _told(members), volume)
        doubts += why_none(along, untried)
    reason = _why(doubts, 0.6) or drawn_out(shape, faces) or _why(doubts, 0.3) or _nothing(faces)
    return Verdict("other", (), reason, volume)


def _told(joined: Joined) -> str:
    """Return what is in a solid of several bars, or of one and something else."""
    if len(joined.bars) == 1:
        return ONE_AND_MORE
    return f"{len(joined.bars)} bars in one solid: each has a bend table of its own" + AND_MORE * joined.and_more


def _curved(found: Tried | Swept | Doubt, volume: float) -> Verdict | Doubt:
    """Return a bar along a curve as a piece where it is made of straights and arcs, else as the nearest arcs."""
    if isinstance(found, Doubt):
        return found
    bar = found.bar
    twist = abs(found.twist) if isinstance(found, Swept) else 0.0
    if bar.deviation <= PIECE_WITHIN and twist > UNTWISTED:
        return Doubt(f"its section turns {twist:.3g}° about the bar from end to end: a twisted bar", 2.0)
    return along_curve(bar, volume, twist)


def along_curve(bar: Bar, volume: float, twist: float = 0.0) -> Verdict:
    """Return a bar along a curve as a piece where that is made of straights and arcs, else as the nearest arcs.

    Args:
        bar: with how far the curve lies from it.
        volume: mm3.
        twist: how far its section turns about it, degrees.
    """
    if bar.deviation <= PIECE_WITHIN:
        return Verdict("piece", (bar,), None, volume)
    arcs = len(bar.line.table.bends)
    told = "1 arc that runs on smoothly comes" if arcs == 1 else f"{arcs} arcs that run on smoothly come"
    reason = f"a free curve: {told} within {bar.deviation:.2g} mm of it"
    if twist > UNTWISTED:
        reason += f"; its section turns {twist:.3g}° about it on the way, which bends do not make: it must be twisted"
    return Verdict("curve", (bar,), reason, volume)


AND_MORE = (
    "; something else in it (a weld seam, a gusset, a tab) is left out, and an end that it covers goes on to the bar"
    " that it meets"
)
ONE_AND_MORE = "one bar, and something else in its solid (a plate, a tab, a gusset, a weld seam), which is left out"
NOT_PRESSED = "part of it leaves the bar, and is neither a bend that is told exactly enough nor an end pressed flat"
MISSED = 1e-3
"""Share of a volume by which a quick integral may miss."""
PIECE_WITHIN = 0.02
"""A bar whose model lies nearer to straights and arcs is made of them, mm; what is left is the file's own rounding."""


def _turned(faces: Sequence[Face]) -> list[Face]:
    found = []
    for face in faces:
        if face.kind == "plane":
            x, y, z = face.axis
            found.append(face._replace(axis=(-x, -y, -z)))
        else:
            found.append(face._replace(outward=not face.outward))
    return found


def _why(doubts: Sequence[Doubt], least: float) -> str:
    """Return the reason that speaks for most of the solid; empty when that is less than this share."""
    best = max(doubts, key=lambda doubt: doubt.share, default=None)
    return best.reason if best is not None and best.share > least else ""


def _nothing(faces: Sequence[Face]) -> str:
    return "its one face follows no bar" if len(faces) == 1 else f"its {len(faces)} faces follow no bar of one section"
