"""What would give an order where there is none: the least change of each kind, each planned again. Lengths in mm."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import partial
from itertools import combinations

from bentwork.planning.order import find_order, order_if_any
from bentwork.planning.order_changes import (
    halves,
    raised,
    turned_by_quarters,
    with_follower,
    with_hook,
    with_radius,
    with_trim,
)
from bentwork.planning.order_problem import Order, OrderProblem, Progress

__all__ = ["Remedy", "changed_by", "remedies_for"]

_RISERS = (10.0, 20.0, 30.0, 50.0, 80.0, 120.0, 200.0)
_QUARTERS = ((1, 90.0), (-1, -90.0), (2, 180.0))
_MORE_ON_ENDS = (20.0, 50.0, 100.0, 200.0)
_SHARES = (0.75, 0.5)
_WIDER = (1.25, 1.5, 2.0)
_PAIRS_TOLD = 3


@dataclass(frozen=True, slots=True)
class Remedy:
    """One way to make an order possible, planned again.

    Args:
        kind: ``riser``, ``turned-bender``, ``smaller-follower``, ``roller``, ``shorter-hook``, ``longer-ends``,
            ``larger-radius``, ``split``; two of them joined by ``+``.
        value: how much, mm; degrees for ``turned-bender``; number of the straight, from 1, for ``split``; of two, the
            first one's.
        says: what to do; ``{value}`` and ``{other}`` stand for ``lengths``.
        lengths: what the text mentions, mm.
        orders: the plan that becomes possible; two for ``split``.
    """

    kind: str
    value: float
    says: str
    lengths: Mapping[str, float]
    orders: tuple[Order, ...]


@dataclass(frozen=True, slots=True)
class _Offer:
    kind: str
    value: float
    says: str
    change: Callable[[OrderProblem], OrderProblem | None]


def remedies_for(problem: OrderProblem, progress: Progress | None = None) -> tuple[Remedy, ...]:
    """Return the least change of each kind that gives a whole order; pairs of kinds where none does alone.

    Args:
        problem: one without an order.
        progress: see ``order_problem.Progress``; when it says stop, what is found so far is returned.
    """
    kinds = _kinds(problem)
    doubtful = tuple(dict.fromkeys(one.bend for one in find_order(problem).blocked))
    pairs = list(combinations(kinds, 2))
    most, done = sum(map(len, kinds)) + 1, 0
    found: list[Remedy] = []
    for offers in kinds:
        for offer in offers:
            done += 1
            if progress is not None and progress(done, most):
                return tuple(found)
            if (remedy := _tried(problem, (offer,), doubtful)) is not None:
                found.append(remedy)
                break
    if (split := _split(problem)) is not None:
        found.append(split)
    if found:
        return tuple(found)
    for number, (first, second) in enumerate(pairs):
        if progress is not None and progress(number + 1, len(pairs)):
            break
        if (remedy := _least_pair(problem, first, second, doubtful)) is not None:
            found.append(remedy)
            if len(found) == _PAIRS_TOLD:
                break
    return tuple(found)


def changed_by(problem: OrderProblem, remedy: Remedy) -> OrderProblem | None:
    """Return the problem as a remedy changes it; None for ``split``, which makes two of it.

    Args:
        problem: the one that the remedy was found for.
        remedy: one of ``remedies_for``.
    """
    known = {(offer.kind, offer.value): offer for offers in _kinds(problem) for offer in offers}
    changed: OrderProblem | None = problem
    for kind, name in zip(remedy.kind.split("+"), ("value", "other"), strict=False):
        offer = known.get((kind, remedy.lengths.get(name, remedy.value)))
        if changed is None or offer is None:
            return None
        changed = offer.change(changed)
    return changed


def _least_pair(
    problem: OrderProblem, first: list[_Offer], second: list[_Offer], doubtful: tuple[int, ...]
) -> Remedy | None:
    """The smallest steps of two kinds that do together; none where the largest of both don't."""
    if _tried(problem, (first[-1], second[-1]), doubtful) is None:
        return None
    for total in range(len(first) + len(second) - 1):
        for i in range(max(0, total - len(second) + 1), min(total + 1, len(first))):
            if (remedy := _tried(problem, (first[i], second[total - i]), doubtful)) is not None:
                return remedy
    return None


def _tried(problem: OrderProblem, offers: tuple[_Offer, ...], doubtful: tuple[int, ...]) -> Remedy | None:
    """Plan it again with these changes; the bends that were in doubt before are looked at first."""
    changed: OrderProblem | None = problem
    for offer in offers:
        changed = offer.change(changed) if changed is not None else None
    order = _order(changed, doubtful) if changed is not None else None
    if order is None:
        return None
    names = ("value", "other")
    says = " ".join(offer.says.replace("{value}", f"{{{name}}}") for offer, name in zip(offers, names, strict=False))
    lengths = {name: offer.value for offer, name in zip(offers, names, strict=False)}
    return Remedy("+".join(offer.kind for offer in offers), offers[0].value, says, lengths, (order,))


def _order(problem: OrderProblem, doubtful: tuple[int, ...] = ()) -> Order | None:
    try:
        return order_if_any(problem, doubtful)
    except ValueError:  # the change makes a bender that cannot be
        return None


def _split(problem: OrderProblem) -> Remedy | None:
    """Cut it in two at the longest straight that will do, and weld it."""
    straights = problem.table.straights
    for number in sorted(range(1, len(straights) - 1), key=lambda number: (-straights[number], number)):
        parts = halves(problem, number)
        orders = [_order(part) for part in parts] if parts else []
        whole = tuple(order for order in orders if order is not None)
        if len(whole) == 2:
            says = f"Make it of two pieces, cut in the middle of straight {number + 1} ({{length}}), and weld them."
            return Remedy("split", number + 1.0, says, {"length": straights[number]}, whole)
    return None


def _kinds(problem: OrderProblem) -> list[list[_Offer]]:
    """Every kind of change that this bender and piece allow, the least first."""
    follower, hook = problem.bender.follower, problem.bender.hook
    kinds: list[list[_Offer]] = []
    if problem.mountings:
        says = "Put a riser of {value} under the die."
        kinds.append([_Offer("riser", height, says, partial(raised, height=height)) for height in _RISERS])
        kinds.append(
            [
                _Offer(
                    "turned-bender",
                    angle,
                    f"Turn the bender on its mounting by {abs(angle):g}°"
                    + ("." if quarters == 2 else f" to the {'left' if quarters > 0 else 'right'}."),
                    partial(turned_by_quarters, quarters=quarters),
                )
                for quarters, angle in _QUARTERS
            ]
        )
    if follower and follower.radius:
        says = "Use a follower of radius {value}."
        smaller = [replace(follower, radius=share * follower.radius) for share in _SHARES]
        kinds.append(
            [_Offer("smaller-follower", f.radius or 0.0, says, partial(with_follower, follower=f)) for f in smaller]
        )
    if follower and follower.width:
        roller = replace(follower, kind="roller", radius=follower.width / 2.0, length=None, width=None)
        says = "Use a roller of radius {value} instead of the shoe."
        kinds.append([_Offer("roller", follower.width / 2.0, says, partial(with_follower, follower=roller))])
    if hook:
        says = "Shorten the hook to {value}."
        shorter = [replace(hook, length=share * hook.length) for share in _SHARES]
        kinds.append([_Offer("shorter-hook", one.length, says, partial(with_hook, hook=one)) for one in shorter])
    if not problem.table.closed:
        says = "Leave {value} more on each end, and cut it off at the last."
        kinds.append([_Offer("longer-ends", more, says, partial(with_trim, more=more)) for more in _MORE_ON_ENDS])
    if not problem.made:
        says = "Bend it to a centreline radius of {value}; every mark moves."
        radii = [times * problem.bender.radius for times in _WIDER]
        kinds.append([_Offer("larger-radius", radius, says, partial(with_radius, radius=radius)) for radius in radii])
    return kinds
