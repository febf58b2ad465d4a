"""What is cut from which bar: the lengths wanted, the bars on sale, the offcuts that are there, and a plan of cuts."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

__all__ = ["BarCut", "BarOnSale", "CuttingPlan", "Length", "Offcut", "Saw"]


@dataclass(frozen=True, slots=True)
class Length:
    """A length that is wanted.

    Args:
        name: what it is for.
        length: mm.
        count: how many.
    """

    name: str
    length: float
    count: int = 1

    def __post_init__(self) -> None:
        if not (math.isfinite(self.length) and self.length > 0.0):
            raise ValueError(f"a length to cut is more than 0 mm, not {self.length:g}")
        if self.count < 1:
            raise ValueError(f"at least one of {self.name} is wanted, not {self.count}")


@dataclass(frozen=True, slots=True)
class BarOnSale:
    """A bar that can be bought, as many as are wanted.

    Args:
        length: mm.
        price: of one, in the maker's own money; None when it is not known.
    """

    length: float
    price: float | None = None

    def __post_init__(self) -> None:
        if not (math.isfinite(self.length) and self.length > 0.0):
            raise ValueError(f"a bar on sale is longer than 0 mm, not {self.length:g}")
        if self.price is not None and not (math.isfinite(self.price) and self.price >= 0.0):
            raise ValueError(f"the price of a bar cannot be {self.price:g}")


@dataclass(frozen=True, slots=True)
class Offcut:
    """A bar that is in the workshop already and costs nothing.

    Args:
        length: mm.
        count: how many there are of it.
    """

    length: float
    count: int = 1

    def __post_init__(self) -> None:
        if not (math.isfinite(self.length) and self.length > 0.0):
            raise ValueError(f"an offcut is longer than 0 mm, not {self.length:g}")
        if self.count < 1:
            raise ValueError(f"an offcut is there at least once, not {self.count} times")


@dataclass(frozen=True, slots=True)
class Saw:
    """What the saw takes.

    Args:
        kerf: width of a cut, mm.
        ends: cut off every bar to begin with, both ends together, mm: dented, painted or out of square.
    """

    kerf: float = 0.0
    ends: float = 0.0

    def __post_init__(self) -> None:
        for what, size in (("kerf", self.kerf), ("ends", self.ends)):
            if not (math.isfinite(size) and size >= 0.0):
                raise ValueError(f"the {what} of a saw cannot be {size:g} mm")


@dataclass(frozen=True, slots=True)
class BarCut:
    """Bars that are cut alike.

    Args:
        length: of one bar, mm.
        price: of one; 0 for an offcut, None when it is not known.
        offcut: it is in the workshop already.
        cuts: what is cut from one, in the order of the saw: names and lengths, mm.
        times: how many are cut so.
        saw: what the saw takes.
    """

    length: float
    price: float | None
    offcut: bool
    cuts: tuple[tuple[str, float], ...]
    times: int
    saw: Saw

    @property
    def used(self) -> float:
        """Length of the pieces cut from one, mm."""
        return math.fsum(length for _, length in self.cuts)

    @property
    def spans(self) -> tuple[tuple[str, float, float], ...]:
        """Every piece of one: its name, where it begins and where it ends from the end of the bar as bought, mm."""
        at, found = self.saw.ends / 2.0, []
        for name, length in self.cuts:
            found.append((name, at, at + length))
            at += length + self.saw.kerf
        return tuple(found)

    @property
    def rest(self) -> float:
        """What is left of one in one length, mm: never below 0, where the last cut takes the rest."""
        left = self.length - self.saw.ends - self.used - self.saw.kerf * len(self.cuts)
        return max(0.0, left)


@dataclass(frozen=True, slots=True)
class CuttingPlan:
    """All bars with their cuts.

    Args:
        bars: cut alike and gathered; offcuts first, then what is bought, the longest first.
        cost: of what is bought; length bought, mm, where no price is known.
        bound: no plan costs less than this.
        by_price: whether ``cost`` is money.
        rest_proven: whether no plan of the same cost leaves a longer single length.
        too_long: lengths that no bar is long enough for; they are in no bar.
    """

    bars: tuple[BarCut, ...]
    cost: float
    bound: float
    by_price: bool
    rest_proven: bool
    too_long: tuple[Length, ...] = ()

    @property
    def proven(self) -> bool:
        """Whether no plan costs less."""
        return self.bound >= self.cost - 1e-6

    @property
    def gap(self) -> float:
        """How much less another plan could cost at most, as a share of the cost; 0 when this is proven the best."""
        return 0.0 if self.proven or not self.cost else (self.cost - self.bound) / self.cost

    @property
    def bought(self) -> tuple[BarCut, ...]:
        """What is bought."""
        return tuple(bar for bar in self.bars if not bar.offcut)

    @property
    def longest_rest(self) -> float:
        """The longest single length that is left of a bar that is cut, mm."""
        return max((bar.rest for bar in self.bars), default=0.0)


def usable(length: float, bars: Sequence[BarOnSale | Offcut], saw: Saw) -> bool:
    """Tell whether any bar is long enough for a length."""
    return any(length <= bar.length - saw.ends + 1e-6 for bar in bars)
