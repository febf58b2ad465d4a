"""What if it were made of something else: the bars of one stock in other sections, metals and radii."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from typing import Literal

from bentwork.amounts import Units
from bentwork.carry.analysis import Analysed, analyse
from bentwork.carry.limits import limits_of
from bentwork.carry.pressed import whole_limits
from bentwork.carry.structure import Structure
from bentwork.carry.sweep import Found, Variant, pareto, sweep
from bentwork.errors import Fault, InputError
from bentwork.findings import Finding
from bentwork.jobs.at_the_bender import at_the_bender, is_same
from bentwork.jobs.carried import Carried, frame_of, structure_loaded
from bentwork.jobs.job import PieceSpec
from bentwork.jobs.kept import Kept
from bentwork.jobs.usual_sizes import MATERIALS, usual_sections
from bentwork.jobs.work import PiecePlan, Result, line_of
from bentwork.piece.corners import Corners
from bentwork.stock.bar import Stock
from bentwork.stock.material import Material
from bentwork.stock.section import Section

__all__ = ["Try", "WhatIf", "stock_keys", "what_if"]


@dataclass(frozen=True, slots=True)
class Try:
    """One variant.

    Args:
        found: mass of the frame, payload that its metal carries (times that of the job), how far it moves, the bender.
        best: whether it carries the payload, and none that does beats it in mass, payload and moves alike; only in
            these is buckling looked at too.
        now: whether it is what the job has.
        about: what metal, tool and person say to bending it, the weightiest first.
    """

    found: Found
    best: bool
    now: bool
    about: tuple[Finding, ...]

    @property
    def bends(self) -> Literal["yes", "other die", "no", "unknown"]:
        """Whether the bender of the job bends it; ``unknown`` where nothing of it is bent, or no bender is named."""
        if self.found.bender.bends is None:
            return "unknown"
        if not self.found.bender.bends:
            return "no"
        return "other die" if any(one.code == "groove-does-not-fit" for one in self.about) else "yes"


@dataclass(frozen=True, slots=True, eq=False)
class WhatIf:
    """The bars of one stock made of something else.

    Args:
        stock: the stock that changes.
        pieces: made of it.
        mass: of the payload, kg; a variant carries this times its ``payload``.
        tries: every variant, the lightest that carries the payload first, then the rest by what they carry.
    """

    stock: Stock
    pieces: tuple[str, ...]
    mass: float
    tries: tuple[Try, ...]


_answers: Kept[WhatIf | None] = Kept(8)


def what_if(
    result: Result,
    about: Carried,
    library: Mapping[str, Material],
    stock: str | None = None,
    radii: Sequence[float] = (),
) -> WhatIf | None:
    """Try the bars of one stock in usual sections and metals; None where the frame cannot be reckoned.

    What metal is welded to what stays as it is: metals that could not be welded to bars of another stock are left out.

    Args:
        result: of the job.
        about: what its frame carries.
        library: materials by name.
        stock: name of the stock that changes; None for the one that weighs most.
        radii: centreline radii to try besides the one of the job, mm; corners that leave no room for one are left out.

    Raises:
        InputError: no piece is made of that stock.
    """
    if about.verdict.analysed is None:
        return None
    plans = [plan for plan in result.pieces if plan.line is not None]
    name = stock if stock is not None else _heaviest(about, plans)
    pieces = tuple(plan.spec.name for plan in plans if plan.spec.stock == name)
    if not pieces:
        used = ", ".join(dict.fromkeys(plan.spec.stock for plan in plans))
        raise InputError(result.job.name, [Fault("stock", name, f"a stock that pieces are made of: {used}")])
    own = result.job.stocks[name]
    frame, prices = about.structure, tuple(result.job.stocks.values())
    metals = _metals(frame, pieces, own.material, library, result.job.ruler.units)
    benders = tuple(plan.bender for plan in plans)
    asked = (result.job.ruler.units, about.load, own, pieces, metals, tuple(radii), benders, result.test_bends, prices)
    key = (frame.bars, frame.tabs, *asked)
    return _answers.of(key, lambda _: _tried(result, about, own, pieces, metals, radii))


def stock_keys(section: Section, material: Material) -> dict[str, str | float]:
    """Return the keys of a ``[stock.NAME]`` table for a bar: section, sizes in mm, material."""
    sizes = {one.name: float(getattr(section, one.name)) for one in fields(section)}
    return {"section": section.kind, **{name: size for name, size in sizes.items() if size}, "material": material.name}


def _heaviest(about: Carried, plans: Sequence[PiecePlan]) -> str:
    stock_of = {plan.spec.name: plan.spec.stock for plan in plans}
    mass: dict[str, float] = {}
    for bar in about.structure.bars:
        mass[stock_of[bar.of]] = mass.get(stock_of[bar.of], 0.0) + bar.mass
    return max(mass, key=lambda name: mass[name])


def _metals(
    structure: Structure, pieces: Sequence[str], own: Material, library: Mapping[str, Material], units: Units
) -> tuple[Material, ...]:
    """Return the metals to try: those that may be welded to what the pieces are welded to."""
    beside = set()
    for joint in structure.joints:
        bars = [structure.bars[number] for number in joint.touch.bars]
        inside = [bar.of in pieces for bar in bars]
        if joint.made == "welded" and any(inside) and not all(inside):
            beside.add(_welds_as(bars[inside.index(False)].material))
    tried = [own, *(library[name] for name in MATERIALS[units] if name in library and name != own.name)]
    return tuple(metal for metal in tried if metal is own or not beside or beside == {_welds_as(metal)})


def _welds_as(material: Material) -> str:
    return "steel" if material.group == "stainless" else material.group


def _tried(
    result: Result,
    about: Carried,
    own: Stock,
    pieces: tuple[str, ...],
    metals: Sequence[Material],
    radii: Sequence[float],
) -> WhatIf:
    plans = [plan for plan in result.pieces if plan.spec.name in pieces]
    frames = {radius: frame for radius in radii if (frame := _bent_to(result, about, pieces, radius)) is not None}
    sections = usual_sections(own.section, result.job.ruler.units)
    structures: list[Structure | Mapping[float, Structure]] = [about.structure, *([frames] if frames else [])]
    cases, rules = about.cases, about.load.rules
    found = [one for frame in structures for one in sweep(frame, pieces, sections, metals, cases, rules)]
    asked = at_the_bender(plans, own, [one.variant for one in found], result.test_bends, result.job.stocks.values())
    said = {one.variant: told for one, (_, told) in zip(found, asked, strict=True)}
    tries = [replace(one, bender=answer) for one, (answer, _) in zip(found, asked, strict=True)]
    best = _best(about, pieces, frames, tries)
    borne = about.structure.borne

    def worth(one: Found) -> tuple[bool, float]:
        enough = one.payload >= 1.0
        return not enough, one.mass if enough else -one.payload

    return WhatIf(
        own,
        pieces,
        borne.payload.mass if borne else 0.0,
        tuple(Try(one, id(one) in best, _is_now(one, own), said[one.variant]) for one in sorted(tries, key=worth)),
    )


def _best(
    about: Carried, pieces: Sequence[str], frames: Mapping[float, Structure], tries: list[Found]
) -> frozenset[int]:
    """Return by ``id`` the tries that no other beats; one that buckles first is put right in ``tries`` on the way."""
    looked_at: set[Variant] = set()
    while True:
        best = pareto([one for one in tries if one.payload >= 1.0])
        new = [one.variant for one in best if one.variant not in looked_at]
        if not new:
            return frozenset(map(id, best))
        looked_at.update(new)
        for number, one in enumerate(tries):
            if one.variant in new:
                most = _whole(about, pieces, frames, one.variant)
                tries[number] = one if one.payload <= most else replace(one, payload=most)


def _whole(about: Carried, pieces: Sequence[str], frames: Mapping[float, Structure], one: Variant) -> float:
    """Times the payload that the frame of a variant bears, buckling with it."""
    structure = about.structure if one.radius is None else frames[one.radius]
    bars = tuple(bar.made_of(one.section, one.material) if bar.of in pieces else bar for bar in structure.bars)
    solved = analyse(replace(structure, bars=bars), about.cases)
    if not isinstance(solved, Analysed):
        return math.inf
    rules = about.load.rules
    return whole_limits(solved, limits_of(solved, rules), rules).payload


def _is_now(one: Found, own: Stock) -> bool:
    variant = one.variant
    return variant.radius is None and is_same(variant, own)


def _bent_to(result: Result, about: Carried, pieces: Sequence[str], radius: float) -> Structure | None:
    """Return the frame with the corners of these pieces bent to another radius; None where it does not fit."""
    changed = []
    for plan in result.pieces:
        spec = plan.spec
        if spec.name not in pieces or not isinstance(spec.shape, Corners) or not spec.shape.radii:
            changed.append(plan)
            continue
        bent = replace(spec, shape=replace(spec.shape, radii=(radius,) * len(spec.shape.radii)))
        moved = reshaped(plan, bent)
        if moved is None:
            return None
        changed.append(moved)
    bars, _ = frame_of(replace(result, pieces=tuple(changed)))
    return structure_loaded(result.job, about.load, bars)


def reshaped(plan: PiecePlan, spec: PieceSpec) -> PiecePlan | None:
    """Return where a piece and its other hand lie in the frame once they are shaped so; None where it does not fit."""
    line, _ = line_of(spec)
    if line is None:
        return None
    opposite = plan.opposite
    if opposite is not None:
        mirror = spec.mirror_in
        image = line.mirrored(mirror.axis, mirror.at) if mirror else line.mirrored()
        opposite = replace(opposite, spec=spec, line=image)
    return replace(plan, spec=spec, line=line, opposite=opposite)
