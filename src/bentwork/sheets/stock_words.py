"""A bar in words: ``round 12 mm, 6082-T6``."""

from __future__ import annotations

from bentwork.stock.bar import Stock
from bentwork.stock.section import Flat, Round, Section, Square, SquareTube, Tube
from bentwork.units import Ruler

__all__ = ["section_words", "stock_words"]


def section_words(section: Section, ruler: Ruler) -> str:
    """Write a section as it is asked for over the counter."""

    def size(mm: float) -> str:
        return ruler.length(mm).removesuffix(" " + ruler.units)

    match section:
        case Round():
            return f"round {size(section.diameter)} {ruler.units}"
        case Tube():
            return f"tube {size(section.diameter)} × {size(section.wall)} {ruler.units}"
        case SquareTube():
            return f"square tube {size(section.width)} × {size(section.height)} × {size(section.wall)} {ruler.units}"
        case Square() if section.width == section.height:
            return f"square {size(section.width)} {ruler.units}"
        case Square():
            return f"rectangle {size(section.width)} × {size(section.height)} {ruler.units}"
        case Flat():
            return f"flat {size(section.width)} × {size(section.height)} {ruler.units}"


def stock_words(stock: Stock, ruler: Ruler) -> str:
    """Write a bar: section and material."""
    return f"{section_words(stock.section, ruler)}, {stock.material.name}"
