"""Work told in words on the terminal: headings, steps, cautions where they belong."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.text import Text

if TYPE_CHECKING:
    from collections.abc import Iterable

    from rich.console import Console

    from bentwork.sheets.told_pages import ToldPart

__all__ = ["show_parts"]


def show_parts(parts: Iterable[ToldPart], out: Console) -> None:
    """Print the parts of a plan, one under the other."""
    for part in parts:
        out.print()
        out.print(Text(part.title, style="bold"))
        if part.intro:
            out.print(Text(f"  {part.intro}"))
        for number, line in enumerate(part.lines, 1):
            sign = f"{number} " if part.numbered else "- " if part.ticks else ""
            out.print(Text(f"  {sign}{line}"))
        for caution in part.cautions:
            out.print(Text(f"  ! {caution}", style="bold"))
