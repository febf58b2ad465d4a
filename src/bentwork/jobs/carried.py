"""From a result to what its frame carries: bars in their places, joined and held as the job says, under load cases.

Nothing of it is reckoned until somebody asks; what was asked before is kept by all that it depends on.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, replace

from bentwork.carry.bar import Bar, copies
from bentwork.carry.cases import LoadCase
from bentwork.carry.changes import Help, helps_of
from bentwork.carry.fatigue import ROADS, Lasting, Road, fatigue_findings, lasting
from bentwork.carry.faults import structure_findings
from bentwork.carry.proof import ProofLoad, proof_load
from bentwork.carry.structure import Structure, structure_of
from bentwork.carry.uses import USES, Use, cases_of, use_findings
from bentwork.carry.verdict import Verdict, judge
from bentwork.findings import Finding, by_weight, has_stop
from bentwork.jobs.job import Job, PieceSpec
from bentwork.jobs.kept import Kept
from bentwork.jobs.load import Load
from bentwork.jobs.not_placed import not_in_the_frame, not_placed
from bentwork.jobs.tabs_carried import tabs_carried
from bentwork.jobs.work import Result
from bentwork.piece.centreline import Centreline
from bentwork.stock.bar import Stock

__all__ = ["Carried", "carried", "frame_of", "helps", "is_reckoned", "proof", "structure_loaded", "with_carried"]

_STANDING = LoadCase("standing still", "static", source="its own weight and the payload's, nothing else")


@dataclass(frozen=True, slots=True, eq=False)
class Carried:
    """What is known of what the frame of a job carries.

    Args:
        job: what was asked for.
        load: what it is asked to carry.
        cases: the load cases.
        verdict: of the reckoning.
        findings: everything there is to say about it, by weight.
        road: that fatigue is told for; None when it is not asked.
        lasting: how long every part lasts on it, the shortest first.
    """

    job: Job
    load: Load
    cases: tuple[LoadCase, ...]
    verdict: Verdict
    findings: tuple[Finding, ...]
    road: Road | None = None
    lasting: tuple[Lasting, ...] = ()

    @property
    def structure(self) -> Structure:
        """The frame."""
        return self.verdict.structure

    @property
    def stopped(self) -> bool:
        """Whether anything about it will not work or is not safe."""
        return has_stop(self.findings)


_carried: Kept[Carried] = Kept(32)
_helps: Kept[tuple[Help, ...]] = Kept(8)
_proofs: Kept[ProofLoad | None] = Kept(16)


def carried(result: Result, mass: float | None = None, between: Callable[[], object] = lambda: None) -> Carried | None:
    """Return what the frame of a job carries; None when the job says nothing of a payload and holds it nowhere.

    A piece whose corners do not fit is left out of the frame, and told.

    Args:
        result: of the job.
        mass: of the payload, kg, to try; None for that of the job. Without a payload it changes nothing.
        between: called between the steps that take long; what it raises ends the reckoning.
    """
    load = _asked(result.job.load, mass)
    if not load.asked:
        return None
    key, bars, told = _frame_loaded(result, load)
    found = _carried.of(key, lambda _: _reckoned(result.job, load, bars, told, between))
    return found if found.job is result.job else replace(found, job=result.job)


def is_reckoned(result: Result) -> bool:
    """Tell whether ``carried`` has its answer at hand: reckoned before, or nothing to be reckoned."""
    load = _asked(result.job.load, None)
    return not load.asked or _carried.has(_frame_loaded(result, load)[0])


def with_carried(result: Result, between: Callable[[], object] = lambda: None) -> Result:
    """Return a result with what there is to say about what its frame carries among its findings."""
    found = carried(result, between=between)
    return result if found is None else replace(result, findings=by_weight((*result.findings, *found.findings)))


def helps(found: Carried) -> tuple[Help, ...]:
    """Return what would help most for the fewest grams; nothing where the frame cannot be reckoned."""
    if found.verdict.analysed is None:
        return ()
    units = found.job.ruler.units
    key = (units, found.structure.bars, found.structure.tabs, found.load)
    return _helps.of(key, lambda _: helps_of(found.structure, found.cases, found.load.rules, units=units))


def proof(found: Carried) -> ProofLoad | None:
    """Return the proof load; None where the frame cannot be reckoned or carries nothing."""
    if found.verdict.analysed is None:
        return None
    key = (found.structure.bars, found.structure.tabs, found.load)
    return _proofs.of(key, lambda _: proof_load(found.structure, found.cases, found.load.rules))


def frame_of(result: Result) -> tuple[tuple[Bar, ...], tuple[Finding, ...]]:
    """Return every copy of every piece where it stands, and what keeps others from standing anywhere."""
    found: list[Bar] = []
    told: list[Finding] = []
    for plan in result.pieces:
        spec = plan.spec
        if plan.line is None:
            told.append(not_in_the_frame(spec.name, "its corners do not fit", "Mend the piece first.", stops=True))
            continue
        found += _copies(spec, plan.stock, plan.line, as_drawn=True)
        if plan.opposite is not None and plan.opposite.line is not None:
            found += _copies(spec, plan.stock, plan.opposite.line, as_drawn=False)
        told += not_placed(spec)
    return tuple(found), tuple(told)


def _copies(spec: PieceSpec, stock: Stock, line: Centreline, *, as_drawn: bool) -> list[Bar]:
    named = spec.copies(as_drawn=as_drawn)
    bar = Bar(spec.name, line, stock.section, stock.material, spec.way, spec.name)
    moved = copies(bar, [shift for _, shift in named])
    return [replace(one, name=name, piece=spec.name) for one, (name, _) in zip(moved, named, strict=True)]


def _frame_loaded(result: Result, load: Load) -> tuple[Hashable, tuple[Bar, ...], tuple[Finding, ...]]:
    """All that the answer depends on, and of it the bars and what is told of pieces that stand nowhere."""
    bars, told = frame_of(result)
    return (bars, tuple(one.says for one in told), load, result.job.tabs), bars, told


def structure_loaded(job: Job, load: Load, bars: Sequence[Bar]) -> Structure:
    """Return the frame of a job as a structure: its bars and tabs, what holds it, what it carries."""
    tabs = tabs_carried(job, bars, load.rules.welding)
    return structure_of(
        bars, load.fixings, load.payload, load.straps, load.joints, directions=load.directions, tabs=tabs
    )


def _asked(load: Load, mass: float | None) -> Load:
    if mass is None or load.payload is None or mass == load.payload.mass:
        return load
    return replace(load, payload=replace(load.payload, mass=mass))


def _reckoned(
    job: Job, load: Load, bars: tuple[Bar, ...], told: tuple[Finding, ...], between: Callable[[], object]
) -> Carried:
    structure = structure_loaded(job, load, bars)
    between()
    cases, about_use = _cases(load, structure)
    about = (*told, *structure_findings(structure), *about_use)
    between()
    verdict = judge(structure, cases, about, load.rules, between)
    road = ROADS[load.road] if load.road else None
    lasts = lasting(verdict.analysed, road, load.rules) if road is not None and verdict.analysed is not None else ()
    known = [one for one in verdict.findings if one.code != "shakes-with-the-road" or _rolls(load)]
    found = (*known, *(fatigue_findings(lasts, road, load.km) if road else ()))
    return Carried(job, load, cases, verdict, by_weight(found), road, lasts)


def _cases(load: Load, structure: Structure) -> tuple[tuple[LoadCase, ...], tuple[Finding, ...]]:
    """Return the load cases, those of the use first, and what there is to say of them."""
    if load.use is None:
        return (load.cases, ()) if load.cases else ((_STANDING,), (_only_standing(),))
    use: Use = USES[load.use]
    about = use_findings(use)
    if load.cases:  # the maker has read the standard; it still has the last word
        about = tuple(replace(one, level="watch") for one in about)
    if load.leaning is not None:
        use = replace(use, leaning=load.leaning)
    return (*cases_of(use, structure), *load.cases), about


def _rolls(load: Load) -> bool:
    """Tell whether a road may shake it: so long as nobody says that it stands in a house or a boat."""
    return load.road is not None or load.use is None or USES[load.use].rolls


def _only_standing() -> Finding:
    return Finding(
        "watch",
        "use-not-said",
        "Only its weight at rest is reckoned: the job does not say what the frame is used for.",
        "A bump, a stop or a knock loads it several times as much.",
        'Say it under Carry (use = "hand cart" in [load]), or give load cases of your own.',
    )
