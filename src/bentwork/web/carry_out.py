"""What a frame carries, as it goes over the wire."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from bentwork.carry.cases import LoadCase
from bentwork.carry.fasteners import BOLT_CLASSES
from bentwork.carry.fixing import Held
from bentwork.carry.joint import Joint
from bentwork.carry.limits import Limit
from bentwork.carry.proof import ProofLoad
from bentwork.carry.uses import USES
from bentwork.files.plan_json import findings_document
from bentwork.jobs.carried import Carried, proof
from bentwork.jobs.carried_seen import (
    Heat,
    SeenBar,
    exaggeration,
    heat_of,
    seen_bars,
    seen_motions,
    seen_tabs,
    straps_of,
)
from bentwork.jobs.carried_words import carries_words, gives_at_words
from bentwork.jobs.held import held
from bentwork.units import Ruler
from bentwork.web.carry_start import bolt_sizes, copies_of
from bentwork.web.wire import Change, FindingOut
from bentwork.web.wire_carry import (
    BarSeen,
    CarryOut,
    CaseOut,
    FixingSeen,
    GivesOut,
    JointsOut,
    MotionSeen,
    PayloadSeen,
    ProofOut,
    TabSeen,
)

__all__ = ["carry_out"]

_GIVES = 8
_MOST_TIMES = 3.0  # how many times the payload, or what it carries, the slider goes to


def carry_out(sum_of_file: str, data: Mapping[str, Any], found: Carried, wanted: float, case: int | None) -> CarryOut:
    """Return what a frame carries.

    Args:
        sum_of_file: of the job's text.
        data: of the job file, to say what a press of a button changes in it.
        found: what the frame carries.
        wanted: mass of the payload in the job, kg; 0 without one.
        case: number of the load case that is shown; None for the one in which something gives first.
    """
    ruler = found.job.ruler
    limits = found.verdict.limits
    names = [one.name for one in found.cases]
    first = limits.found[0].giving if limits and limits.found else ""
    shown = case if case is not None and 0 <= case < len(names) else names.index(first) if first in names else 0
    bars = seen_bars(found, shown)
    times = exaggeration(bars)
    tested = proof(found)
    return CarryOut(
        sum=sum_of_file,
        asked=True,
        says=_says(found, ruler),
        copies=copies_of(found.job),
        uses=list(USES),
        bolt_sizes=bolt_sizes(),
        bolt_classes=list(BOLT_CLASSES),
        start=[],
        enough=None if limits is None or found.structure.borne is None else limits.payload >= 1.0,
        findings=[FindingOut(**one) for one in findings_document(found.findings, ruler)],
        payload=_payload(found, wanted, ruler),
        case=shown,
        cases=_cases(found, ruler),
        gives=[_gives(found, one, ruler) for one in (limits.distinct if limits else ())[:_GIVES]],
        fixings=_fixings(found, ruler),
        joints=_joints(found, data, ruler),
        motions=[
            MotionSeen(
                says=one.says,
                axis_mm=[list(end) for end in one.axis] if one.axis else None,
                arrows_mm=[[list(a), list(b)] for a, b in one.arrows],
            )
            for one in seen_motions(found)
        ],
        bars=[_bar(one, ruler, reckoned=limits is not None) for one in bars],
        tabs=[
            TabSeen(
                name=one.name,
                piece=one.piece,
                half_mm=list(one.half),
                wide=list(one.wide),
                ends_mm=one.ends.round(2).tolist(),
                moves_mm=one.moves.round(4).tolist(),
            )
            for one in seen_tabs(found, bars)
        ],
        drawn_times=times,
        proof=_proof(tested, ruler) if tested else None,
    )


def _says(found: Carried, ruler: Ruler) -> str:
    verdict, borne = found.verdict, found.structure.borne
    if verdict.limits is None:
        return "What it carries cannot be reckoned yet."
    if borne is None:
        return f"The frame alone, {ruler.mass(found.structure.mass)}: the job has no payload."
    carries = carries_words(verdict.carries, ruler)
    frame = ruler.mass(found.structure.mass)
    return f"It carries {carries} with a safety of {found.load.rules.safety:g}; the frame weighs {frame}."


def _payload(found: Carried, wanted: float, ruler: Ruler) -> PayloadSeen | None:
    borne = found.structure.borne
    if borne is None:
        return None
    carries = found.verdict.carries
    most = _MOST_TIMES * max(wanted, 1.0)
    if math.isfinite(carries) and carries > 0.0:
        most = max(2.0 * wanted, min(1.5 * carries, 10.0 * wanted))
    return PayloadSeen(
        name=borne.payload.name,
        mass_kg=wanted,
        says=f"{borne.payload.name}, {ruler.load(borne.payload.mass, 4)}",
        tried_kg=borne.payload.mass,
        most_kg=round(max(most, borne.payload.mass), 1 if most < 50 else 0),
        centre_mm=list(borne.payload.centre),
        size_mm=list(borne.payload.size) if borne.payload.size else None,
        bears_mm=[list(at.place) for at in borne.bearings],
        straps_mm=[[list(a), list(b)] for a, b in straps_of(found.structure)],
    )


def _cases(found: Carried, ruler: Ruler) -> list[CaseOut]:
    limits = found.verdict.limits
    told = []
    for number, case in enumerate(found.cases):
        use = float(limits.use[:, number].max()) if limits else 0.0
        told.append(
            CaseOut(
                name=case.name,
                felt=_felt(case, ruler),
                source=case.source,
                most_used=f"{use:.0%}" if limits else "",
                moves=ruler.length(found.verdict.sags[number].mm) if limits else "",
                heat=heat_of(use),
            )
        )
    return told


def _felt(case: LoadCase, ruler: Ruler) -> str:
    times = "its weight" if case.down == 1.0 else f"{abs(case.down):g} times its weight"
    parts = [f"{times} {'down' if case.down >= 0.0 else 'up'}"]
    parts += [f"{abs(case.forward):g} of it {'forward' if case.forward > 0 else 'back'}"] if case.forward else []
    parts += [f"{abs(case.left):g} of it to the {'left' if case.left > 0 else 'right'}"] if case.left else []
    parts += [f"and a push of {ruler.force(math.hypot(*push.force))}" for push in case.pushes]
    return ", ".join(parts)


def _gives(found: Carried, one: Limit, ruler: Ruler) -> GivesOut:
    borne = found.structure.borne
    at = one.payload * borne.payload.mass if borne else math.inf
    return GivesOut(
        where=one.where,
        case=one.giving,
        used=f"{one.use:.0%}",
        gives_at=gives_at_words(at, ruler),
        heat=heat_of(one.use),
        at_mm=list(one.place),
    )


def _bar(one: SeenBar, ruler: Ruler, *, reckoned: bool) -> BarSeen:
    heats: list[Heat] = [heat_of(float(use)) for use in one.use]
    told = [
        f"{one.name}: {use:.0%} used, {stress:.0f} MPa, moves {ruler.length(float(move))}" if reckoned else one.name
        for use, stress, move in zip(one.use, one.stress, np.linalg.norm(one.moves, axis=1), strict=True)
    ]
    return BarSeen(
        name=one.name,
        piece=one.piece,
        half_mm=list(one.half),
        is_round=one.is_round,
        wide=one.wide.round(4).tolist(),
        places_mm=one.places.round(2).tolist(),
        moves_mm=one.moves.round(4).tolist(),
        heats=heats,
        told=told,
    )


def _fixings(found: Carried, ruler: Ruler) -> list[FixingSeen]:
    return [
        FixingSeen(
            name=one.fixing,
            at_mm=list(one.place),
            held=_held(asked),
            holds=f"{ruler.force(one.size)} ({one.case})" if one.case else "",
        )
        for one, asked in zip(held(found), found.structure.fixings, strict=True)
    ]


def _held(one: Held) -> str:
    moves, turns = one.fixing.stiffness[:3], one.fixing.stiffness[3:]
    if all(map(math.isinf, moves)):
        return "fixed" if all(map(math.isinf, turns)) else "pinned" if not any(turns) else "on springs"
    return "on springs"


def _joints(found: Carried, data: Mapping[str, Any], ruler: Ruler) -> list[JointsOut]:
    """Joints gathered by their two pieces, and by whether the job speaks of them."""
    bars = found.structure.bars
    groups: dict[tuple[str, str, str, bool], list[Joint]] = {}
    for joint in found.structure.joints:
        a, b = (bars[number].of for number in joint.touch.bars)
        groups.setdefault((a, b, joint.made, joint.confirmed), []).append(joint)
    told = []
    for (a, b, made, confirmed), joints in groups.items():
        places = f", {len(joints)} places" if len(joints) > 1 else ""
        widest = max(max(0.0, joint.touch.gap) for joint in joints)
        told.append(
            JointsOut(
                says=f"{a} and {b}{places}",
                pieces=[a, b],
                places_mm=[list(joint.touch.places[0]) for joint in joints],
                made=made,
                gap=f"gap {ruler.length(widest)}" if widest > 0.05 else "touching",
                confirmed=confirmed,
                changes={} if confirmed else _saying(a, b, data),
            )
        )
    return told


def _saying(a: str, b: str, data: Mapping[str, Any]) -> dict[str, list[Change]]:
    """Return what is written into the job file to say how two pieces are joined."""
    taken = data.get("joint", {})
    name = next(name for k in range(1, 1000) if (name := f"{a} {b}"[:50] + (f" {k}" if k > 1 else "")) not in taken)
    return {
        made: [Change(path=["joint", name], value={"pieces": [a, b], "made": made})]
        for made in ("welded", "bolted", "pinned", "none")
    }


def _proof(one: ProofLoad, ruler: Ruler) -> ProofOut:
    return ProofOut(
        load=f"{ruler.load(one.mass)} where the payload bears, for {one.minutes} minutes.",
        shortfall=""
        if one.proves
        else f"It does not prove {one.covers:g} times its weight: it would not come back from more.",
        sideways=one.pulls(ruler),
        readings=[
            f"{read.bar} at {ruler.point(read.place)}: goes down {ruler.length(read.sag)}" for read in one.readings
        ],
        look_at=[limit.where for limit in one.look_at],
        rejects=list(one.reasons(ruler)),
        cautions=list(one.cautions),
    )
