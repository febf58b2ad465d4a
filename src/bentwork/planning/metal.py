"""Will the bar take it, and the tool, and the person at the lever? Once for each bar on each bender, as findings."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import fields

from bentwork.bending.known import Known
from bentwork.findings import Finding
from bentwork.forming.cracking import cracking_findings
from bentwork.forming.edges import Lug, lug_findings
from bentwork.forming.effort import lever_findings, overload_findings
from bentwork.forming.flat import k_factor
from bentwork.forming.flattening import flattening_findings
from bentwork.forming.forces import LeverForces
from bentwork.forming.hardening import law_of
from bentwork.forming.limits import metal_findings
from bentwork.forming.moment import Bar
from bentwork.forming.pressing import VBlock
from bentwork.piece.bend import Bend
from bentwork.planning.flat_bar import takes_less
from bentwork.planning.groove import groove_findings
from bentwork.stock.bar import Stock
from bentwork.stock.material import Material
from bentwork.stock.section import Flat, Section, Way
from bentwork.tooling.fittings import Part

__all__ = ["bare_findings", "tool_findings"]

_SAME_RADIUS = 0.05  # what a V-block makes may differ from what is drawn by so much of it before it is worth a word
_LEAST_SHORTENING = 0.2  # mm in the whole piece: less does not show on a tape


def bare_findings(bends: Sequence[Bend], stock: Stock, way: Way, tempers: Sequence[Material]) -> tuple[Finding, ...]:
    """Return what the metal says to bends that no bender is named for, at their drawn radii."""
    found: list[Finding] = []
    half = stock.section.depth(way) / 2.0
    for radius in sorted({bend.radius for bend in bends}):
        if radius > half:
            found += cracking_findings(stock.section, way, stock.material, radius, softer=tempers)
            found += flattening_findings(stock.section, way, radius)
        else:
            found.append(_too_deep(radius, half))
    return tuple(found)


def tool_findings(
    what: Known, bends: Sequence[Bend], tempers: Sequence[Material], *, developed: bool = False
) -> tuple[Finding, ...]:
    """Return what metal, tool and person have to say to the bends of a piece.

    Args:
        what: is known of the bar on the bender.
        bends: of the piece.
        tempers: the same metal in other tempers.
        developed: the marks allow for the neutral line of flat bar already.
    """
    set_up = what.set_up
    if not bends:
        return ()
    if what.on_die is None:
        return (_too_deep(set_up.bender.radius, set_up.section.depth(set_up.way) / 2.0),)
    return (
        *metal_findings(what.on_die, set_up.section, set_up.material, set_up.way, softer=tempers),
        *groove_findings(set_up),
        *_lever(what, bends),
        *_overload(what),
        *_pressing(what, bends),
        *(() if developed else _allowance(what, bends)),
    )


def _too_deep(radius: float, half: float) -> Finding:
    return Finding(
        "stop",
        "radius-inside-bar",
        "The bar does not go round so small a radius.",
        "The radius to its middle is {radius}, and from its middle to its inside there are {half} already.",
        "Use a larger die, or bend it the other way if the section is flatter that way.",
        lengths={"radius": radius, "half": half},
    )


def _lever(what: Known, bends: Sequence[Bend]) -> Iterator[Finding]:
    bender = what.set_up.bender
    every = [loads.lever for bend in bends if (loads := what.loads(bend.angle)) and loads.lever]
    if not every or bender.arm is None:
        return
    worst = max(every, key=lambda forces: forces.hand)
    yield from lever_findings(worst, bender.arm.length)
    for part in bender.parts:
        force = _through(part, every)
        if force is not None:
            lug = Lug(
                part.name,
                part.width,
                part.thickness,
                part.hole,
                part.edge,
                part.strength,
                part.proof_stress,
                part.side,
            )
            yield from lug_findings(lug, force)


def _through(part: Part, every: Sequence[LeverForces]) -> float | None:
    """Return the greatest force through a part, N; None where hook or follower are not measured."""
    force = max(float(getattr(forces, part.carries)) for forces in every)
    return force if math.isfinite(force) else None


def _overload(what: Known) -> Iterator[Finding]:
    from_sale, set_up = what.set_up.bender.rated, what.set_up
    if from_sale is None or set_up.bender.radius <= from_sale.section.depth() / 2.0:
        return
    bar = Bar(set_up.section, law_of(set_up.material), set_up.way)
    rated = Bar(from_sale.section, law_of(from_sale.material))
    # Both bars are likely to be stronger than their standards promise, and by about as much.
    sizes = {f"rated_{name}": float(size) for name, size in _sizes(from_sale.section) if size}
    named = f"{' × '.join(f'{{{name}}}' for name in sizes)} {from_sale.section.kind.replace('-', ' ')} of "
    yield from overload_findings(bar, rated, set_up.bender.radius, named + from_sale.material.name, sizes=sizes)


def _sizes(section: Section) -> Iterator[tuple[str, float]]:
    for size in fields(section):
        yield size.name, float(getattr(section, size.name))


def _pressing(what: Known, bends: Sequence[Bend]) -> Iterator[Finding]:
    bender, section = what.set_up.bender, what.set_up.section
    for number, bend in enumerate(bends, 1):
        loads = what.loads(bend.angle)
        if loads is None or loads.too is None:
            continue
        apart = bender.rollers.span if bender.rollers else bender.block.opening if bender.block else 0.0
        tools = "rollers" if bender.rollers else "shoulders of the V-block"
        yield Finding(
            "stop",
            "rollers-do-not-suit",
            f"Bend {number} cannot be made between these {tools}.",
            f"They stand {{apart}} apart, too {loads.too} for {bend.angle:g}° on a radius of {{radius}}.",
            "Set them further apart." if loads.too == "close" else "Set them closer together, or use a larger former.",
            bend=number,
            lengths={"apart": apart, "radius": bender.radius},
        )
    if bender.block is not None and isinstance(section, Flat):
        made = VBlock(bender.block.opening, bender.block.punch_radius).inside_radius + section.height / 2.0
        if abs(made - bender.radius) > _SAME_RADIUS * bender.radius:
            yield Finding(
                "watch",
                "block-makes-another-radius",
                f"{bender.name} makes another radius than it says.",
                "A V of {opening} and a punch of {punch} leave {made} to the middle of this bar: pressed freely, flat "
                "bar takes an inside radius of about 0.16 of the opening, or the punch's where that is larger. The job "
                "says {says}.",
                "Write the radius that a test bend shows, or use another opening or punch.",
                lengths={
                    "opening": bender.block.opening,
                    "punch": bender.block.punch_radius,
                    "made": made,
                    "says": bender.radius,
                },
            )


def _allowance(what: Known, bends: Sequence[Bend]) -> Iterator[Finding]:
    """Say how much less bar tight bends of flat bar take than their middle is long."""
    set_up = what.set_up
    if not isinstance(set_up.section, Flat) or set_up.way != "easy" or (what.shift(90.0) is not None):
        return
    k = k_factor(set_up.material)
    short = sum(takes_less(bends, set_up.section, set_up.material))
    if short < _LEAST_SHORTENING:
        return
    yield Finding(
        "note",
        "flat-takes-less",
        "Tight bends of flat bar take a little less bar than is drawn.",
        f"Their neutral line lies {k:.2f} of the thickness from the inside (handbook tables), not in the middle: "
        "the whole piece comes out {short} longer than drawn.",
        "Cut it that much shorter, or measure the legs of a test bend: marks are then moved by what you measured.",
        lengths={"short": short},
    )
