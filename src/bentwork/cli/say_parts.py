"""Small parts on the terminal: crossbars, the jig for them, tabs, findings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.text import Text

from bentwork.cli import say
from bentwork.jobs.cope_told import longest_words, round_words
from bentwork.jobs.parts_papers import own_text
from bentwork.jobs.small_parts_told import (
    arriving_words,
    cut_words,
    end_words,
    filing_words,
    gang_words,
    hole_words,
    place_words,
    row_words,
    set_words,
    spare_words,
    stack_words,
    tab_words,
    template_words,
)
from bentwork.sheets.stock_words import section_words

if TYPE_CHECKING:
    from rich.console import Console

    from bentwork.jobs.jig import Row
    from bentwork.jobs.small_parts import Crossbars, SmallParts
    from bentwork.jobs.tabs import Pattern
    from bentwork.units import Ruler

__all__ = ["show"]


def show(found: SmallParts, out: Console) -> None:
    """Print the small parts of a frame."""
    ruler = found.job.ruler
    out.print(Text(f"{found.job.name}, version {found.job.version}", style="bold"))
    if not found.any:
        out.print(Text("No bar ends on another, and there is no [tab.NAME] (docs/small-parts.md)."))
    for group in found.ended:
        out.print()
        _crossbars(group, found, ruler, out)
    for one in found.own:
        text = own_text(one, ruler)
        out.print()
        out.print(Text(text.name, style="bold") + Text(f"  {text.facts.replace(' · ', ', ')}"))
        for line in text.lines:
            out.print(f"  {line[0].lower()}{line[1:].removesuffix('.')}")
    used = template_words([one.meeting.cope for group in found.ended for one in group.coped])
    if used:
        out.print()
        out.print(used)
    for row in found.rows_told:
        out.print()
        _row(row, ruler, out)
    for pattern in found.tabs:
        out.print()
        _tab(pattern, ruler, out)
    if found.findings:
        out.print()
        say.findings(found.findings, ruler, out)


def _crossbars(group: Crossbars, found: SmallParts, ruler: Ruler, out: Console) -> None:
    first = group.first
    section = section_words(first.bar.section, ruler)
    exact = "" if first.bent else f" ({ruler.length(first.cut_length)})"
    made = f"  make {len(group.bars)}, {section}, {cut_words(group, ruler)}{exact}"
    out.print(Text(group.name, style="bold") + Text(made))
    if spare_words(group, ruler):
        out.print(f"  {spare_words(group, ruler)}")
    for ending, top in zip(first.endings, first.tops, strict=True):
        out.print(f"  end {ending.end}: {end_words(ending, ruler, alone=len(group.bars) == 1)}")
        if filing_words(ending, ruler):
            out.print(f"         {filing_words(ending, ruler)}")
        if ending.ends == "coped":
            cope = ending.meeting.cope
            up = "" if top is None else f", top of the frame at {round_words(cope, cope.place_at(top), ruler)}"
            out.print(f"         {longest_words(cope, ruler)}{up}")
    if arriving_words(group, ruler):
        out.print(f"  {arriving_words(group, ruler)}")


def _row(row: Row, ruler: Ruler, out: Console) -> None:
    out.print(Text(row_words(row), style="bold") + Text(f"  {', '.join(row.bars)}"))
    for words in set_words(row, ruler):
        out.print(f"  {words}")
    for stack in dict.fromkeys(row.stacks):
        times = row.stacks.count(stack)
        often = f", {times} times" if times > 1 else ""
        out.print(f"  room of {ruler.length(stack.wanted)}{often}: blocks {stack_words(stack, ruler)}")


def _tab(pattern: Pattern, ruler: Ruler, out: Console) -> None:
    tab = pattern.tab
    length, width, thickness = (ruler.length(size) for size in tab.blank)
    made = f"  make {len(pattern.tabs)}, blank {length} of {width} × {thickness}, {pattern.material.name}"
    out.print(Text(pattern.name, style="bold") + Text(made))
    out.print(f"  {tab_words(pattern, ruler)}")
    at = f"hole {ruler.length(tab.reach)} from the end on the bar, {ruler.length(tab.end)} from the outer end"
    out.print(
        f"  {at}; {ruler.length(tab.edge_distance)} to the nearest edge, at least {ruler.length(pattern.least_edge)}"
    )
    out.print(f"  {hole_words(pattern, ruler)}")
    if gang_words(pattern, ruler):
        out.print(f"  {gang_words(pattern, ruler)}")
    for one in pattern.tabs:
        out.print(f"  {place_words(one, ruler)}")
