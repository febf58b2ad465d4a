"""What is known of a bar on a bender, and where from: the job's own word, the maker's test bends, or the handbook."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Literal

from bentwork.bending.fit import fit, is_of
from bentwork.bending.handbook import Handbook
from bentwork.bending.learnt import Fit, Pull, Shift
from bentwork.bending.loads import Loads, loads
from bentwork.bending.set_up import SetUp
from bentwork.bending.stock_key import StockKey
from bentwork.bending.test_bend import TestBend
from bentwork.forming.die_bend import DieBend
from bentwork.forming.prediction import SpringsStraight
from bentwork.stock.library import plain_name

__all__ = ["Known", "Source", "known", "made_in"]

_MOST_PULLS = 500
Source = Literal["job", "test bends", "handbook", "nothing"]
"""Where the springback of a plan comes from; ``nothing`` where the bar cannot go round the die or springs straight."""


def made_in(set_up: SetUp, bends: Iterable[TestBend]) -> tuple[TestBend, ...]:
    """Return those of the maker's test bends that were made with this bar on this bender, none struck out."""
    section = StockKey(set_up.section, set_up.material.name).section
    names = {plain_name(name) for name in (set_up.material.name, *set_up.material.aliases)}
    return tuple(
        bend
        for bend in bends
        if bend.stock_key.section == section and plain_name(bend.stock_key.material) in names and is_of(set_up, bend)
    )


def known(set_up: SetUp, bends: Sequence[TestBend] = (), book: Handbook | SpringsStraight | None = None) -> Known:
    """Return what is known of a bar on a bender.

    Args:
        set_up: the bar on the bender.
        bends: all test bends that the maker ever made; those of this bar on this bender are picked out.
        book: what the handbook says of the set-up, where it is at hand.
    """
    if not set_up.fits:
        return Known(set_up, None)
    return Known(set_up, fit(set_up, made_in(set_up, bends), book=book))


@dataclass(frozen=True)
class Known:
    """What is known of a bar on a bender. Angles in degrees, lengths in mm.

    What the job itself says of springback comes before the test bends; those still tell where the marks go.

    Args:
        set_up: the bar on the bender.
        fit: test bends and handbook together; None where the bar does not go round the die.
    """

    set_up: SetUp
    fit: Fit | SpringsStraight | None
    _pulls: dict[float, Pull | None] = field(default_factory=dict, init=False, repr=False, compare=False)
    _loads: dict[tuple[float, float], Loads] = field(default_factory=dict, init=False, repr=False, compare=False)

    @property
    def source(self) -> Source:
        """Where the springback comes from."""
        if self.set_up.bender.springback is not None:
            return "job"
        if not isinstance(self.fit, Fit):
            return "nothing"
        return "handbook" if self.fit.from_handbook else "test bends"

    def pull(self, wanted: float) -> Pull | None:
        """Return how far to pull for an angle to be left, with its interval, by test bends and handbook alone."""
        if not isinstance(self.fit, Fit):
            return None
        if wanted not in self._pulls:  # the same few angles are asked for again and again
            if len(self._pulls) >= _MOST_PULLS:
                self._pulls.clear()
            self._pulls[wanted] = self.fit.pull(wanted)
        return self._pulls[wanted]

    def bend_to(self, wanted: float) -> float:
        """Return the angle to pull to: the job's ratio, what was learnt, or the wanted angle where nothing is known."""
        ratio = self.set_up.bender.springback
        if ratio is not None:
            return ratio * wanted
        if not isinstance(self.fit, Fit):
            return wanted
        pull = self._pulls.get(wanted)
        return self.fit.bend_to(wanted) if pull is None else pull.bend_to

    @property
    def starts_behind(self) -> float:
        """How far behind what the tool is set to a bend begins, mm; 0 as long as no tape said anything of it."""
        return self.fit.start.mean if isinstance(self.fit, Fit) and self.fit.taped else 0.0

    def shift(self, wanted: float) -> Shift | None:
        """Return how the marks of a bend move from where it is drawn; None as long as no tape said anything of it."""
        return self.fit.shift(wanted) if isinstance(self.fit, Fit) else None

    def loads(self, wanted: float, pulled: float | None = None) -> Loads | None:
        """Return what a bend asks of hand, tool and press; None where nothing of it is left.

        Args:
            wanted: angle that is to be left.
            pulled: angle that it is pulled to; None: what is known of it.
        """
        on_die = self.on_die
        if not isinstance(on_die, DieBend):
            return None
        key = wanted, self.bend_to(wanted) if pulled is None else pulled
        if key not in self._loads:
            if len(self._loads) >= _MOST_PULLS:
                self._loads.clear()
            self._loads[key] = loads(self.set_up, on_die, *key)
        return self._loads[key]

    @property
    def on_die(self) -> DieBend | SpringsStraight | None:
        """The bar on the die, as strong as the handbook thinks likeliest; None where it does not go round."""
        return self.fit.bends.book.likely if isinstance(self.fit, Fit) else self.fit
