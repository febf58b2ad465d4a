"""What is this solid? One bar, several in one, a free curve, or something else."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from bentwork.takeoff.bar import Bar, Kind
from bentwork.takeoff.bars import Doubt
from bentwork.takeoff.formal import formal_faces
from bentwork.takeoff.free import free_bars
from bentwork.takeoff.joined import joined_bars
from bentwork.takeoff.no_bars import no_bar
from bentwork.takeoff.rectangular import rectangular_bars
from bentwork.takeoff.round import round_bars
from bentwork.takeoff.shape import Face, Shape

__all__ = ["Verdict", "recognise"]


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
    faces, spines = formal_faces(shape.faces)
    if volume < 0.0:
        # Drawn inside out: what counts as outside is turned round.
        volume = -volume
        faces, spines = _turned(faces), [replace(spine, outward=not spine.outward) for spine in spines]
    if volume < 1e-3:
        return Verdict("other", (), "it has no volume", 0.0)
    doubts: list[Doubt] = []
    for attempt in (round_bars, rectangular_bars):
        for found in attempt(shape, faces, spines, volume):
            if isinstance(found, Doubt):
                doubts.append(found)
                continue
            why = no_bar(found.bar)
            if why is None:
                return Verdict("piece", (found.bar,), None, volume)
            doubts.append(Doubt(why, 2.0))
    for found in free_bars(shape, faces, spines, volume):
        if isinstance(found, Doubt):
            doubts.append(found)
            continue
        if found.bar.deviation <= PIECE_WITHIN:
            return Verdict("piece", (found.bar,), None, volume)
        arcs = len(found.bar.line.table.bends)
        reason = f"a free curve: {arcs} arcs that run on smoothly come within {found.bar.deviation:.2g} mm of it"
        return Verdict("curve", (found.bar,), reason, volume)
    if not any(doubt.share >= 2.0 for doubt in doubts):
        members = joined_bars(shape, faces, volume)
        if members:
            reason = f"{len(members)} bars in one solid: each has a bend table of its own"
            return Verdict("joined", members, reason, volume)
    return Verdict("other", (), _why(doubts, faces), volume)


PIECE_WITHIN = 0.02
"""A bar whose model lies nearer to straights and arcs is made of them, mm; what is left is the file's own rounding."""


def _turned(faces: Sequence[Face]) -> list[Face]:
    found = []
    for face in faces:
        if face.kind == "plane":
            x, y, z = face.axis
            found.append(replace(face, axis=(-x, -y, -z)))
        else:
            found.append(replace(face, outward=not face.outward))
    return found


def _why(doubts: Sequence[Doubt], faces: Sequence[Face]) -> str:
    if doubts:
        best = max(doubts, key=lambda doubt: doubt.share)
        if best.share > 0.3:
            return best.reason
    return f"its {len(faces)} faces follow no bar of one section"
