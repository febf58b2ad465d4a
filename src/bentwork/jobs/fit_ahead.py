"""Before the first bend: will it meet, which bend matters most, how much trim, where is the seam, is a bar spare."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from bentwork.findings import Finding, by_weight
from bentwork.fitup.attempts import Attempts, attempts
from bentwork.fitup.elastic import stiffness_of
from bentwork.fitup.ends import SeamPlace, Trim, trim_for
from bentwork.fitup.hand import Hand, hand_of
from bentwork.fitup.onto_fixings import Onto
from bentwork.fitup.pairs import PairSpread, pair_spread
from bentwork.fitup.spare import spare_bars
from bentwork.fitup.spread import Share, Spread, shares, spread
from bentwork.fitup.springing import Sprung, spring_together
from bentwork.jobs.fitting import Chance, Fitting, fitting_of
from bentwork.jobs.onto import onto_finding, onto_of
from bentwork.jobs.seam_choice import seam_finding, seams_of
from bentwork.jobs.seam_load import seam_load
from bentwork.jobs.work import PiecePlan, Result
from bentwork.sheets.outlook_words import share_words

__all__ = ["BendShare", "FitAhead", "SpareBars", "fit_ahead"]

_TRIED = 40  # pieces that are out by just as much as they may be
_COMMON_SPARES = 1  # common practice, no source
_SAMPLES = 200
_TELLING = 0.25  # below it nobody buys so many bars: test bends come first


@dataclass(frozen=True, slots=True)
class BendShare:
    """How much of what a piece misses by comes from one bend; bend 0 is what all bends have in common."""

    bend: int
    share: float


@dataclass(frozen=True, slots=True)
class SpareBars:
    """How many bars to buy beyond those that the pieces take.

    Args:
        wanted: good pieces.
        lengths: spare lengths, each for one piece.
        bars: whole bars more for them; 0 where what is left of the others gives them.
        expected: lengths that so many good pieces take on average; None where nobody can tell.
    """

    wanted: int
    lengths: int
    bars: int
    expected: float | None


@dataclass(frozen=True, slots=True, eq=False)
class FitAhead:
    """What is known before the first bend of a piece.

    Args:
        plan: of the piece.
        hand: the maker's, as far as it is known.
        spread: by how much it is expected to miss, unmended.
        attempts: the chance that it is good, unmended, mended, and set by hand.
        shares: where the miss comes from, the largest share first.
        trim: spare length for the ends.
        seams: where the seam of a closed piece may be, the best first; empty where that is not free.
        seam: where it is now, as one of these is told; None for an open piece.
        spare: whether to buy a spare bar; None where the bar has no price.
        sprung: what it takes to spring a piece into place that is out by just as much as it may be; None where
            nothing is to be sprung together.
        onto: what it is expected to take to spring an open piece onto its fixings; None where it has no two, or nobody
            asks.
        pair: how left and right differ; None where only one hand is made.
        findings: what there is to say about it.
    """

    plan: PiecePlan
    hand: Hand
    spread: Spread
    attempts: Attempts
    shares: tuple[BendShare, ...]
    trim: Trim
    seams: tuple[SeamPlace, ...]
    seam: SeamPlace | None
    spare: SpareBars | None
    sprung: Sprung | None
    onto: Onto | None
    pair: PairSpread | None
    findings: tuple[Finding, ...]

    @property
    def good(self) -> float:
        """Chance that a piece is good when it is logged, mended and set by hand."""
        return max(self.attempts.unmended, self.attempts.mended, self.attempts.by_hand)


def fit_ahead(plan: PiecePlan, chance: Chance, hand: Hand | None = None, job: Result | None = None) -> FitAhead | None:
    """Return what is known before the first bend; None where the piece is not bent, or cannot be.

    Args:
        plan: of the piece as drawn.
        chance: for pieces made up.
        hand: the maker's; None for the bender's accuracy.
        job: the whole of it, where its frame is to be asked what it carries; None where nobody asks.
    """
    fitting = fitting_of(plan, (), hand) if plan.feasible else None
    if fitting is None:
        return None
    matters, start = fitting.matters, fitting.start
    tried = attempts(
        matters,
        fitting.scatter,
        chance(),
        values=start,
        order=fitting.numbers,
        limits=fitting.limits,
        hand=fitting.by_hand,
        samples=_SAMPLES,
    )
    seams, seam = seams_of(fitting, None if job is None else seam_load(job, plan))
    found = FitAhead(
        plan=plan,
        hand=hand or hand_of(fitting.what.set_up.bender.scatter),
        spread=spread(matters, fitting.scatter, chance(), values=start),
        attempts=tried,
        shares=_by_bend(shares(matters, fitting.scatter, start)),
        trim=trim_for(matters, fitting.scatter, chance()),
        seams=seams,
        seam=seam,
        spare=_spare(fitting, max(tried.unmended, tried.mended, tried.by_hand)),
        sprung=_sprung(fitting, chance),
        onto=None if job is None else onto_of(fitting, job, chance),
        pair=pair_spread(matters, fitting.scatter, chance()) if plan.spec.mirror else None,
        findings=(),
    )
    said = (finding.about(plan.spec.name) for finding in _findings(found, fitting))
    return replace(found, findings=by_weight(said))


def _by_bend(found: tuple[Share, ...]) -> tuple[BendShare, ...]:
    total: dict[int, float] = {}
    for one in found:
        total[one.bend] = total.get(one.bend, 0.0) + one.share
    return tuple(BendShare(bend, share) for bend, share in sorted(total.items(), key=lambda item: -item[1]))


def _spare(fitting: Fitting, good: float) -> SpareBars | None:
    """Return the spare bars worth buying: lengths that the rest of the bars already give are not bought."""
    plan, stock = fitting.plan, fitting.plan.stock
    if stock.price is None or not stock.bar_length or plan.cut_length > stock.bar_length:
        return None
    each, told = int(stock.bar_length // plan.cut_length), good >= _TELLING
    found = spare_bars(max(good, _TELLING), plan.makes, stock.price / each)
    lengths = found.buy if told else min(found.buy, _COMMON_SPARES)
    bars = math.ceil((plan.makes + lengths) / each) - math.ceil(plan.makes / each)
    return SpareBars(plan.makes, lengths, bars, found.expected if told else None)


def _sprung(fitting: Fitting, chance: Chance) -> Sprung | None:
    """What it takes to spring a piece into place that uses up its tolerance: the middle one of several by force."""
    matters, spec = fitting.matters, fitting.plan.spec
    if not matters.closed:
        return None
    stiff = stiffness_of(fitting.plan.stock.section, fitting.plan.stock.material, spec.way)
    errors = fitting.scatter.drawn(chance(), _TRIED)
    nominal = matters.nominal.values
    found = []
    for k in range(_TRIED):
        error = errors[:, :, k]
        worst = float(matters.worst(matters.of((nominal + error)[:, :, np.newaxis]))[0])
        values = nominal + error / max(worst, 1e-9)
        found.append(spring_together(matters, values, stiff))
    found.sort(key=lambda one: one.force)
    return found[len(found) // 2]


def _findings(found: FitAhead, fitting: Fitting) -> Iterator[Finding]:
    spec, closed = found.plan.spec, fitting.matters.closed
    alone = f"By the plan alone {found.attempts.unmended:.0%} of such pieces keep their tolerance"
    if found.good < 0.5:
        more = f"logged, mended and set by hand they do in {share_words(found.good, closed=closed)}"
        yield Finding(
            "watch",
            "likely-to-miss",
            f"{alone}; {more}.",
            _why(found),
            "Make test bends, log every bend as it comes out, and set a bend right by hand before the next one.",
        )
    if closed and spec.trim + found.plan.more_bar + 0.5 < found.trim.end_b:
        yield Finding(
            "watch",
            "trim-too-short",
            "The spare length is less than errors may use up: by the plan alone 39 pieces of 40 need {need} on end B.",
            "The job leaves {trim} on each end. Mended pieces need less, as long as the bends to come make up for it.",
            "Leave more on (trim of the piece); what is left is cut off where the ends meet.",
            lengths={"need": found.trim.end_b, "trim": spec.trim},
        )
    elsewhere = seam_finding(found.seams, found.seam)
    if elsewhere is not None:
        yield elsewhere
    forced = None if found.onto is None else onto_finding(found.onto)
    if forced is not None:
        yield forced
    if found.spare is not None and found.spare.bars:
        yield Finding("note", "spare-bar", *_spare_words(found.spare, spec.stock))


def _spare_words(spare: SpareBars, stock: str) -> tuple[str, str, str]:
    ones = f"{spare.wanted} good piece{'s' if spare.wanted > 1 else ''}"
    why = (
        "How many bars a good piece takes cannot be told; one spare is common practice."
        if spare.expected is None
        else f"{ones} take{'' if spare.wanted > 1 else 's'} {spare.expected:.1f} lengths on average."
    )
    says = f"Buy {spare.bars} more bar{'s' if spare.bars > 1 else ''} of {stock} than the pieces take."
    return says, why, "What is left over serves for test bends and for short pieces."


def _why(found: FitAhead) -> str:
    worst = max(found.spread.groups, key=lambda group: group.rms / group.tolerance)
    unit = "°" if worst.name in ("twist", "turn about the bar") else " mm"
    first = found.shares[0]
    source = "what is not known of the springback, the same in all bends" if first.bend == 0 else f"bend {first.bend}"
    return (
        f"{worst.name.capitalize()} comes out {worst.rms:.1f}{unit} off on average where {worst.tolerance:g}{unit} are "
        f"allowed; most of it ({first.share:.0%}) comes from {source}."
    )
