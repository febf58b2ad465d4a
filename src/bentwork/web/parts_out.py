"""The small parts of a frame, as they go over the wire."""

from __future__ import annotations

from collections.abc import Sequence

from bentwork.fastening.threads import THREADS
from bentwork.files.plan_json import findings_document
from bentwork.jobs.crossbar_asked import Side
from bentwork.jobs.endings import Ending
from bentwork.jobs.jig import Row
from bentwork.jobs.job import Job
from bentwork.jobs.own_end_told import own_end_words
from bentwork.jobs.parts_papers import crossbars_text, own_text, parts_subject, row_text, tab_text
from bentwork.jobs.rail import Rail, rail_of, sides_of
from bentwork.jobs.small_parts import Crossbars, OwnEnded, small_parts
from bentwork.jobs.small_parts_told import end_words, filing_words, line_words, stack_words
from bentwork.jobs.tabs import Pattern
from bentwork.jobs.work import Result
from bentwork.parts.cope import Cope
from bentwork.parts.cope_unrolled import across, unrolled
from bentwork.sheets.parts_subject import PartText
from bentwork.sheets.tab_card import tab_outline
from bentwork.space import cross, dot, norm, sub
from bentwork.units import Ruler
from bentwork.web.wire import FindingOut
from bentwork.web.wire_parts import CrossbarsOut, EndOut, PartCardOut, PartsOut, RowOut, SideOut, StackOut, TabOut

__all__ = ["parts_out"]

_SIDE_BY_SIDE = 0.99  # cosine
_BELOW = 12.0  # of a wrap that is looked at, below the bottom of the hollow


def parts_out(sum_of_file: str, result: Result) -> PartsOut:
    """Return the small parts of a frame.

    Args:
        sum_of_file: of the job's text.
        result: of the job.
    """
    found, job = small_parts(result), result.job
    ruler = job.ruler
    subject = parts_subject(result, "")
    sides = _sides(job)
    return PartsOut(
        sum=sum_of_file,
        crossbars=[*(_crossbars(one, ruler) for one in found.ended), *(_own(one, ruler) for one in found.own)],
        rows=[_row(one, ruler) for one in found.rows_told],
        tabs=[_tab(one, ruler) for one in found.tabs],
        findings=[FindingOut(**one) for one in findings_document(found.findings, ruler)],
        sides=[told for told, _ in sides],
        usual=_usual([rail for _, rail in sides]),
        threads=list(THREADS),
        fixings=[one.name for one in job.load.fixings],
        of_tube=subject.of_wraps,
        cautions=list(subject.cautions),
    )


def _usual(rails: Sequence[Rail]) -> list[int]:
    """The first two straights that run side by side; the first two of all where none do."""
    for k, one in enumerate(rails):
        for j in range(k + 1, len(rails)):
            other = rails[j]
            away = sub(other.limb.origin, one.limb.origin)
            aside = norm(cross(away, one.limb.along))
            if abs(dot(one.limb.along, other.limb.along)) > _SIDE_BY_SIDE and aside > 1.0:
                return [k, j]
    return [0, 1]


def _sides(job: Job) -> list[tuple[SideOut, Rail]]:
    """Every side with a straight in it, crossbars left out."""
    specs = {spec.name: spec for spec in job.pieces}
    made = {asked.name for asked in job.crossbars}
    found = []
    for name, spec in specs.items():
        if name in made or name.rsplit(" ", 1)[0] in made:
            continue
        for number in range(1, sides_of(spec) + 1):
            rail = rail_of(specs, job.stocks, Side(name, number))
            if rail is not None:
                says = f"{name}, side {number}: {job.ruler.length(rail.length)} straight"
                found.append((SideOut(piece=name, number=number, says=says), rail))
    return found


def _crossbars(one: Crossbars, ruler: Ruler) -> CrossbarsOut:
    ends = [_end(ending, ruler, alone=len(one.bars) == 1) for ending in one.first.endings]
    return _bars(crossbars_text(one, ruler), ends)


def _own(one: OwnEnded, ruler: Ruler) -> CrossbarsOut:
    words = line_words(one)
    ends = [
        EndOut(end=end.end, says=own_end_words(end, ruler, words), filing="", at_mm=list(end.limb.origin), card=None)
        for end in one.ends
    ]
    return _bars(own_text(one, ruler), ends)


def _bars(text: PartText, ends: list[EndOut]) -> CrossbarsOut:
    lines = [line for line in text.lines if not line.startswith("End ")]
    return CrossbarsOut(name=text.name, facts=text.facts, lines=lines, ends=ends)


def _end(one: Ending, ruler: Ruler, *, alone: bool) -> EndOut:
    return EndOut(
        end=one.end,
        says=end_words(one, ruler, alone=alone),
        filing=filing_words(one, ruler),
        at_mm=list(one.meeting.foot),
        card=_wrap(one.meeting.cope, one.end) if one.ends == "coped" else None,
    )


def _wrap(cope: Cope, end: str) -> PartCardOut:
    base = -(cope.depth + _BELOW)
    outer = [[x, cope.longest - length] for x, length in unrolled(cope, cope.outer)]
    inner = [[x, cope.longest - length] for x, length in unrolled(cope, cope.inner)]
    edges = "the outer edge" if cope.solid else "the outer edge, dashed the inner edge of the wall"
    return PartCardOut(
        outline=[[0.0, base], *outer, [cope.around, base]],
        dashed=[] if cope.solid else inner,
        folds=[
            [[x, base], [x, cope.longest - cope.outer(place)]] for place in cope.folds for x in [across(cope, place)]
        ],
        holes_mm=[],
        label=f"Wrap of end {end}: heavy {edges}" + ("" if cope.bar.is_round else ", fine its corners"),
    )


def _row(one: Row, ruler: Ruler) -> RowOut:
    text = row_text(one, ruler)
    return RowOut(
        where=text.name,
        bars=text.facts,
        lines=[line for line in text.lines if not line.startswith("Room of")],
        stacks=[
            StackOut(
                room=ruler.length(stack.wanted),
                times=one.stacks.count(stack),
                blocks=stack_words(stack, ruler),
                fits=stack.fits,
            )
            for stack in dict.fromkeys(one.stacks)
        ],
    )


def _tab(one: Pattern, ruler: Ruler) -> TabOut:
    text = tab_text(one, ruler)
    holes = [one.tab.hole] if abs(one.drill - one.tab.hole) < 0.05 else [one.tab.hole, one.drill]
    card = PartCardOut(
        outline=[[x, y] for x, y in tab_outline(one.tab)],
        dashed=[],
        folds=[],
        holes_mm=holes,
        label=f"Outline of {one.name}, its end on the bar to the left",
    )
    return TabOut(
        name=text.name,
        facts=text.facts,
        lines=list(text.lines),
        at_mm=[list(made.tab.foot) for made in one.tabs],
        card=card,
    )
