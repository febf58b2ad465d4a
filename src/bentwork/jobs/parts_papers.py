"""From a result to what the papers of its small parts are about."""

from __future__ import annotations

from collections.abc import Sequence

from bentwork.jobs.bar_hole_told import bar_hole_words
from bentwork.jobs.cope_told import longest_words
from bentwork.jobs.jig import Row
from bentwork.jobs.own_end_told import own_end_words
from bentwork.jobs.small_parts import Crossbars, OwnEnded, SmallParts, small_parts
from bentwork.jobs.small_parts_told import (
    arriving_words,
    cut_words,
    end_words,
    filing_words,
    gang_words,
    hole_words,
    line_words,
    making_words,
    place_words,
    row_words,
    set_words,
    spare_words,
    stack_words,
    tab_words,
    template_words,
)
from bentwork.jobs.tabs import Pattern
from bentwork.jobs.work import Result
from bentwork.sheets.cautions import AT_THE_DRILL
from bentwork.sheets.parts_subject import PartsSubject, PartText, TabCard, Wrap
from bentwork.sheets.row_picture import RowDrawn
from bentwork.sheets.stock_words import section_words
from bentwork.units import Ruler

__all__ = ["crossbars_text", "own_text", "parts_subject", "row_text", "tab_text", "wraps_of"]


def parts_subject(result: Result, date: str) -> PartsSubject:
    """Return the small parts of a job as their papers show them; without texts where there are none."""
    found, job = small_parts(result), result.job
    ruler = job.ruler
    wraps = wraps_of(found)
    texts = [crossbars_text(group, ruler) for group in found.ended]
    texts += [own_text(one, ruler) for one in found.own]
    texts += [row_text(row, ruler) for row in found.rows_told]
    texts += [tab_text(pattern, ruler) for pattern in found.tabs]
    return PartsSubject(
        job=job.name,
        version=job.version,
        date=date,
        ruler=ruler,
        texts=tuple(texts),
        wraps=wraps,
        tabs=tuple(_card(pattern, ruler) for pattern in found.tabs),
        cautions=AT_THE_DRILL if wraps or found.tabs or _drilled(found) else (),
        of_wraps=template_words([wrap.cope for wrap in wraps]),
    )


def _drilled(found: SmallParts) -> bool:
    """Whether a hole is drilled into a bar itself."""
    return any(one.holes or any(end.asked.made.hole for end in one.ends) for one in found.own)


def wraps_of(found: SmallParts) -> tuple[Wrap, ...]:
    """Return the templates of all coped ends; one for ends that are cut, marked and turned alike."""
    made: list[Wrap] = []
    for group in found.ended:
        first = group.first
        both = len(group.coped) == 2
        for ending, top in zip(first.endings, first.tops, strict=True):
            if ending.ends != "coped":
                continue
            line = first.line_turn if both and ending.end == "B" else None
            made.append(Wrap(group.name, ending.end, len(group.bars), ending.meeting.cope, ending.onto, top, line))
    return tuple(made)


def crossbars_text(group: Crossbars, ruler: Ruler) -> PartText:
    """Return how bars that are cut alike are made; a line that begins with ``End`` is of that end."""
    first = group.first
    lines = [spare_words(group, ruler)]
    for ending in first.endings:
        longest = f"; {longest_words(ending.meeting.cope, ruler)}" if ending.ends == "coped" else ""
        filing = filing_words(ending, ruler)
        sits = end_words(ending, ruler, alone=len(group.bars) == 1)
        lines.append(f"End {ending.end}: {sits}{longest}{'; ' if filing else ''}{filing}.")
    arriving = arriving_words(group, ruler)
    if arriving:
        lines.append(f"{arriving[0].upper()}{arriving[1:]}.")
    facts = f"make {len(group.bars)} · {section_words(first.bar.section, ruler)} · {cut_words(group, ruler)}"
    return PartText(group.name, facts, tuple(line for line in lines if line))


def own_text(one: OwnEnded, ruler: Ruler) -> PartText:
    """Return how the ends of a piece are made by themselves; a line that begins with ``End`` is of that end."""
    facts = (f"make {one.plan.makes}", section_words(one.plan.stock.section, ruler), making_words(one, ruler))
    lines = [f"End {end.end}: {own_end_words(end, ruler, line_words(one))}." for end in one.ends]
    section = one.plan.stock.section
    lines += [f"Hole {hole.number}: {bar_hole_words(hole, section, ruler, line_words(one))}." for hole in one.holes]
    if one.plan.opposite is not None:
        lines.append("Of the opposite hand everything is turned the other way round.")
    return PartText(one.name, " · ".join(filter(None, facts)), tuple(lines))


def row_text(row: Row, ruler: Ruler) -> PartText:
    """Return how bars are set along a straight; a line that begins with ``Room of`` is of blocks."""
    lines = [f"{words[:1].upper()}{words[1:]}." for words in set_words(row, ruler)]
    for stack in dict.fromkeys(row.stacks):
        times = row.stacks.count(stack)
        often = f" ({times} times)" if times > 1 else ""
        lines.append(f"Room of {ruler.length(stack.wanted)}{often}: blocks {stack_words(stack, ruler)}.")
    return PartText(row_words(row), ", ".join(row.bars), tuple(lines), _drawn(row, ruler))


def _drawn(row: Row, ruler: Ruler) -> RowDrawn | None:
    """The row as it is drawn; of a bar alone nothing is drawn."""
    if len(row.bars) < 2:
        return None
    bars, low = [], row.clear[0]
    for name, middle, room in zip(row.bars, row.middles, row.clear[1:], strict=True):
        high = 2.0 * middle - low
        bars.append((name, low, high))
        low = high + room
    rooms = tuple(ruler.length(room) if room > 0.0 else "" for room in row.between)
    return RowDrawn(low, tuple(bars), tuple(map(ruler.tape, row.middles)), rooms)


def tab_text(pattern: Pattern, ruler: Ruler) -> PartText:
    """Return how tabs of one pattern are made."""
    length, width, thickness = (ruler.length(size) for size in pattern.tab.blank)
    facts = f"make {len(pattern.tabs)} · {length} of {width} × {thickness} · {pattern.material.name}"
    where = "; ".join(place_words(one, ruler) for one in pattern.tabs)
    return PartText(pattern.name, facts, (*_tab_lines(pattern, ruler), f"{where}."))


def _tab_lines(pattern: Pattern, ruler: Ruler) -> tuple[str, ...]:
    near, least = ruler.length(pattern.tab.edge_distance), ruler.length(pattern.least_edge)
    lines: Sequence[str] = (
        tab_words(pattern, ruler),
        hole_words(pattern, ruler),
        f"{near} from the hole to the nearest edge, at least {least}",
        gang_words(pattern, ruler),
    )
    return tuple(f"{line[0].upper()}{line[1:]}." for line in lines if line)


def _card(pattern: Pattern, ruler: Ruler) -> TabCard:
    length, width, thickness = (ruler.length(size) for size in pattern.tab.blank)
    made = f"Make {len(pattern.tabs)} of {pattern.material.name}, {length} of {width} × {thickness}."
    return TabCard(pattern.name, pattern.tab, pattern.drill, (made, *_tab_lines(pattern, ruler)))
