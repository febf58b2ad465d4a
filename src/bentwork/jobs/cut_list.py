"""From a result to what has to be sawn off every stock: pieces, tabs, lengths for test bends, spares."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from bentwork.bending.learnt import Fit
from bentwork.jobs.small_parts import SmallParts
from bentwork.jobs.work import PiecePlan, Result
from bentwork.parts.cutting import Length
from bentwork.stock.bar import Stock
from bentwork.stock.section import Flat
from bentwork.tooling.bender import Bender

__all__ = ["USUAL_TEST_BENDS", "Wanted", "cut_list"]

USUAL_TEST_BENDS = 2
"""Test bends for a bar that none were made of on this bender; common practice, no source."""

_SHORTEST_TEST = 250.0
_HANDLE = 40.0  # more than hook and follower ask for, to lay an angle finder on; common practice, no source


@dataclass(frozen=True, slots=True)
class Wanted:
    """What has to be cut from one stock.

    Args:
        stock: of which.
        lengths: as they are wanted.
    """

    stock: Stock
    lengths: tuple[Length, ...]

    @property
    def total(self) -> float:
        """All lengths together, mm."""
        return math.fsum(one.length * one.count for one in self.lengths)


def cut_list(result: Result, small: SmallParts, spares: Mapping[str, int]) -> tuple[Wanted, ...]:
    """Return what has to be cut, stock by stock in the order of the job; a stock of which nothing is cut is left out.

    Args:
        result: of the job.
        small: its small parts.
        spares: lengths more than are made, by the name of their piece.
    """
    found = []
    for stock in result.job.stocks.values():
        mine = [plan for plan in result.pieces if plan.stock.name == stock.name and plan.line is not None]
        lengths = [length for plan in mine for length in _of_piece(plan, small)]
        lengths += _of_tabs(stock, result.job.stocks, small)
        lengths += [
            Length(f"{plan.spec.name}, spare", plan.cut_length, spares[plan.spec.name])
            for plan in mine
            if spares.get(plan.spec.name)
        ]
        lengths += _test_bends(mine, result.job.shop.test_bends)
        if lengths:
            found.append(Wanted(stock, tuple(lengths)))
    return tuple(found)


def _of_piece(plan: PiecePlan, small: SmallParts) -> Iterator[Length]:
    """Return the lengths of one piece; straight bars that end on others are as long as their ends ask for."""
    name, makes = plan.spec.name, plan.makes
    shaped = [one for one in small.crossbars if one.piece == name]
    for one in shaped:
        count = min(len(one.bars), makes)
        makes -= count
        if count:
            yield Length(one.name, one.first.cut_length + 2.0 * plan.spec.trim, count)
    if makes:
        yield Length(name, plan.cut_length, makes)


def _of_tabs(stock: Stock, stocks: Mapping[str, Stock], small: SmallParts) -> Iterator[Length]:
    """Return the blanks of tabs that are cut from a flat bar of the job: the first that they fit."""
    for pattern in small.tabs:
        length, width, thickness = pattern.tab.blank
        fits = [
            one.name
            for one in stocks.values()
            if isinstance(one.section, Flat)
            and one.material.name == pattern.material.name
            and math.isclose(one.section.width, width, abs_tol=0.05)
            and math.isclose(one.section.height, thickness, abs_tol=0.05)
        ]
        if fits and fits[0] == stock.name:
            yield Length(pattern.name, length, len(pattern.tabs))


def _test_bends(plans: list[PiecePlan], said: int | None) -> Iterator[Length]:
    """Return the lengths to be bent and thrown away, one sort for every bender; none where it was learnt before."""
    seen = set()
    for plan in plans:
        bender, what = plan.bender, plan.what
        if bender is None or what is None or plan.table is None or not plan.table.bends or bender.name in seen:
            continue
        seen.add(bender.name)
        learnt = isinstance(what.fit, Fit) and not what.fit.from_handbook
        count = said if said is not None else 0 if learnt else USUAL_TEST_BENDS
        if count:
            yield Length("test bend", _test_length(bender), count)


def _test_length(bender: Bender) -> float:
    """Return the length of scrap for a right angle: what is held and pressed, the arc, and legs to lay a tape on."""
    needs = bender.needs
    ends = max(needs.end_held, needs.end_free) + max(needs.end_free, needs.straight_free) + 2.0 * _HANDLE
    return max(_SHORTEST_TEST, 10.0 * math.ceil((ends + bender.radius * math.pi / 2.0) / 10.0))
