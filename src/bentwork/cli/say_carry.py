"""What a frame carries, on the terminal."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from bentwork.cli import say
from bentwork.jobs.braced import BRACE_CAUTION, ends_told
from bentwork.jobs.carried import Carried, helps, proof
from bentwork.jobs.carried_words import carries_words, gives_at_words, help_words
from bentwork.jobs.held import held

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from bentwork.carry.proof import ProofLoad
    from bentwork.jobs.job import Job
    from bentwork.jobs.what_if import Try, WhatIf
    from bentwork.units import Ruler

__all__ = ["show"]

_GIVES = 5
_HELPS = 5
_TRIES = 16
_FROM = {"test bends": " t", "job": " j"}


def show(found: Carried | None, tried: WhatIf | None, job: Job, out: Console, *, every: bool = False) -> None:
    """Print what a frame carries: the answer, tables, joints, the proof load, tries, findings."""
    from rich.text import Text

    out.print(Text(f"{job.name}, version {job.version}", style="bold"))
    if found is None:
        out.print("The job does not say what is carried: give it a [payload] and a [fixing.NAME] (docs/carry.md).")
        return
    out.print(Text(_answer(found, job.ruler)))
    if found.verdict.analysed is not None:
        out.print()
        out.print(_gives(found, job.ruler))
        out.print(_cases(found, job.ruler))
        if found.structure.fixings:
            out.print(_fixings(found, job.ruler))
        _joints(found, job.ruler, out)
        _helps(found, job.ruler, out)
        tested = proof(found)
        if tested is not None:
            _proof(tested, job.ruler, out)
    if tried is not None:
        _tries(tried, job.ruler, out, every=every)
    out.print()
    say.findings(found.findings, job.ruler, out)


def _answer(found: Carried, ruler: Ruler) -> str:
    verdict, borne = found.verdict, found.structure.borne
    frame = f"The frame weighs {ruler.mass(found.structure.mass)}."
    if verdict.analysed is None:
        return f"{frame} What it carries cannot be reckoned yet: see below."
    if borne is None:
        return f"{frame} It carries nothing but itself: the job has no [payload]."
    carries = carries_words(verdict.carries, ruler)
    safety = found.load.rules.safety
    return f"{frame} It carries {carries} with a safety of {safety:g}; {ruler.load(borne.payload.mass, 4)} are wanted."


def _table(*heads: str, words: int = 1) -> Table:
    from bentwork.cli.say_table import columns

    return columns(*heads, left=heads[:words])


def _gives(found: Carried, ruler: Ruler) -> Table:
    table = _table("gives first", "in the case", "used", "gives at", words=2)
    limits = found.verdict.limits
    borne = found.structure.borne
    for one in limits.distinct[:_GIVES] if limits else ():
        at = one.payload * borne.payload.mass if borne else math.inf
        table.add_row(one.where, one.giving, f"{one.use:.0%}", gives_at_words(at, ruler))
    return table


def _cases(found: Carried, ruler: Ruler) -> Table:
    table = _table("load case", "moves most", "by", "buckles at", words=2)
    for sag, buckle in zip(found.verdict.sags, found.verdict.buckling, strict=False):
        times = f"{buckle.factor:.0f} times" if buckle.factor < 1000.0 else "never"
        table.add_row(sag.case, sag.bar, ruler.length(sag.mm), times)
    return table


def _fixings(found: Carried, ruler: Ruler) -> Table:
    table = _table("fixing", "most loaded in", "holds", words=2)
    for one in held(found):
        table.add_row(one.fixing, one.case, ruler.force(one.size))
    return table


def _joints(found: Carried, ruler: Ruler, out: Console) -> None:
    if not found.structure.joints:
        return
    table = _table("joint", "made", "said by", "gap", words=3)
    bars = found.structure.bars
    for joint in found.structure.joints:
        by = "the job" if joint.confirmed else "nobody: the bars touch"
        table.add_row(joint.words(bars), joint.made, by, ruler.length(max(0.0, joint.touch.gap)))
    out.print(table)


def _helps(found: Carried, ruler: Ruler, out: Console) -> None:
    from rich.text import Text

    best = helps(found)[:_HELPS]
    if not best:
        return
    out.print()
    out.print(Text("What would help most for the fewest grams", style="bold"))
    for one in best:
        out.print(f"{help_words(one, ruler)} (then {one.first} gives first)")
        if one.change.bracing is not None:
            out.print(f"  {'; '.join(ends_told(one.change.bracing, ruler))}.")
    if any(one.change.bracing is not None for one in best):
        out.print(f"  {BRACE_CAUTION}")


def _proof(one: ProofLoad, ruler: Ruler, out: Console) -> None:
    from rich.text import Text

    out.print()
    out.print(Text("Proof load", style="bold"))
    out.print(f"Put {ruler.load(one.mass)} on where the payload bears, and leave it {one.minutes} minutes.")
    if not one.proves:
        out.print(f"This does not prove {one.covers:g} times its weight: it would not come back from more.")
    for read in one.readings:
        out.print(f"Measure {read.bar} at {ruler.point(read.place)}: it goes down {ruler.length(read.sag)}.")
    if pulls := one.pulls(ruler):
        out.print(pulls)
    out.print(f"Look for cracks at: {'; '.join(limit.where for limit in one.look_at)}.")
    out.print(f"Reject it when {'; when '.join(one.reasons(ruler))}.")
    for caution in one.cautions:
        out.print(f"  {caution}")


def _tries(found: WhatIf, ruler: Ruler, out: Console, *, every: bool) -> None:
    from rich.text import Text

    shown = found.tries if every else _worth_a_look(found.tries)
    out.print()
    out.print(Text(f"What if {found.stock.name} ({', '.join(found.pieces)}) were", style="bold"))
    mass, pull = ruler.mass_unit, ruler.force_unit
    heads = (
        "",
        "of",
        "radius",
        f"frame\n{mass}",
        f"carries\n{mass}",
        "moves",
        f"lever\n{pull}",
        "springs\nback °",
        "bends",
        "price",
        "",
    )
    rows = [_row(one, found.mass, ruler) for one in shown]
    told = [k for k in range(len(heads)) if any(row[k] for row in rows)]  # a column that says nothing takes room
    table = _table(*(heads[k] for k in told), words=2)
    for row in rows:
        table.add_row(*(row[k] for k in told))
    out.print(table)
    out.print(
        "* no other try is lighter, stronger and stiffer at once. Metal, welds and bolts are looked at in tries, "
        "buckling only in those with a *: take one into the job and ask again. Springback is by the handbook, with a t "
        "by your own test bends of that bar, with a j by the job's own word."
    )
    if len(shown) < len(found.tries):
        out.print(f"{len(found.tries)} were tried; --all shows them.")


def _worth_a_look(tries: tuple[Try, ...]) -> list[Try]:
    """Those that nothing beats, what the job has now, and the lightest ones that carry enough and can be bent."""
    good = [one for one in tries if one.found.payload >= 1.0 and one.found.bender.bends is not False]
    return [one for one in tries if one.now or one in good[:_TRIES] or (one.best and one.bends != "no")]


def _row(one: Try, mass: float, ruler: Ruler) -> tuple[str, ...]:
    from bentwork.sheets.stock_words import section_words

    found = one.found
    bender = found.bender
    carries = found.payload * mass
    return (
        section_words(found.variant.section, ruler) + (" (now)" if one.now else ""),
        found.variant.material.name,
        "" if found.variant.radius is None else ruler.length(found.variant.radius),
        f"{ruler.in_mass_unit(found.mass):.2f}",
        ruler.load(carries).split()[0] if math.isfinite(carries) and mass else "",
        ruler.length(found.moves),
        "" if bender.lever_force is None else f"{ruler.in_force_unit(bender.lever_force):.0f}",
        "" if bender.springback is None else f"{bender.springback:.1f}{_FROM.get(bender.known_from, '')}",
        "" if one.bends == "unknown" else one.bends,
        "" if bender.price is None else f"{bender.price:.2f}",
        "*" if one.best else "",
    )
