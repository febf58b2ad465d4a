"""What a model was made from, and whether what was read back is the same. Written without the code that reads."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.stock.section import Section
from bentwork.takeoff.bar import Bar

LENGTH = 0.01
ANGLE = 0.01


@dataclass(frozen=True)
class Truth:
    """One bar: its centreline where it stands, its section, and what was done to it.

    ``ends`` are (cut, angle) at A and B; ``holes`` are (station, degrees round, diameter, through).
    """

    line: Centreline
    section: Section
    way: str | None = None
    ends: tuple[tuple[str, float], tuple[str, float]] = (("square", 0.0), ("square", 0.0))
    holes: tuple[tuple[float, float, float, bool], ...] = ()


@dataclass(frozen=True)
class Expected:
    """What a solid is to come back as."""

    kind: str
    bars: tuple[Truth, ...] = ()
    deviation: float = 1e-3
    says: str = ""
    notes: dict[str, str] = field(default_factory=dict)


def differences(bar: Bar, truth: Truth) -> list[str]:
    """What is different between a bar and its truth; travelled the other way is no difference."""
    found = []
    if bar.section is None or type(bar.section) is not type(truth.section):
        return [f"section {bar.section}, not {truth.section}"]
    for name in ("diameter", "width", "height", "wall", "corner_radius"):
        has, wanted = getattr(bar.section, name, None), getattr(truth.section, name, None)
        if has is not None and abs(has - wanted) > LENGTH:
            found.append(f"{name} {has}, not {wanted}")
    if bar.way != truth.way:
        found.append(f"way {bar.way}, not {truth.way}")
    table, wanted_table = bar.line.table, truth.line.table
    if table.closed != wanted_table.closed:
        return [*found, f"closed {table.closed}"]
    if table.closed:
        return found + _closed(table, wanted_table) + _apart(bar.line, truth.line)
    forward, backward = _table(table, wanted_table), _table(table.reversed(), wanted_table)
    found += forward if len(forward) <= len(backward) else backward
    start, end = np.array(truth.line.start.origin), np.array(truth.line.end.origin)
    a, b = np.array(bar.line.start.origin), np.array(bar.line.end.origin)
    same = max(np.abs(a - start).max(), np.abs(b - end).max())
    turned = max(np.abs(a - end).max(), np.abs(b - start).max())
    is_turned = bool(turned < same)
    if min(same, turned) > LENGTH:
        found.append(f"ends stand at {a} and {b}, not at {start} and {end}")
    found += _apart(bar.line, truth.line)
    ends = truth.ends[::-1] if is_turned else truth.ends
    for end_found, (cut, angle) in zip(bar.ends, ends, strict=True):
        if end_found.cut != cut or abs(end_found.angle - angle) > ANGLE:
            found.append(f"end {end_found}, not {cut} {angle}")
    return found + _holes(bar, truth, is_turned)


def _table(table: BendTable, wanted: BendTable) -> list[str]:
    if len(table.bends) != len(wanted.bends):
        return [f"{len(table.bends)} bends, not {len(wanted.bends)}"] * 99
    found = [
        f"straight {k} {a}, not {b}"
        for k, (a, b) in enumerate(zip(table.straights, wanted.straights, strict=True), 1)
        if abs(a - b) > LENGTH
    ]
    for k, (bend, other) in enumerate(zip(table.bends, wanted.bends, strict=True), 1):
        if abs(bend.radius - other.radius) > LENGTH:
            found.append(f"radius {k} {bend.radius}, not {other.radius}")
        if abs(bend.angle - other.angle) > ANGLE:
            found.append(f"angle {k} {bend.angle}, not {other.angle}")
        if abs((bend.rotation - other.rotation + 180.0) % 360.0 - 180.0) > ANGLE:
            found.append(f"rotation {k} {bend.rotation}, not {other.rotation}")
    return found


def _closed(table: BendTable, wanted: BendTable) -> list[str]:
    """A closed piece may begin at any straight, cut anywhere: it is compared as a ring."""
    if abs(table.length - wanted.length) > LENGTH:
        return [f"length {table.length}, not {wanted.length}"]
    best = ["no bends in this order"]
    for one in (table, table.reversed()):
        for shift in range(len(wanted.bends)):
            best = min(best, _ring(one, wanted, shift), key=len)
    return best


def _ring(table: BendTable, wanted: BendTable, shift: int) -> list[str]:
    count = len(wanted.bends)
    if len(table.bends) != count:
        return [f"{len(table.bends)} bends, not {count}"] * 99

    def between(t: BendTable, k: int) -> float:
        return t.straights[k] if k else t.straights[0] + t.straights[-1]

    found = []
    for k in range(count):
        a, b = table.bends[(k + shift) % count], wanted.bends[k]
        if abs(a.radius - b.radius) > LENGTH or abs(a.angle - b.angle) > ANGLE:
            found.append(f"bend {k + 1}: {a}, not {b}")
        if abs(between(table, (k + shift) % count) - between(wanted, k)) > LENGTH:
            found.append(f"straight before bend {k + 1}")
        if k and (k + shift) % count and abs((a.rotation - b.rotation + 180.0) % 360.0 - 180.0) > ANGLE:
            found.append(f"rotation {k + 1}: {a.rotation}, not {b.rotation}")
    return found


def _apart(line: Centreline, truth: Centreline) -> list[str]:
    """Whether both run through the same places: dense samples of one against chords of the other."""
    mine, other = line.sample(0.05), truth.sample(0.001)
    starts, along = other[:-1], np.diff(other, axis=0)
    sizes = np.einsum("ij,ij->i", along, along)
    rel = mine[:, None, :] - starts
    share = np.clip(np.einsum("kij,ij->ki", rel, along) / sizes, 0.0, 1.0)
    worst = float(np.linalg.norm(rel - share[:, :, None] * along, axis=2).min(axis=1).max())
    return [f"runs {worst:.4f} mm beside"] if worst > LENGTH else []


def _holes(bar: Bar, truth: Truth, turned: bool) -> list[str]:
    if len(bar.holes) != len(truth.holes):
        return [f"{len(bar.holes)} holes, not {len(truth.holes)}: {bar.holes}"]
    wanted: Sequence[tuple[float, float, float, bool]] = truth.holes
    if turned:
        length, directions = truth.line.table.length, truth.line.table.directions
        last = directions[-1] if directions else 0.0
        # Seen from B, the first bend is the last one, and the turn about the bar the other way.
        wanted = [(length - at, last - angle, size, through) for at, angle, size, through in truth.holes]
    found = []
    for hole, (at, angle, size, through) in zip(sorted(bar.holes, key=lambda h: h.at), sorted(wanted), strict=True):
        whole = 180.0 if through else 360.0
        off = abs((hole.round - angle + whole / 2.0) % whole - whole / 2.0)
        if abs(hole.at - at) > LENGTH or abs(hole.diameter - size) > LENGTH or hole.through != through:
            found.append(f"hole {hole}, not at {at}, {size}")
        elif off > ANGLE and truth.line.table.bends:
            found.append(f"hole {hole}, not at {angle} degrees round")
    return found
