"""What is done to a metal for its finish, step by step: clean, key, prime, coat; waits and what can hurt someone.

Times and grits are a paint datasheet's kind: common practice, no source; the tin's own sheet goes before them. Grade
Sa 2 1/2 is ISO 8501-1 (from memory); oven temperatures of powder are seen in public guides.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bentwork.stock.material import Group

__all__ = ["Care", "FinishStep", "SheetSystem", "steps_for", "suits"]

Care = Literal["dust", "solvent", "two-pack", "oven", "bath", "pickling"]
"""What a step wants care of."""

SheetSystem = Literal["bare", "paint", "powder", "anodised", "galvanised"]


@dataclass(frozen=True, slots=True)
class FinishStep:
    """A step of a finish.

    Args:
        words: what is done.
        wait: until the next; empty where none is wanted.
        care: what can hurt someone in it.
        coat: it is a coat: 1 the primer, 2 the paint over it; 0 otherwise.
    """

    words: str
    wait: str = ""
    care: tuple[Care, ...] = ()
    coat: int = 0


_WASH = FinishStep(
    "Degrease: wash with a hot detergent, rinse, then wipe with solvent and clean rags, turned often, until water runs "
    "off it as one film.",
    "dry, an hour in a warm place",
    ("solvent",),
)
_KEY_ALUMINIUM = FinishStep(
    "Key it: 180 to 240 grit or a nonwoven pad that never touched steel, until nothing shines; into every corner "
    "beside the welds. No wire brush, no steel wool: what stays in it rusts.",
    "the next step within 4 hours: the skin grows again",
    ("dust",),
)
_ETCH = FinishStep(
    "Etch primer for aluminium, one thin coat that lets the metal show through. It holds the rest: plain primer peels "
    "off aluminium.",
    "1 to 4 hours, no longer than its sheet says",
    ("solvent",),
)
_CLEAN_STEEL = FinishStep(
    "Take off mill scale, rust and spatter: blast it to Sa 2 1/2, or 80 to 120 grit down to bright metal; round sharp "
    "edges to <1 mm|1/32 in>, or paint runs thin there.",
    "the next step the same day, within 4 hours when it is damp",
    ("dust",),
)
_KEY_STAINLESS = FinishStep(
    "Key it with glass or corundum, or 120 grit, tools that never touched steel.",
    "the next step within 4 hours",
    ("dust",),
)


_KEY_ZINC = FinishStep(
    "Zinc: rub it dull with a nonwoven pad, not through; wash it with a mordant solution until it darkens, and rinse.",
    "the next step when it is dry, the same day",
    ("dust",),
)


def suits(system: SheetSystem, group: Group) -> bool:
    """Tell whether a metal can have a finish at all."""
    if system == "anodised":
        return group in ("aluminium", "titanium")
    if system == "galvanised":
        return group == "steel"
    return True


def steps_for(
    group: Group, system: SheetSystem, *, two_pack: bool = False, zinc: bool = False
) -> tuple[FinishStep, ...]:
    """Return the steps for a metal.

    Args:
        group: the metal.
        system: the finish; one that the metal cannot have gives what it has instead: nothing.
        two_pack: the paint hardens with an isocyanate.
        zinc: the bar is bought galvanised.
    """
    if not suits(system, group):
        return ()
    if system == "bare":
        return _bare(group)
    if system == "anodised":
        return _anodised(group)
    if system == "galvanised":
        return _galvanised()
    key = _KEY_ZINC if zinc and group == "steel" else _key(group)
    return _powder(group, key) if system == "powder" else _paint(group, key, two_pack)


def _key(group: Group) -> FinishStep:
    if group == "steel":
        return _CLEAN_STEEL
    return _KEY_ALUMINIUM if group == "aluminium" else _KEY_STAINLESS


def _paint(group: Group, key: FinishStep, two_pack: bool) -> tuple[FinishStep, ...]:
    care: tuple[Care, ...] = ("two-pack", "solvent") if two_pack else ("solvent",)
    primer = "zinc phosphate primer" if group == "steel" else "epoxy primer that names this metal on its tin"
    etch = (_ETCH,) if group == "aluminium" else ()
    return (
        _WASH,
        key,
        *etch,
        FinishStep(
            f"Prime: {primer}. Brush it into welds and edges first, then coat all of it.",
            "6 to 24 hours; after a day rub it dull first",
            ("solvent",),
            1,
        ),
        FinishStep(
            "Paint: thin coats rather than a thick one, from <10 to 25 °C|50 to 77 °F>, dry and out of the wind.",
            "4 to 24 hours between coats; hard after 7 days: load nothing on it before",
            care,
            2,
        ),
    )


def _powder(group: Group, key: FinishStep) -> tuple[FinishStep, ...]:
    bake = "Powder and bake: <180 to 220 °C|360 to 430 °F> for 10 to 20 minutes."
    if group == "aluminium":
        bake += " Aluminium aged to T5 or T6 softens in long heat: once, 20 minutes at <200 °C|390 °F> at most."
    first = {
        "aluminium": "Etch and conversion coat, in the shop's baths (ask for one without chromate).",
        "steel": "Phosphate it in the shop's baths; outdoors a zinc-rich powder primer goes below the colour.",
    }.get(group, "Ask the shop what it puts below the powder on this metal.")
    return (
        _WASH,
        key,
        FinishStep(first, "powder it the same day", ("bath",)),
        FinishStep(bake, "when it is cold", ("oven",), 2),
    )


def _anodised(group: Group) -> tuple[FinishStep, ...]:
    return (
        _WASH,
        FinishStep("Polish or brush it as it is to look: every scratch stays to be seen.", "", ("dust",)),
        FinishStep(
            "Anodise in a shop: ask for 20 µm outdoors, sealed. Everything of another metal comes out first; the bath "
            "eats it. Welds show darker, with 4043 nearly black. It takes about half its thickness from the size.",
            "rinse out every hollow",
            ("bath",),
        ),
    )


def _galvanised() -> tuple[FinishStep, ...]:
    return (
        FinishStep("Take off paint, weld slag and spatter: zinc does not stick to them.", "", ("dust",)),
        FinishStep(
            "Hot-dip galvanise in a shop (<450 °C|840 °F>): say that it is thin, and ask how it is hung. It may warp "
            "where welds left stress; threads are cut again afterwards.",
            "before paint: etch with a mordant solution, or leave it out for a season",
            ("bath",),
        ),
    )


def _bare(group: Group) -> tuple[FinishStep, ...]:
    if group == "steel":
        return (
            FinishStep(
                "Steel left bare rusts: wax or oil it, dry and indoors only.", "again every few months", ("solvent",)
            ),
        )
    if group == "stainless":
        return (
            FinishStep(
                "Take the colours off beside the welds: rust starts there. Brush or grind them off with tools that "
                "never touched steel, or have it pickled by a shop. Rinse.",
                "",
                ("dust", "pickling"),
            ),
        )
    return (FinishStep("Brush it even with a nonwoven pad along the bar, wash, and wax it.", "", ("dust",)),)
