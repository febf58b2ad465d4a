"""The best way on with a bar: the steps that are left as they are best made now, and how the piece will come out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from bentwork.findings import Finding, by_weight
from bentwork.fitup.doubted import Doubt
from bentwork.fitup.hand import Hand
from bentwork.fitup.mend import Mend, mend
from bentwork.fitup.readings import Reading
from bentwork.fitup.spots import Spot
from bentwork.jobs.as_made import AsMade, Told, as_made
from bentwork.jobs.bench import Bench, Outlook
from bentwork.jobs.fitting import Chance, Fitting, fitting_of
from bentwork.jobs.kept import Kept
from bentwork.jobs.measured import Asked, Measured
from bentwork.jobs.mended import mended
from bentwork.jobs.to_measure import to_measure
from bentwork.sheets.outlook_words import set_words, share_words
from bentwork.tooling.shop import Mounting

__all__ = ["GoingOn", "going_on"]

_LOST = 1.5
"""Tolerances: only a bar that misses by more than this, if all goes as it is likeliest to, is given up ..."""

_HOPELESS = 0.05
"""... and only where hardly one in twenty would still come good: that a new one is cheaper is no reason alone."""


_SURE = 0.99  # of a finished piece: nobody measures it any further

_FAR = 4.0  # standard deviations: further off than what was left unmeasured can explain


@dataclass(frozen=True, slots=True, eq=False)
class GoingOn:
    """How a bar stands, with the best way on.

    Args:
        bench: with the steps that are left as they are best made now, and the outlook.
        fitting: what is known of the bar beforehand; None where it cannot be fitted up.
        made: what the bar is believed to be.
        mend: the best way on.
    """

    bench: Bench
    fitting: Fitting | None = None
    made: AsMade | None = None
    mend: Mend | None = None


@dataclass(frozen=True, slots=True, eq=False)
class _Stage:
    made: AsMade
    mend: Mend
    measure: tuple[Asked, ...]


_stages: Kept[_Stage] = Kept(256)
_fittings: Kept[Fitting | None] = Kept(64)


def going_on(bench: Bench, chance: Chance, hand: Hand | None = None, mountings: Sequence[Mounting] = ()) -> GoingOn:
    """Return the best way on with a bar.

    The first step is the plan's; as soon as something was measured, those that are left are mended.

    Args:
        bench: how it stands by the plan.
        chance: for the outlook.
        hand: the maker's hand, from other bars; None for the bender's accuracy.
        mountings: of its bender, so that a mended step is seen to hit nothing.
    """
    plan = bench.plan
    if not plan.feasible or (not bench.finished and not bench.ahead):
        return GoingOn(bench)
    order = tuple((step.bend, step.held) for step in (*bench.past, *bench.ahead))
    key = (plan.spec, plan.stock, plan.what, plan.table, order, hand, bench.units)
    fitting = _fittings.of(key, lambda _: fitting_of(plan, order, hand, bench.units))
    if fitting is None:
        return GoingOn(bench)
    stage = _stage(fitting, bench.logged, chance)
    found = replace(
        bench,
        outlook=_outlook(stage.mend),
        findings=by_weight([*bench.findings, *_said(bench, fitting, stage)]),
        measure=stage.measure,
    )
    if bench.made and not bench.finished:
        found = mended(found, fitting, stage.made, stage.mend, mountings)
    return GoingOn(found, fitting, stage.made, stage.mend)


def _stage(fitting: Fitting, logged: Sequence[Measured], chance: Chance) -> _Stage:
    logged = tuple(logged)
    return _stages.of((fitting, logged), lambda _: _asked(fitting, logged, chance))


def _asked(fitting: Fitting, logged: tuple[Measured, ...], chance: Chance) -> _Stage:
    def told(before: Sequence[Measured]) -> Told:
        then = _stage(fitting, before, chance)
        asked = tuple(one.start for one in then.measure if one.kind == "rotation" and one.start is not None)
        return Told(then.mend.onward, then.mend.correct, asked)

    made = as_made(fitting, logged, told)
    # A new bar is as good as an unbent one; before the first bend that is this one.
    again = _stage(fitting, (), chance).mend.after.good if logged else None
    limits, order, so_far = fitting.limits, fitting.numbers, made.so_far
    hand = fitting.by_hand if made.wrings else replace(fitting.by_hand, wrung=0.0)

    def ask(chance_again: float | None) -> Mend:
        return mend(
            fitting.matters,
            made.found,
            chance(),
            limits=limits,
            hand=hand,
            costs=fitting.costs,
            order=order,
            chance_again=chance_again,
            so_far=so_far,
        )

    best = ask(again)
    lost = best.after.worst > _LOST and best.after.good < _HOPELESS
    if best.advice == "start again" and not lost:
        best = ask(0.0) if again else best  # as if there were no other bar
        best = replace(best, advice="correct" if best.correct else "carry on")
    elif lost and len(made.made) == fitting.bar.bends and not best.correct:
        best = replace(best, advice="start again")  # nothing is left to do to it
    # The steps are those for the bar as it is: once it is set, it is logged again, and they are told anew.
    unsure = bool(_unsure(fitting, made))
    if unsure:
        far = best.after.gap > _FAR * best.after.gap_sd
        given_up = best.advice == "start again" and far
        best = best.as_long_as_nothing_is_set(made.found)
        best = replace(best, advice="start again" if given_up else "carry on", correct=())
    elif best.correct:
        best = best.as_long_as_nothing_is_set(made.found)
    # Of a piece that is still to be set, or that hardly was measured, the chance is one of what may come of it.
    sure = best.after.good > _SURE and len(made.made) == fitting.bar.bends and not (unsure or best.correct)
    return _Stage(made, best, () if sure else to_measure(fitting, made))


def _unsure(fitting: Fitting, made: AsMade) -> float:
    """One standard deviation of how a finished piece lies, mm, where that is too much to set anything by; else 0."""
    if len(made.made) < fitting.bar.bends:
        return 0.0
    ends = (Spot("end A", at=0.0), Spot("end B", at=fitting.bar.length))
    asked = [Reading("across", 0.0, spots=ends)]
    if fitting.matters.closed:
        asked = [Reading("gap", 0.0), Reading("sideways", 0.0), Reading("upwards", 0.0)]
    worst = max(made.found.foretold(one)[1] for one in asked)
    return worst if worst > fitting.matters.tolerance.position else 0.0


def _outlook(best: Mend) -> Outlook:
    """Where nothing but straights is to be wrung the advice is to carry on: who cannot wring asks no further."""
    return Outlook(
        advice="carry on" if best.advice == "correct" and not best.set_by_hand else best.advice,
        wring=tuple((one.bend, round(one.by, 1)) for one in best.correct if one.what == "wring"),
        correct=tuple((bend, round(by, 1)) for bend, by in best.set_by_hand),
        expected_gap=best.after.gap,
        expected_gap_sd=best.after.gap_sd,
        chance=best.after.good,
        fails=best.after.fails,
    )


def _question(doubt: Doubt) -> tuple[str, dict[str, float]]:
    """Return what is asked about a reading, and the lengths that stand in it as amounts."""
    lengths: dict[str, float] = {}

    def amount(mm: float) -> str:
        name = f"read{len(lengths)}"
        lengths[name] = mm
        return f"{{{name}}}"

    return doubt.words(amount), lengths


def _said(bench: Bench, fitting: Fitting, stage: _Stage) -> list[Finding]:
    """Return what the readings and the best way on give to say."""
    piece, said = bench.plan.spec.name, []
    for doubt in (one.doubt for one in stage.made.doubts if not one.doubt.reading.sure):
        question, lengths = _question(doubt)
        left_out = "It is left out until it is settled." if doubt.left_out else "It still counts."
        said.append(
            Finding(
                "watch",
                "reading-in-doubt",
                question,
                f"It lies {doubt.away:.0f} standard deviations off. {left_out}",
                "Measure it again; strike the entry out if it was a slip, or say that it is right, and it counts.",
                piece=piece,
                bend=doubt.reading.number if doubt.reading.kind in ("angle", "rotation", "begins") else None,
                lengths=lengths,
            )
        )
    best = stage.mend
    if best.advice == "start again":
        said.append(
            Finding(
                "watch",
                "start-again",
                "This bar will hardly come good any more: a new one is cheaper.",
                f"Even at its best it uses {best.after.worst:.1f} times what it may be out by; "
                f"it comes good in {share_words(best.after.good, closed=fitting.matters.closed)}.",
                "Measure once more before you give it up; keep it for test bends or a shorter piece.",
                piece=piece,
            )
        )
    doubtful = _unsure(fitting, stage.made)
    if doubtful:
        closed = fitting.matters.closed
        said.append(
            Finding(
                "note",
                "measure-first",
                f"How {'the ends meet' if closed else 'the piece lies'} cannot be told from what was measured.",
                "They tell it to {sd}, one standard deviation.",
                f"Measure {'the gap, and ' if closed else ''}across from corner to corner, and log it.",
                piece=piece,
                lengths={"sd": round(doubtful, 1)},
            )
        )
    told = _outlook(best)
    if told.correct or told.wring:
        said.append(
            Finding(
                "note",
                "set-by-hand",
                f"Set by hand before you go on: {', '.join(set_words(told.correct or (), told.wring)).lower()}.",
                f"Set right, {share_words(best.after.good, closed=fitting.matters.closed)} come good. "
                "More than a degree is told a little short, so that it does not go too far.",
                "Cold, over a long lever, let go slowly: the bar springs back. Look for cracks on the outside after "
                "each go; not beside a weld, and not more often than told. "
                "Then measure the bend and log it again, a wrung one with its rotation.",
                piece=piece,
            )
        )
    elif best.too_fine and best.advice == "carry on" and not doubtful:
        sets = [(one.bend, round(one.by, 1)) for one in best.too_fine if one.what == "set"]
        wrings = [(one.bend, round(one.by, 1)) for one in best.too_fine if one.what == "wring"]
        left = "the bends to come make up for what they can" if bench.ahead else "leave it as it is"
        said.append(
            Finding(
                "note",
                "as-near-as-it-comes",
                "What is made is as near as a hand sets it on this bender.",
                f"Nearer still were to {', '.join(set_words(sets, wrings)).lower()}; "
                f"less than {fitting.by_hand.least:.2g}° is no more than luck.",
                f"Set nothing: {left}.",
                piece=piece,
            )
        )
    return said
