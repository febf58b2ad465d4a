"""Will this bar go round this die? Everything the metal has to say about one bend, as findings."""

from __future__ import annotations

from collections.abc import Iterable

from bentwork.findings import Finding
from bentwork.forming.cracking import cracking_findings
from bentwork.forming.flattening import flattening_findings
from bentwork.forming.prediction import Prediction, SpringsStraight
from bentwork.stock.material import Material
from bentwork.stock.section import Section, Way

__all__ = ["metal_findings"]


def metal_findings(
    prediction: Prediction | SpringsStraight,
    section: Section,
    material: Material,
    way: Way = "easy",
    bend: int | None = None,
    softer: Iterable[Material] = (),
) -> tuple[Finding, ...]:
    """Return what the metal has to say about a bend: springing straight, cracking, flattening, thinning.

    Args:
        prediction: of the bend.
        section: of the bar.
        material: of the bar.
        way: which way it is bent.
        bend: number of the bend.
        softer: the same metal in other tempers.
    """
    if isinstance(prediction, SpringsStraight):
        return (
            Finding(
                "stop",
                "bar-springs-straight",
                f"{'The bar' if bend is None else f'Bend {bend}'} springs straight when it is let go.",
                "On a centreline radius of {radius} nothing of it yields; it begins to below {yields}.",
                "Use a smaller die, much below {yields}, or a softer or thicker bar.",
                bend=bend,
                lengths={"radius": prediction.radius, "yields": prediction.yields_at},
            ),
        )
    radius = prediction.bend.radius
    return (
        *cracking_findings(section, way, material, radius, bend, softer),
        *flattening_findings(section, way, radius, bend),
    )
