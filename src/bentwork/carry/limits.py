"""Everything that may give: metal, welds, bolts; how much of each is used, and the payload at which it gives."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.analysis import Analysed
from bentwork.carry.bearable import payload_at_limit
from bentwork.carry.joint_parts import Seam
from bentwork.carry.joint_use import Used, bolted, tabbed, welded
from bentwork.carry.strength import WELDING, Welding, beside_welds, welds_of, zones_of
from bentwork.carry.stress import fibres_of, worst_fibre
from bentwork.space import Vec

__all__ = ["SAFETY", "Limit", "Limits", "Rules", "limits_of", "metal_use"]

Floats = NDArray[np.float64]
What = Literal["metal", "weld", "bolt", "buckling"]

SAFETY = 1.5
"""Factor on all loads: gamma_Q of EN 1990 for loads that vary (from memory)."""


@dataclass(frozen=True, slots=True)
class Rules:
    """How it is judged.

    Args:
        safety: factor on all loads.
        welding: how it is welded.
        filler: of aluminium welds: ``5356`` or ``4043``.
    """

    safety: float = SAFETY
    welding: Welding = WELDING
    filler: str = "5356"

    def __post_init__(self) -> None:
        if not 1.0 <= self.safety < np.inf:
            raise ValueError(f"a safety factor is 1 or more, not {self.safety:g}")


@dataclass(frozen=True, slots=True)
class Limit:
    """One thing that may give.

    Args:
        what: metal, weld, bolt or buckling.
        where: in words.
        place: mm.
        case: name of the load case that uses it most.
        use: share of what it may take, safety included; 1 is the limit.
        payload: times the payload at which it reaches its limit in the case that gets there first; infinite when it
            never does, 0 when it is over the limit without any.
        giving: name of that case.
        stress: MPa in the case that uses it most, without safety; 0 where it is no stress.
        bar: number of the bar, -1 for none.
        joint: number of the joint, -1 for none.
        throat: of a weld, mm; times ``use`` it is the throat that is needed.
    """

    what: What
    where: str
    place: Vec
    case: str
    use: float
    payload: float
    giving: str
    stress: float = 0.0
    bar: int = -1
    joint: int = -1
    throat: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Limits:
    """Everything that may give, the first to give first.

    Args:
        found: limits in the order in which a growing payload reaches them.
        by_bar: (B, L) times the payload that the metal of every bar, its welds and its bolts bear in every case.
        stress: (S, L) von Mises stress at every place in every case, MPa, without safety.
        use: (S, L) share of what the metal may take, safety included.
    """

    found: tuple[Limit, ...]
    by_bar: Floats
    stress: Floats
    use: Floats

    @property
    def distinct(self) -> tuple[Limit, ...]:
        """Those that read differently, the first of each: a frame has two or four of most places."""
        kept: dict[str, Limit] = {}
        for one in self.found:
            kept.setdefault(one.where, one)
        return tuple(kept.values())

    @property
    def payload(self) -> float:
        """Times the payload that the frame carries with the required safety."""
        return self.found[0].payload if self.found else np.inf


def limits_of(analysed: Analysed, rules: Rules | None = None, between: Callable[[], object] = lambda: None) -> Limits:
    """Judge metal, welds and bolts under every case; ``between`` is called before each joint, and may raise."""
    rules = rules or Rules()
    metal, by_bar, stress, use = _metal(analysed, rules)
    joints: tuple[Used, ...] = (
        *welded(analysed, rules.filler),
        *tabbed(analysed, rules.filler),
        *bolted(analysed),
    )
    found = list(metal)
    for one in joints:
        between()
        limit, bearable = _joint(analysed, one, rules.safety)
        found.append(limit)
        held = analysed.built.frame.attached[one.seat.spot].bar
        for bar in analysed.structure.joints[limit.joint].touch.bars if limit.joint >= 0 else (held,):
            by_bar[bar] = np.minimum(by_bar[bar], bearable)
    return Limits(tuple(sorted(found, key=lambda limit: (limit.payload, -limit.use))), by_bar, stress, use)


def metal_use(analysed: Analysed, payload: float, rules: Rules) -> float:
    """Return the largest share that is used of what the metal may take, safety included, at so many times the payload.

    Far quicker than ``limits_of``, for frames of which most are not worth more.
    """
    structure, inside = analysed.structure, analysed.inside
    elements = analysed.built.frame.elements
    allowed = beside_welds(structure.bars, elements, inside, welds_of(structure, rules.welding))[1]
    stress = worst_fibre(analysed.together(inside.forces, payload), fibres_of(structure.bars, elements, inside))
    return float((rules.safety * stress / allowed[:, None]).max())


def _metal(analysed: Analysed, rules: Rules) -> tuple[list[Limit], Floats, Floats, Floats]:
    structure, inside = analysed.structure, analysed.inside
    elements = analysed.built.frame.elements
    fibres = fibres_of(structure.bars, elements, inside)
    zones, zone_of, allowed = zones_of(structure, elements, inside, welds_of(structure, rules.welding))
    steady, carried = analysed.parts(inside.forces)
    stress = worst_fibre(steady + carried, fibres)
    use = rules.safety * stress / allowed[:, None]
    order = np.argsort(zone_of, kind="stable")
    starts = np.searchsorted(zone_of[order], np.arange(len(zones)))

    def most_used(factor: Floats) -> Floats:
        """Use in every zone and case at a payload of its own, (Z, L)."""
        forces = steady + factor[zone_of][:, None, :] * carried
        share = rules.safety * worst_fibre(forces, fibres) / allowed[:, None]
        found: Floats = np.maximum.reduceat(share[order], starts, axis=0)
        return found

    bearable = payload_at_limit(most_used, (len(zones), len(analysed.cases)))
    found = []
    for number, zone in enumerate(zones):
        mine = order[starts[number] : starts[number + 1] if number + 1 < len(zones) else None]
        spot, case = np.unravel_index(int(np.argmax(use[mine])), (len(mine), len(analysed.cases)))
        at = mine[spot]
        giving = int(np.argmin(bearable[number]))
        found.append(
            Limit(
                "metal",
                zone.words(structure),
                _vec(inside.place[at]),
                analysed.cases[case].name,
                float(use[at, case]),
                float(bearable[number, giving]),
                analysed.cases[giving].name,
                float(stress[at, case]),
                zone.bar,
                zone.joint if zone.joint is not None and zone.joint < len(structure.joints) else -1,
            )
        )
    by_bar = np.full((len(structure.bars), len(analysed.cases)), np.inf)
    np.minimum.at(by_bar, [zone.bar for zone in zones], bearable)
    return found, by_bar, stress, use


def _joint(analysed: Analysed, one: Used, safety: float) -> tuple[Limit, Floats]:
    """A weld or bolt, and times the payload that it bears in every case, (L,)."""
    many = len(analysed.cases)
    steady, carried = one.forces.columns(many)
    loaded = steady.with_payload(carried, np.ones(many))
    part, seat = one.part, one.seat
    now = part.use(loaded, safety)
    bearable = payload_at_limit(lambda factor: part.use(steady.with_payload(carried, factor), safety), (many,), 1e-6)
    case, giving = int(np.argmax(now)), int(np.argmin(bearable))
    names = [each.name for each in analysed.cases]
    stress = float(part.stress(loaded)[case])
    limit = Limit(
        seat.what,
        seat.where,
        seat.place,
        names[case],
        float(now[case]),
        float(bearable[giving]),
        names[giving],
        stress,
        joint=seat.joint,
        throat=float(part.throat) if isinstance(part, Seam) else 0.0,
    )
    return limit, bearable


def _vec(a: Sequence[float]) -> Vec:
    return (float(a[0]), float(a[1]), float(a[2]))
