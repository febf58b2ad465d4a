"""Whether to buy a spare bar: how many bars good pieces take, when not every one comes out good."""

from __future__ import annotations

import math
from dataclasses import dataclass

__all__ = ["Spare", "spare_bars"]

_MOST = 12


@dataclass(frozen=True, slots=True)
class Spare:
    """How many bars to buy for some good pieces.

    Args:
        wanted: good pieces.
        expected: lengths of bar that they take on average.
        buy: spare lengths to buy now.
        enough: chance that they are enough.
        cost: what spare lengths and the errands for more are expected to cost together, in the currency of the price.
        cost_without: the same without any spare.
    """

    wanted: int
    expected: float
    buy: int
    enough: float
    cost: float
    cost_without: float


def spare_bars(good: float, wanted: int, price: float, *, errand: float = 20.0, kept: float = 0.5) -> Spare:
    """Return how many spare lengths are worth buying.

    The number of failures before so many successes has Pascal's (negative binomial) distribution. A length that is left
    over keeps part of its worth; running short costs an errand for each length.

    Args:
        good: chance that a piece comes out good.
        wanted: good pieces.
        price: of one length.
        errand: what it costs to fetch one more length: way, time, postage; common practice, no source.
        kept: share of its price that a left-over length is still worth.

    Raises:
        ValueError: a chance is none, or nothing is wanted.
    """
    if not 0.0 < good <= 1.0:
        raise ValueError(f"a chance lies above 0 and reaches to 1, not {good}")
    if wanted < 1:
        raise ValueError(f"at least one piece is wanted, not {wanted}")
    chances = [math.comb(k + wanted - 1, k) * good**wanted * (1.0 - good) ** k for k in range(400)]
    rest = max(0.0, 1.0 - math.fsum(chances))

    def costs(spares: int) -> float:
        total = rest * errand
        for failures, chance in enumerate(chances):
            over, short = max(0, spares - failures), max(0, failures - spares)
            total += chance * (over * price * (1.0 - kept) + short * errand)
        return total

    best = min(range(_MOST + 1), key=lambda spares: (round(costs(spares), 9), spares))
    return Spare(wanted, wanted / good, best, math.fsum(chances[: best + 1]), costs(best), costs(0))
