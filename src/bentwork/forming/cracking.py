"""Will it crack? Stretch of the outermost fibre against the elongation, with the handbook's smallest radius beside it.

Neither is a law. The elongation is an average over a test piece with a neck in it, and a bend is held together by its
less stretched inside, so that metal goes on bending beyond it: 6082-T6 with 8 % is commonly bent to 12.5 % (four
diameters) and begins to crack at 17 % (three). Handbook radii are for sheet, differ by thickness, and one source asks
for twice what another allows. Both are told; what decides is the worse of them. Lengths in mm, strains as fractions.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from bentwork.findings import Finding, Level
from bentwork.forming.prediction import outer_strain
from bentwork.space import Vec
from bentwork.stock.material import Material
from bentwork.stock.section import Round, Section, SquareTube, Tube, Way

__all__ = [
    "CRACKS_ABOVE",
    "RadiusLimits",
    "cracking_findings",
    "radius_for_strain",
    "radius_from_reduction",
    "radius_limits",
]

CRACKS_ABOVE = 2.5
"""Stretch over elongation from which a bend is taken to crack; between 1 and this it may. Common practice, no source:
6082-T6 at 3 diameters, which is risky, is at 2.1."""

_BELOW_EVERY_HANDBOOK = 1.5  # the same, where the radius is also below what the boldest handbook allows


@dataclass(frozen=True, slots=True)
class RadiusLimits:
    """The smallest centreline radii that handbooks give for this bar, mm.

    Args:
        bold: the boldest of them.
        careful: the most careful of them.
        source: where they come from.
    """

    bold: float
    careful: float
    source: str


def radius_for_strain(depth: float, strain: float) -> float:
    """Return the centreline radius at which bar of this depth is stretched so far, mm: depth/(2 strain)."""
    return depth / (2.0 * strain)


def radius_from_reduction(reduction: float) -> float:
    """Return the smallest inside radius over thickness for a reduction of area in the tensile test, per cent.

    50/r - 1, never below 0 (Kalpakjian and Schmid, after Datsko and Yang; from memory).
    """
    return max(0.0, 50.0 / reduction - 1.0)


def radius_limits(section: Section, way: Way, material: Material) -> RadiusLimits | None:
    """Return the handbook's smallest radii for a bar; None where it has none that apply.

    Radii for round bar, in diameters, come before radii for sheet, in thicknesses; of several the one that is surest
    to apply, which is the first. Those for sheet say nothing about tube.
    """
    depth = section.depth(way)
    is_round, hollow = isinstance(section, Round | Tube), isinstance(section, Tube | SquareTube)
    for of in ("diameter", "thickness"):
        if (of == "diameter" and not is_round) or (of == "thickness" and hollow):
            continue
        for radii in material.minimum_radii:
            if radii.of == of:
                inside = depth / 2.0 if radii.measured_to == "inside" else 0.0
                return RadiusLimits(radii.low * depth + inside, radii.high * depth + inside, radii.source)
    return None


def cracking_findings(
    section: Section,
    way: Way,
    material: Material,
    radius: float,
    bend: int | None = None,
    softer: Iterable[Material] = (),
) -> tuple[Finding, ...]:
    """Return what there is to say about cracking: nothing, a note, a watch or a stop.

    Args:
        section: of the bar.
        way: which way it is bent.
        material: of the bar.
        radius: centreline radius on the die, mm.
        bend: number of the bend.
        softer: the same metal in other tempers, to name what could be bent instead and what that costs in strength.
    """
    strain, elongation = outer_strain(section, way, radius), material.elongation.value / 100.0
    used, limits = strain / elongation, radius_limits(section, way, material)
    level = _level(radius, used, limits)
    if level is None:
        return ()
    enough = radius_for_strain(section.depth(way), elongation)
    lengths: dict[str, float | Vec] = {"radius": radius, "enough": enough}
    why = (
        f"Its outside stretches {100 * strain:.0f} % on a centreline radius of {{radius}}; {material.name} stretches "
        f"{material.elongation.value:g} % in the tensile test, and bends hold to somewhat more. "
    )
    advice = ["Use a larger radius: {enough} keeps the stretch within the elongation"]
    if limits is None:
        why += "No handbook radius is known for it."
    else:
        lengths |= {"bold": limits.bold, "careful": limits.careful}
        why += "Handbook radii, to the centreline, "
        why += "run from {bold} to {careful}" if limits.bold < limits.careful else "ask for {careful}"
        why += "; for one and the same bar sources differ by up to a factor of two."
        if limits.careful > enough:
            advice = ["Use a larger radius: {careful} satisfies the handbooks"]
        elif radius < limits.careful:
            advice[0] += ", {careful} satisfies the handbooks"
    advice += _tempers(material, softer)
    says = {"stop": "is likely to crack", "watch": "may crack", "note": "is stretched past its elongation"}
    return (
        Finding(
            level,
            "bar-cracks",
            f"{'The bar' if bend is None else f'Bend {bend}'} {says[level]}.",
            why,
            ". ".join([*advice, "Bend a piece of scrap first, and look at its outside with a lens."]),
            bend=bend,
            lengths=lengths,
        ),
    )


def _level(radius: float, used: float, limits: RadiusLimits | None) -> Level | None:
    below_all = limits is not None and radius < limits.bold * (1.0 - 1e-9)
    if used > (_BELOW_EVERY_HANDBOOK if below_all else CRACKS_ABOVE):
        return "stop"
    if limits is not None and radius < limits.careful * (1.0 - 1e-9):
        return "watch"
    if used > 1.0:
        return "watch" if limits is None else "note"
    return None


def _tempers(material: Material, softer: Iterable[Material]) -> list[str]:
    """Name softer tempers with what they cost; without any, what annealing costs."""
    proof = material.proof_stress.value
    found = [
        f"{other.name} stretches {other.elongation.value:g} % and yields at {other.proof_stress.value:g} MPa, "
        f"which is {100 * other.proof_stress.value / proof:.0f} % of what this one does"
        for other in softer
        if other.elongation.value > material.elongation.value and other.proof_stress.value < proof
    ]
    if found:
        return found
    if material.group == "aluminium" and material.temper.startswith("T"):
        return ["Annealed it bends, but most of its strength is gone, and only a heat treatment brings it back"]
    return ["Annealing makes it bend further, and costs the strength that cold work or hardening gave it"]
