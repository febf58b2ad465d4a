"""The welding plan of a job: order against distortion, tacks, what to clamp, spacers, seams, filler and heat, vents."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from bentwork.carry.faults import structure_findings
from bentwork.carry.strength import softened_length
from bentwork.carry.structure import Structure, structure_of
from bentwork.findings import Finding, by_weight
from bentwork.jobs.carried import frame_of
from bentwork.jobs.closed_tubes import alike, closed_tubes, drilled
from bentwork.jobs.jig import Row
from bentwork.jobs.job import Job
from bentwork.jobs.kept import Kept
from bentwork.jobs.rail import along_side
from bentwork.jobs.small_parts import small_parts
from bentwork.jobs.weld_clamps import Clamped, clamps
from bentwork.jobs.weld_lines import WeldLine, weld_lines
from bentwork.jobs.work import Result
from bentwork.parts.vents import Vent, heated_by
from bentwork.parts.weld_metal import Advice, advice_for
from bentwork.parts.welding import Tacks, WeldPlace, order_of, tacks_for

__all__ = ["SeamPlace", "WeldStep", "WeldingPlan", "frame_structure", "welding", "with_welding"]


@dataclass(frozen=True, slots=True)
class WeldStep:
    """A weld in its place in the order.

    Args:
        number: in the order, from 1.
        line: the weld.
        tacks: how it is tacked.
        metals: which advice it goes by: number in ``WeldingPlan.advice``; None where these metals are not welded.
    """

    number: int
    line: WeldLine
    tacks: Tacks
    metals: int | None


@dataclass(frozen=True, slots=True)
class SeamPlace:
    """Where the seam of a closed piece is: number of the side, and mm from the beginning of that side."""

    bar: str
    side: int
    station: float
    of: float


@dataclass(frozen=True, slots=True)
class WeldingPlan:
    """How a frame is welded.

    Args:
        job: what was asked for.
        structure: the frame.
        steps: its welds, in their order.
        advice: for each pair of metals.
        clamped: what is clamped where.
        rows: bars with the room between them, whose spacers stay in.
        seams: of closed pieces.
        vents: holes that closed tubes need before the last weld.
        zinc: what is welded of each stock that is coated with zinc; a stock that is only bolted on is not there.
        findings: what there is to say about it.
    """

    job: Job
    structure: Structure
    steps: tuple[WeldStep, ...]
    advice: tuple[Advice, ...]
    clamped: tuple[Clamped, ...]
    rows: tuple[Row, ...]
    seams: tuple[SeamPlace, ...]
    vents: tuple[Vent, ...]
    zinc: Mapping[str, tuple[str, ...]]
    findings: tuple[Finding, ...]


_plans: Kept[WeldingPlan] = Kept(16)


def frame_structure(result: Result) -> Structure:
    """Return the frame of a job with its joints, whether or not the job says what it carries."""
    bars, _ = frame_of(result)
    load = result.job.load
    return structure_of(bars, load.fixings, None, (), load.joints, directions=load.directions)


def welding(result: Result) -> WeldingPlan:
    """Return the welding plan of a job."""
    job = result.job
    bars, _ = frame_of(result)
    return _plans.of((job.name, job.version, bars, job.load, job.tabs, job.finish), lambda _: _planned(result))


def with_welding(result: Result) -> Result:
    """Return a result with what stops its welds among its findings, where the check of its load does not say it."""
    asked = result.job.load.asked
    if asked and not result.job.finish.galvanised:
        return result
    found = [
        one
        for one in welding(result).findings
        if one.code == "zinc-fume" or (one.level == "stop" and not (asked and one.code == "not-to-be-welded"))
    ]
    return replace(result, findings=by_weight((*result.findings, *found))) if found else result


def _planned(result: Result) -> WeldingPlan:
    job, structure, small = result.job, frame_structure(result), small_parts(result)
    lines = weld_lines(result, structure, small)
    places = [WeldPlace(o.where, o.place, o.length, o.throat, o.runs, o.sort == "seam") for o in lines]
    advice: list[Advice] = []
    steps = []
    for number, k in enumerate(order_of(places), 1):
        line = lines[k]
        told = advice_for(*line.metals, job.load.rules.filler)
        if told is not None and told not in advice:
            advice.append(told)
        steps.append(WeldStep(number, line, tacks_for(places[k]), None if told is None else advice.index(told)))
    vents = closed_tubes(structure, small, heated_by(job.finish.system))
    zinc = _welded_zinc(job, lines)
    found = [
        *(one for one in structure_findings(structure) if one.code == "not-to-be-welded"),
        *_fillers(advice),
        *_zinc(zinc),
        *_on_seams(structure, lines),
        *_vents(() if job.finish.vented else vents),
    ]
    return WeldingPlan(
        job,
        structure,
        tuple(steps),
        tuple(advice),
        clamps(result, structure, lines),
        tuple(row for row in small.rows if len(row.bars) > 1),
        tuple(_seams(result, structure)),
        vents,
        zinc,
        by_weight(found),
    )


def _seams(result: Result, structure: Structure) -> Iterator[SeamPlace]:
    specs = {spec.name: spec for spec in result.job.pieces}
    for bar in structure.bars:
        if bar.closed and bar.of in specs:
            side, station, length = along_side(specs[bar.of], bar.line, 0, 0.0)
            yield SeamPlace(bar.name, side, station, length)


def _on_seams(structure: Structure, lines: Iterable[WeldLine]) -> Iterator[Finding]:
    """Welds that stand on the seam of a closed piece: two heats on one place, and nothing left to true the seam by."""
    every = list(lines)
    for seam in (line for line in every if line.sort == "seam"):
        bar = next(bar for bar in structure.bars if bar.name == seam.bars[0])
        clear = softened_length(bar.section)
        near = [
            (min(station, bar.length - station), line.where)
            for line in every
            if line.sort == "joint"
            for name, station in zip(line.bars, line.stations, strict=True)
            if name == bar.name and station is not None
        ]
        for away, where in sorted(near)[:1]:
            if away < clear:
                yield Finding(
                    "note",
                    "seam-elsewhere",
                    f"The weld of {where} stands on the seam of {bar.name}.",
                    "It is {away} from it: the metal there is heated twice, and the seam cannot be trued afterwards.",
                    "Put the seam {clear} or more beside every other weld: seam = [side, fraction].",
                    piece=bar.of,
                    lengths={"away": away, "clear": clear},
                    at=seam.place,
                )


def _fillers(advice: Iterable[Advice]) -> Iterator[Finding]:
    for one in advice:
        if one.doubt:
            yield Finding(
                "watch",
                "filler-does-not-suit",
                f"The filler that the strength is reckoned with does not suit {one.metals}.",
                one.doubt,
                f"Use {one.filler}, and say so: filler in [load].",
            )


def _welded_zinc(job: Job, lines: Iterable[WeldLine]) -> Mapping[str, tuple[str, ...]]:
    """Return pieces and tabs that are welded, by their stock, where that is coated with zinc."""
    welded = {name for line in lines for name in line.bars}
    found: dict[str, tuple[str, ...]] = {}
    for name in job.finish.galvanised:
        pieces = (spec.name for spec in job.pieces if spec.stock == name and {*spec.copy_names, spec.name} & welded)
        tabs = (f"tab {one.name}" for one in job.tabs if one.stock == name and one.welded)
        if there := (*pieces, *tabs):
            found[name] = there
    return found


def _zinc(welded: Mapping[str, tuple[str, ...]]) -> Iterator[Finding]:
    for names in welded.values():
        yield Finding(
            "watch",
            "zinc-fume",
            f"Galvanised bar is welded: {', '.join(names)}.",
            "Zinc boils before steel melts; its fume makes fever and chills hours later, and the weld porous.",
            "Take the zinc off {off} on each side of the weld, weld outdoors or with extraction at the arc and a "
            "mask for metal fume, and paint the bared steel again.",
            lengths={"off": 50.0},
        )


def _vents(vents: Iterable[Vent]) -> Iterator[Finding]:
    groups = alike(vents)
    names = [name for one, _ in groups for name in one]
    if not names:
        return
    several = len(names) > 1
    says = f"{len(names)} tubes are closed at both ends by welds: {', '.join(names)}."
    yield Finding(
        "watch",
        "closed-tube",
        says if several else f"{names[0]} is a tube that is closed at both ends by welds.",
        "Shut-in air grows hot, blows the last of the weld out, and bursts the tube in an oven.",
        f"Drill {drilled(groups)}, before the last weld; or from the tube that it ends on into its bore.",
    )
