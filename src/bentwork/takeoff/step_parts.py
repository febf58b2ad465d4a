"""A STEP file taken apart by its text, so that several readers share its solids.

Every part has the whole tree of the model, and a share of the solids; in place of each other one stands a ring that
tells which it is. Where the text is not as plain as that takes, it is not taken apart.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from bentwork.takeoff.step_statements import Chosen, Places, Shells, Statements

__all__ = ["Solids", "ring_of", "shares_of", "solids_in", "taken_apart"]

RINGS = "2718281828"
"""A ring that stands for solid n is n + 2 times as wide as thick, and this, after the point, that no real one is."""
MOST_RINGS = 10**6
LEAST_SOLIDS = 4
"""So many solids are worth a reader of their own."""
GAIN = 0.75
"""A part larger than this share of the file saves no time."""


_SOLID = re.compile(rb"=\s*(?:MANIFOLD_SOLID_BREP|BREP_WITH_VOIDS)\s*\(")
_ORIENTED = re.compile(rb"\s*#\d+\s*=\s*ORIENTED_CLOSED_SHELL\s*\([^#;]*#\d+\s*,\s*\.([TF])\.\s*\)\s*;")
_SHELL = re.compile(rb"\s*#\d+\s*=\s*CLOSED_SHELL\s*\(")
_FACE = re.compile(rb"\s*#\d+\s*=\s*ADVANCED_FACE\s*\(")
_BARE = re.compile(rb"ADVANCED_FACE\s*\([^;]*?,\s*\(\s*\)\s*,")
_STYLES = re.compile(rb"\s*#\d+\s*=\s*(?:OVER_RIDING_)?STYLED_ITEM\s*\(")


@dataclass(frozen=True, slots=True, eq=False)
class Solids:
    """The solids of a file that can be taken out of it, in its order.

    Args:
        places: statements of them, (n,).
        shells: of them.
        voids: statements that name the shells of voids, which way round.
        sizes: about how long all that each refers to is, told by where the next one begins.
    """

    places: Places
    shells: Shells
    voids: Places
    sizes: Places


def taken_apart(statements: Statements, solids: Solids, here: Chosen, most: int) -> list[list[bytes]]:
    """Return the parts of a STEP file for the CAD kernel, as pieces of text; none when it is not worth it.

    Args:
        statements: of the file.
        solids: that can be taken out of it.
        here: those that the kernel is not to read at all, (n,).
        most: so many parts at most.
    """
    left = (~here).nonzero()[0]
    count = max(min(most, len(left) // LEAST_SOLIDS), int(here.any()))
    least = 1 if here.any() else 2
    shells = solids.shells
    if count < least or len(set(shells.places.tolist())) < len(shells.places):
        return []
    bodies = statements.reached(shells.places)
    common = ~bodies
    if not common[solids.places].all() or _BARE.search(statements.text):
        return []
    leads = common.copy()
    leads[solids.places] = leads[solids.voids] = False
    # What the rest refers to within bodies: faces that have a colour of their own can do without their shape.
    from_outside = leads.nonzero()[0]
    owners = from_outside.repeat(statements.counts(from_outside))
    targets = statements.from_(from_outside)
    within = bodies[targets]
    coloured: list[int] = []
    needed: list[int] = []
    for owner, target in zip(owners[within].tolist(), targets[within].tolist(), strict=True):
        plain = _STYLES.match(statements.said(owner)) and _FACE.match(statements.said(target))
        (coloured if plain else needed).append(target)
    kept = common | statements.reached(np.array(needed, dtype=np.intp))
    shares = np.full(shells.count, -1)
    shares[left] = shares_of(solids.sizes[left], count)
    parts: list[list[bytes]] = []
    for k in range(count):
        own = kept | statements.reached(shells.of((shares == k).nonzero()[0]).places)
        absent = shares[shells.whose] != k
        if own[shells.places[absent]].any():
            return []
        numbers = {int(statements.numbers[place]) for place in coloured if not own[place]}
        instead = [*_marks(statements, shells.places[absent], shells.whose[absent])]
        instead += [b"\n#%d=CARTESIAN_POINT('',(0.,0.,0.));" % number for number in sorted(numbers)]
        pieces = _pieces(statements, own, instead)
        if least > 1 and sum(map(len, pieces)) > GAIN * len(statements.text):
            return []
        parts.append(pieces)
    return parts


def solids_in(statements: Statements) -> Solids:
    """Return the solids that have a closed shell, and one for each void, and nothing else."""
    found = [match.start() for match in _SOLID.finditer(statements.text, int(statements.ends[0]))]
    begins = np.array(found, dtype=np.intp)
    begins = begins[statements.quotes.searchsorted(begins) % 2 == 0]
    places: list[int] = []
    shells: list[int] = []
    turned: list[bool] = []
    counts: list[int] = []
    voids: list[int] = []
    for place in (statements.ends.searchsorted(begins, side="right") - 1).tolist():
        outer, *inner = statements.targets[slice(*statements.starts[place : place + 2])].tolist() or [place]
        told = [_ORIENTED.match(statements.said(one)) for one in inner]
        own = [outer, *statements.from_(np.array(inner, dtype=np.intp)).tolist()]
        if all(told) and len(own) == 1 + len(inner) and all(_SHELL.match(statements.said(one)) for one in own):
            places.append(place)
            shells += own
            turned += [False, *(match is not None and match[1] == b"F" for match in told)]
            counts.append(len(own))
            voids += inner
    those = np.array(places, dtype=np.intp)
    begins = statements.ends[those]
    sizes = np.zeros(len(begins), dtype=np.intp)
    order = begins.argsort()
    sizes[order] = np.diff(begins[order], append=statements.ends[-1])
    whose = np.arange(len(places)).repeat(counts) if places else those
    closing = Shells(np.array(shells, dtype=np.intp), whose, np.array(turned, dtype=bool), len(places))
    return Solids(those, closing, np.array(voids, dtype=np.intp), sizes)


def ring_of(ratio: float) -> int:
    """Return which solid a ring so many times as wide as thick stands for; below 0 for none."""
    whole = int(ratio)
    return whole - 2 if whole < MOST_RINGS and abs(ratio - float(f"{whole}.{RINGS}")) < 1e-8 else -1


def shares_of(sizes: Places, count: int) -> Places:
    """Return to which of so many shares each solid goes, so that all come to about the same size."""
    loads, shares = [0] * count, np.zeros(len(sizes), dtype=np.intp)
    for k in (-sizes).argsort(kind="stable").tolist():
        shares[k] = loads.index(min(loads))
        loads[shares[k]] += int(sizes[k])
    return shares


def _marks(statements: Statements, absent: Places, whose: Places) -> Iterator[bytes]:
    """Yield statements of shells that stand in place of absent ones: rings, as thick as tells whose they are."""
    free = int(statements.numbers.max()) + 1
    yield b"\n#%d=CARTESIAN_POINT('',(0.,0.,0.));\n#%d=AXIS2_PLACEMENT_3D('',#%d,$,$);" % (free, free + 1, free)
    numbers = statements.numbers[absent].tolist()
    faces = range(free + 2, free + 2 + 2 * len(absent), 2)
    for shell, number, face in zip(numbers, whose.tolist(), faces, strict=True):
        yield (
            b"\n#%d=CLOSED_SHELL('',(#%d));\n#%d=ADVANCED_FACE('',(),#%d,.T.);\n#%d=TOROIDAL_SURFACE('',#%d,%d.%s,1.);"
            % (shell, face, face, face + 1, face + 1, free + 1, number + 2, RINGS.encode())
        )


def _pieces(statements: Statements, own: Chosen, instead: Sequence[bytes]) -> list[bytes]:
    """Return the text of a file with some of its statements, and others added."""
    text, ends = statements.text, statements.ends.tolist()
    turns = np.flatnonzero(np.diff(np.concatenate(((False,), own, (False,))))).tolist()
    kept = [text[ends[a] : ends[b]] for a, b in zip(turns[::2], turns[1::2], strict=True)]
    return [text[: ends[0]], *kept, *instead, text[ends[-1] :]]
