"""Welding, finish and brackets of a job, as they go over the wire."""

from __future__ import annotations

from collections.abc import Iterable

from bentwork.files.plan_json import findings_document
from bentwork.findings import by_weight
from bentwork.jobs.bracket import Bracket, brackets
from bentwork.jobs.bracket_told import AT_THE_DRILL, allowance_words, hole_words, place_words, rule_words, step_words
from bentwork.jobs.finish import finish
from bentwork.jobs.finish_told import finish_parts
from bentwork.jobs.welding import welding
from bentwork.jobs.welding_told import ORDER_WHY, tack_words, welding_parts
from bentwork.jobs.welding_told import step_words as weld_words
from bentwork.jobs.work import Result
from bentwork.sheets.told_pages import ToldPart
from bentwork.units import Ruler
from bentwork.web.wire import FindingOut
from bentwork.web.wire_weld_finish import FlatHoleOut, FlatOut, ToldOut, WeldAndFinishOut, WeldOut

__all__ = ["weld_finish_out"]


def weld_finish_out(sum_of_file: str, result: Result) -> WeldAndFinishOut:
    """Return welding, finish and brackets of a job.

    Args:
        sum_of_file: of the job's text.
        result: of the job.
    """
    plan, coating, ruler = welding(result), finish(result), result.job.ruler
    ways = plan.structure.directions
    welds = [
        WeldOut(
            number=step.number,
            where=step.line.where,
            at_mm=list(step.line.place),
            tacks=tack_words(step, ruler, ways),
            first=weld_words(step, ruler, ways),
            second=weld_words(step, ruler, ways, second=True),
        )
        for step in plan.steps
    ]
    return WeldAndFinishOut(
        sum=sum_of_file,
        welds=welds,
        order_why=ORDER_WHY,
        welding=_told(welding_parts(plan, ruler)),
        finish=_told(finish_parts(coating, ruler)),
        system=result.job.finish.system if result.job.finish.said else "",
        colour=result.job.finish.colour,
        flats=[_flat(one, ruler) for one in brackets(result)],
        drill_caution=AT_THE_DRILL,
        findings=[
            FindingOut(**one) for one in findings_document(by_weight((*plan.findings, *coating.findings)), ruler)
        ],
    )


def _told(parts: Iterable[ToldPart]) -> list[ToldOut]:
    return [
        ToldOut(
            title=part.title,
            intro=part.intro,
            lines=list(part.lines),
            cautions=list(part.cautions),
            numbered=part.numbered,
        )
        for part in parts
    ]


def _flat(one: Bracket, ruler: Ruler) -> FlatOut:
    blank = one.blank
    cut = f"cut {ruler.tape(blank.length)} {ruler.units} of {ruler.length(blank.width)} flat"
    return FlatOut(
        name=one.name,
        facts=f"{cut}: {allowance_words(one, ruler)}",
        length_mm=blank.length,
        width_mm=blank.width,
        trim_mm=blank.trim,
        bends_mm=[[fold.start, fold.middle, fold.end] for fold in blank.folds],
        holes=[
            FlatHoleOut(
                number=hole.flat.number,
                outline=[list(point) for point in hole.flat.ring()],
                after=hole.seat.after,
                says=[place_words(hole, ruler), hole_words(hole, ruler), rule_words(hole, ruler)],
            )
            for hole in one.holes
        ],
        steps=[step_words(step, ruler) for step in one.plan.steps],
    )
