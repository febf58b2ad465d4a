"""From an outlook, and a bar as it is believed to be, to what the bench shows of them."""

from __future__ import annotations

from bentwork.jobs.bench import Bench
from bentwork.jobs.ghost import ghost
from bentwork.jobs.going_on import GoingOn
from bentwork.sheets.outlook_words import SETTING_BY_HAND, advice_words, gap_words, set_words
from bentwork.units import Ruler
from bentwork.web.wire_bench import GhostOut, OutlookOut, SetOut
from bentwork.web.wire_picture import picture_out

__all__ = ["ghost_out", "outlook_out"]

_OR = {
    "carry on": "go by these steps",
    "correct": "set it as told",
    "start again": "take a new bar",
}
_FIELD = (90.0, 70.0)
_WRUNG_WORDS = "To wring: twist the straight before the bend, seen from end A. Measure its rotation too."


def outlook_out(bench: Bench, ruler: Ruler) -> OutlookOut | None:
    """Return how a bar will come out, ready to be shown; None where nothing is known."""
    told, table = bench.outlook, bench.plan.table
    if told.advice is None or told.expected_gap is None or told.expected_gap_sd is None or table is None:
        return None
    by_hand = (*(told.correct or ()), *told.wring)
    or_else = "leave it so" if bench.finished and told.advice == "carry on" else _OR[told.advice]
    words = set_words(told.correct or (), told.wring)
    return OutlookOut(
        head=_head(bench),
        says=gap_words(
            told.expected_gap,
            told.expected_gap_sd,
            told.chance,
            ruler,
            closed=table.closed,
            fails=told.fails,
            short=True,
        ),
        sets=[
            SetOut(bend=bend, by=f"{abs(by):.1f}°", says=said.split(" by ")[0])
            for (bend, by), said in zip(by_hand, words, strict=True)
        ],
        off=[
            f"{finding.says.rstrip('.')}: measure again, or {or_else}"
            for finding in bench.findings
            if finding.code == "far-from-drawn" and any(one.sure and one.bend == finding.bend for one in bench.made)
        ],
        cautions=[*([_WRUNG_WORDS] if told.wring else []), *SETTING_BY_HAND] if by_hand else [],
    )


def _head(bench: Bench) -> str:
    told = bench.outlook
    if told.advice is None or (bench.finished and told.advice == "carry on" and not told.wring):
        return "As measured"
    return advice_words("correct" if told.wring and told.advice == "carry on" else told.advice)


def ghost_out(found: GoingOn, ruler: Ruler) -> GhostOut | None:
    """Return a bar over its drawing, ready to be shown."""
    seen = ghost(found, *_FIELD)
    if seen is None:
        return None
    worst = seen.worst[:1].upper() + seen.worst[1:]
    how = "" if seen.finished else ", when the rest is bent as it is shown"
    says = f"{worst} lies furthest off: {ruler.length(round(seen.off, 1))}{how}."
    return GhostOut(picture=picture_out(seen.drawing), says=says)
