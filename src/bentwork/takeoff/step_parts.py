"""A STEP file taken apart by its text, so that several readers share its solids.

Every part has the whole tree of the model, and a share of the solids; in place of each other one stands a shell without
faces. Where the text is not as plain as that takes, it is not taken apart.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["taken_apart"]

LEAST_SOLIDS = 4
"""So many solids are worth a reader of their own."""
GAIN = 0.75
"""A part larger than this share of the file saves no time."""

_Places = NDArray[np.intp]
_Chosen = NDArray[np.bool_]

_DATA = re.compile(rb"ENDSEC\s*;\s*DATA\s*;")
_END = re.compile(rb"ENDSEC\s*;")
_SOLID = re.compile(rb"=\s*MANIFOLD_SOLID_BREP\s*\(")
_SHELL = re.compile(rb"\s*#\d+\s*=\s*CLOSED_SHELL\s*\(")
_FACE = re.compile(rb"\s*#\d+\s*=\s*ADVANCED_FACE\s*\(")
_STYLES = re.compile(rb"\s*#\d+\s*=\s*(?:OVER_RIDING_)?STYLED_ITEM\s*\(")
_HASH, _QUOTE, _SEMICOLON, _ZERO = b"#';0"


@dataclass(frozen=True, slots=True, eq=False)
class _Statements:
    """The statements of the data section.

    Args:
        text: of the file.
        ends: where each ends, and before them where the first begins, (n + 1,).
        numbers: what each is called.
        targets: statements that they refer to, one after the other.
        starts: where those of each begin, and where those of the last end, (n + 1,).
        quotes: where strings begin and end.
    """

    text: bytes
    ends: _Places
    numbers: _Places
    targets: _Places
    starts: _Places
    quotes: _Places

    def said(self, place: int) -> bytes:
        """Return the words of a statement."""
        return self.text[self.ends[place] : self.ends[place + 1]]

    def from_(self, places: _Places) -> _Places:
        """Return what some statements refer to, one after the other."""
        begins = self.starts[places]
        counts = self.starts[places + 1] - begins
        each = np.arange(counts.sum()) + (begins + counts - counts.cumsum()).repeat(counts)
        found: _Places = self.targets[each]
        return found

    def reached(self, places: _Places) -> _Chosen:
        """Return which statements some refer to, at any depth, these themselves among them."""
        found = np.zeros(len(self.numbers), dtype=bool)
        found[places] = True
        while len(places):
            fresh = np.zeros(len(found), dtype=bool)
            fresh[self.from_(places)] = True
            fresh &= ~found
            found |= fresh
            places = fresh.nonzero()[0]
        return found


def taken_apart(text: bytes, most: int) -> list[list[bytes]]:
    """Return the parts of a STEP file, so many at most, each as pieces of text; none when it is not worth it."""
    statements = _statements(text)
    if statements is None:
        return []
    solids, shells = _solids(statements)
    count = min(most, len(solids) // LEAST_SOLIDS)
    if count < 2 or len(set(shells.tolist())) < len(shells):
        return []
    bodies = statements.reached(shells)
    common = ~bodies
    if not common[solids].all():
        return []
    leads = common.copy()
    leads[solids] = False
    # What the rest refers to within bodies: faces that have a colour of their own can do without their shape.
    from_outside = leads.nonzero()[0]
    owners = from_outside.repeat(statements.starts[from_outside + 1] - statements.starts[from_outside])
    targets = statements.from_(from_outside)
    within = bodies[targets]
    coloured: list[int] = []
    needed: list[int] = []
    for owner, target in zip(owners[within].tolist(), targets[within].tolist(), strict=True):
        plain = _STYLES.match(statements.said(owner)) and _FACE.match(statements.said(target))
        (coloured if plain else needed).append(target)
    kept = common | statements.reached(np.array(needed, dtype=np.intp))
    parts: list[list[bytes]] = []
    shares = _shares(statements.ends[solids], int(statements.ends[-1]), count)
    for k in range(count):
        own = kept | statements.reached(shells[shares == k])
        absent = shells[shares != k].tolist()
        if own[absent].any():
            return []
        instead = [b"\n#%d=CLOSED_SHELL('',());" % statements.numbers[place] for place in absent]
        numbers = {int(statements.numbers[place]) for place in coloured if not own[place]}
        instead += [b"\n#%d=CARTESIAN_POINT('',(0.,0.,0.));" % number for number in sorted(numbers)]
        pieces = _pieces(statements, own, instead)
        if sum(map(len, pieces)) > GAIN * len(text):
            return []
        parts.append(pieces)
    return parts


def _statements(text: bytes) -> _Statements | None:
    """Return the statements of a file's one data section; None when it is not as plain as most are."""
    begins = _DATA.search(text)
    if begins is None or text.find(b"/*", begins.end()) >= 0:
        return None
    end = _END.search(text, begins.end())
    if end is None or _END.search(text, end.end()):
        return None
    offset = begins.end()
    letters = np.frombuffer(text, np.uint8, end.start() - offset, offset)
    quotes = (letters == _QUOTE).nonzero()[0]

    def outside(places: _Places) -> _Places:
        found: _Places = places[quotes.searchsorted(places) % 2 == 0]
        return found

    stops, marks = (outside((letters == letter).nonzero()[0]) for letter in (_SEMICOLON, _HASH))
    own = stops.searchsorted(marks)
    if len(marks) == 0 or own[-1] >= len(stops):
        return None
    heads = np.ones(len(marks), dtype=bool)
    heads[1:] = own[1:] != own[:-1]
    if heads.sum() != len(stops):
        return None
    called = _numbers(letters, marks)
    numbers = called[heads]
    order = numbers.argsort(kind="stable")
    if (np.diff(numbers[order]) == 0).any():
        return None
    referred = called[~heads]
    at = numbers[order].searchsorted(referred).clip(max=len(order) - 1)
    targets = order[at]
    if (numbers[targets] != referred).any():
        return None
    starts = np.concatenate(((0,), np.bincount(own[~heads], minlength=len(stops)).cumsum()))
    return _Statements(text, np.concatenate(((0,), stops + 1)) + offset, numbers, targets, starts, quotes + offset)


def _numbers(letters: NDArray[np.uint8], marks: _Places) -> _Places:
    """Return the numbers that follow marks."""
    found = np.zeros(len(marks), dtype=np.intp)
    more = np.ones(len(marks), dtype=bool)
    places = marks + 1
    while True:
        digits = letters.take(places, mode="clip") - np.uint8(_ZERO)
        more &= digits < 10
        if not more.any():
            return found
        found = np.where(more, found * 10 + digits, found)
        places += 1


def _solids(statements: _Statements) -> tuple[_Places, _Places]:
    """Return the solids that have a closed shell and nothing else, and their shells."""
    found = [match.start() for match in _SOLID.finditer(statements.text, int(statements.ends[0]))]
    places = np.array(found, dtype=np.intp)
    places = places[statements.quotes.searchsorted(places) % 2 == 0]
    solids = statements.ends.searchsorted(places, side="right") - 1
    single = statements.starts[solids + 1] - statements.starts[solids] == 1
    solids = solids[single]
    shells = statements.targets[statements.starts[solids]]
    plain = np.array([bool(_SHELL.match(statements.said(place))) for place in shells.tolist()], dtype=bool)
    return solids[plain], shells[plain]


def _shares(places: _Places, end: int, count: int) -> _Places:
    """Return to which part each solid goes: by its size, which is told by where the next one begins.

    Args:
        places: where the solids stand in the file.
        end: where it ends.
        count: of parts.
    """
    sizes = np.zeros(len(places), dtype=np.intp)
    order = places.argsort()
    sizes[order] = np.diff(places[order], append=end)
    loads, shares = [0] * count, np.zeros(len(places), dtype=np.intp)
    for k in (-sizes).argsort(kind="stable").tolist():
        shares[k] = loads.index(min(loads))
        loads[shares[k]] += int(sizes[k])
    return shares


def _pieces(statements: _Statements, own: _Chosen, instead: Sequence[bytes]) -> list[bytes]:
    """Return the text of a file with some of its statements, and others added."""
    text, ends = statements.text, statements.ends.tolist()
    turns = np.flatnonzero(np.diff(np.concatenate(((False,), own, (False,))))).tolist()
    kept = [text[ends[a] : ends[b]] for a, b in zip(turns[::2], turns[1::2], strict=True)]
    return [text[: ends[0]], *kept, *instead, text[ends[-1] :]]
