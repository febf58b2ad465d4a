"""What kind of bar it is, whatever a job calls it: two bars with one key bend alike, as far as anybody can tell.

The key reads ``round 12 6082-T6``, ``tube 25x1.5 S235``, ``flat 25x3 S235``; sizes in mm, as the section lists them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from bentwork.bending.checking import Checks
from bentwork.stock.section import Flat, Round, Section, SectionKind, Square, SquareTube, Tube

__all__ = ["StockKey", "section_from_text", "section_text"]

_SIZES: Mapping[SectionKind, tuple[Callable[..., Section], tuple[str, ...]]] = {
    "round": (Round, ("diameter",)),
    "tube": (Tube, ("diameter", "wall")),
    "square": (Square, ("width", "height")),
    "square-tube": (SquareTube, ("width", "height", "wall", "corner_radius")),
    "flat": (Flat, ("width", "height")),
}
_PLACES = 6  # of a millimetre: 1/64 in is written whole, and the noise of a conversion is not


def section_text(section: Section) -> str:
    """Return the section as text: its kind and its sizes in mm."""
    _, names = _SIZES[section.kind]
    return f"{section.kind} {'x'.join(_plain(getattr(section, name)) for name in names)}"


def section_from_text(text: str) -> Section:
    """Return the section that ``section_text`` wrote.

    Raises:
        ValueError: it is not such a text, or its sizes make no section.
    """
    kind, _, sizes = text.partition(" ")
    for known, (make, names) in _SIZES.items():
        values = [float(size) for size in sizes.split("x")] if kind == known else []
        if kind == known and len(values) == len(names):
            return make(*values)
    raise ValueError(f"{text!r} is no section")


@dataclass(frozen=True, slots=True)
class StockKey:
    """A section in a material.

    Args:
        section: of the bar; sizes are kept to a millionth of a millimetre.
        material: name of its material, as the library or the maker spells it.

    Raises:
        InputError: the material has no name.
        ValueError: nothing is left of a size when it is rounded.
    """

    section: Section
    material: str

    def __post_init__(self) -> None:
        checks = Checks("stock")
        material = checks.name("material", self.material)
        checks.tell()
        object.__setattr__(self, "section", section_from_text(section_text(self.section)))
        object.__setattr__(self, "material", " ".join(material.split()))

    def __str__(self) -> str:
        return f"{section_text(self.section)} {self.material}"


def _plain(size: float) -> str:
    text = f"{size:.{_PLACES}f}".rstrip("0").rstrip(".")
    return text or "0"
