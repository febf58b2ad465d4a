"""What the workshop keeps, in lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from bentwork.workshop.store import Workshop

__all__ = ["lines_of"]


def lines_of(memory: Workshop) -> Iterator[str]:
    """Write out what is kept, one thing a line."""
    from bentwork.door.offcuts import OFFCUT

    with memory.at_one_moment():
        for bender in memory.benders.all():
            kind, radius = bender.table.get("kind"), bender.table.get("radius")
            yield f"bender    {bender.name}: {kind}, radius {radius} {bender.units}"
        for material in memory.materials.all():
            yield f"material  {material.name}"
        for bar in memory.stock.all():
            length = f", bars of {bar.bar_length_mm:g} mm" if bar.bar_length_mm else ""
            if bar.batch == OFFCUT:
                yield f"offcut    {bar.stock_key}: {bar.bars} of {bar.bar_length_mm:g} mm"
                continue
            yield f"stock     {bar.name}: {bar.stock_key}{length}"
        for bend in memory.test_bends.all(struck=True):
            struck = f"  struck out: {bend.struck_because}" if bend.struck else ""
            yield (
                f"test bend {bend.id}: {bend.made_on}, {bend.stock_key} on {bend.bender}, "
                f"pulled {bend.pulled_deg:g}°, left {bend.left_deg:g}°{struck}"
            )
