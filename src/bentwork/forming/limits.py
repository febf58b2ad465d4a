"""Will this bar go round this die? Everything the metal has to say about one bend, as findings."""

from __future__ import annotations

from collections.abc import Iterable

from bentwork.findings import Finding
from bentwork.forming.cracking import cracking_findings
from bentwork.forming.die_bend import DieBend
from bentwork.forming.flattening import flattening_findings
from bentwork.forming.prediction import SpringsStraight
from bentwork.stock.material import Material
from bentwork.stock.section import Section, Way

__all__ = ["metal_findings"]


def metal_findings(
    on_die: DieBend | SpringsStraight,
    section: Section,
    material: Material,
    way: Way = "easy",
    bend: int | None = None,
    softer: Iterable[Material] = (),
) -> tuple[Finding, ...]:
    """Return what the metal has to say about a bend: springing straight, cracking, flattening, thinning.

    Args:
        on_die: the bar on the die.
        section: of the bar.
        material: of the bar.
        way: which way it is bent.
        bend: number of the bend.
        softer: the same metal in other tempers.
    """
    if isinstance(on_die, SpringsStraight):
        return (
            Finding(
                "stop",
                "bar-springs-straight",
                f"{'The bar' if bend is None else f'Bend {bend}'} springs straight when it is let go.",
                "On a centreline radius of {radius} nothing of it yields; it begins to below {yields}.",
                "Use a smaller die, much below {yields}, or a softer or thicker bar.",
                bend=bend,
                lengths={"radius": on_die.radius, "yields": on_die.yields_at},
            ),
        )
    radius = on_die.radius
    return (
        *cracking_findings(section, way, material, radius, bend, softer),
        *flattening_findings(section, way, radius, bend),
    )
