"""The statements of a STEP file by its text: what each is called, and which others it refers to, in tables."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Chosen", "OddError", "Places", "Shells", "Statements", "statements_of"]

Places = NDArray[np.intp]
Chosen = NDArray[np.bool_]

_DATA = re.compile(rb"ENDSEC\s*;\s*DATA\s*;")
_END = re.compile(rb"ENDSEC\s*;")
_HASH, _QUOTE, _SEMICOLON, _ZERO = b"#';0"


class OddError(Exception):
    """The text is not as it is taken to be."""


@dataclass(frozen=True, slots=True, eq=False)
class Statements:
    """The statements of the data section.

    Args:
        text: of the file.
        ends: where each ends, and before them where the first begins, (n + 1,).
        numbers: what each is called.
        targets: statements that they refer to, one after the other.
        starts: where those of each begin, and where those of the last end, (n + 1,).
        quotes: where strings begin and end.
        heads: where the number of each ends, (n,).
        afters: where each reference ends, as ``targets``.
    """

    text: bytes
    ends: Places
    numbers: Places
    targets: Places
    starts: Places
    quotes: Places
    heads: Places
    afters: Places

    def counts(self, places: Places) -> Places:
        """Return how many others some statements refer to."""
        return self.starts[places + 1] - self.starts[places]

    def said(self, place: int) -> bytes:
        """Return the words of a statement."""
        return self.text[self.ends[place] : self.ends[place + 1]]

    def from_(self, places: Places) -> Places:
        """Return what some statements refer to, one after the other."""
        begins = self.starts[places]
        counts = self.starts[places + 1] - begins
        each = np.arange(counts.sum()) + (begins + counts - counts.cumsum()).repeat(counts)
        found: Places = self.targets[each]
        return found

    def reached(self, places: Places) -> Chosen:
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


@dataclass(frozen=True, slots=True, eq=False)
class Shells:
    """The shells of some solids, those of one after those of the other.

    Args:
        places: statements of them, (m,).
        whose: which solid each closes, rising, (m,); of one the outer shell comes first, then those of its voids.
        turned: shells that are turned inside out, (m,).
        count: of solids.
    """

    places: Places
    whose: Places
    turned: Chosen
    count: int

    def __len__(self) -> int:
        return self.count

    def of(self, solids: Places) -> Shells:
        """Return those of some solids, in rising order."""
        renumbered = np.full(self.count, -1)
        renumbered[solids] = np.arange(len(solids))
        whose = renumbered[self.whose]
        own = whose >= 0
        return Shells(self.places[own], whose[own], self.turned[own], len(solids))


def statements_of(text: bytes) -> Statements | None:
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

    def outside(places: Places) -> Places:
        found: Places = places[quotes.searchsorted(places) % 2 == 0]
        return found

    stops, marks = (outside((letters == letter).nonzero()[0]) for letter in (_SEMICOLON, _HASH))
    own = stops.searchsorted(marks)
    if len(marks) == 0 or own[-1] >= len(stops):
        return None
    heads = np.ones(len(marks), dtype=bool)
    heads[1:] = own[1:] != own[:-1]
    if heads.sum() != len(stops):
        return None
    called, past = _numbers(letters, marks)
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
    ends = np.concatenate(((0,), stops + 1)) + offset
    past += offset
    return Statements(text, ends, numbers, targets, starts, quotes + offset, past[heads], past[~heads])


def _numbers(letters: NDArray[np.uint8], marks: Places) -> tuple[Places, Places]:
    """Return the numbers that follow marks, and where they end."""
    found = np.zeros(len(marks), dtype=np.intp)
    more = np.ones(len(marks), dtype=bool)
    places = marks + 1
    while True:
        digits = letters.take(places, mode="clip") - np.uint8(_ZERO)
        more &= digits < 10
        if not more.any():
            return found, places
        found = np.where(more, found * 10 + digits, found)
        places += more
