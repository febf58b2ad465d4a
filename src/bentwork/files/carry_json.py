"""What a frame carries as JSON: keys carry their unit, and what is not known is null."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from bentwork.carry.braces import Brace, Bracing
from bentwork.carry.limits import Limit
from bentwork.carry.proof import ProofLoad
from bentwork.files.plan_json import FORMAT, findings_document
from bentwork.jobs.carried import Carried, helps, proof
from bentwork.jobs.held import held
from bentwork.jobs.what_if import Try, WhatIf, stock_keys
from bentwork.sheets.stock_words import section_words
from bentwork.units import Ruler

__all__ = ["carry_document", "what_if_document"]

_LIMITS = 12


def carry_document(found: Carried | None, name: str, version: str, ruler: Ruler) -> dict[str, Any]:
    """Return what ``carry --json`` prints; a job that says nothing of a load has ``asked`` false and nothing else.

    Args:
        found: what its frame carries; None where it says nothing of it.
        name: of the job.
        version: of the job.
        ruler: the maker's units, for findings.
    """
    head: dict[str, Any] = {"format": FORMAT, "job": name, "version": version, "asked": found is not None}
    if found is None:
        return {**head, "findings": []}
    verdict, structure = found.verdict, found.structure
    borne = structure.borne
    return {
        **head,
        "findings": findings_document(found.findings, ruler),
        "use": found.load.use,
        "safety": found.load.rules.safety,
        "reckoned": verdict.analysed is not None,
        "frame_mass_kg": structure.mass,
        "payload_mass_kg": borne.payload.mass if borne else None,
        "carries_kg": _finite(verdict.carries) if verdict.limits is not None and borne else None,
        "cases": [
            {
                "name": case.name,
                "down": case.down,
                "forward": case.forward,
                "left": case.left,
                "pushes_n": [list(push.force) for push in case.pushes],
                "source": case.source,
            }
            for case in found.cases
        ],
        "first_to_give": [_limit(one) for one in (verdict.limits.distinct if verdict.limits else ())[:_LIMITS]],
        "moves": [
            {"case": sag.case, "by_mm": sag.mm, "bar": sag.bar, "at_mm": list(sag.place)} for sag in verdict.sags
        ],
        "buckling": [{"case": one.case, "times_the_load": _finite(one.factor)} for one in verdict.buckling],
        "frequencies_hz": [mode.frequency for mode in verdict.modes],
        "reactions": _reactions(found),
        "joints": _joints(found),
        "motions": [
            {
                "bars": [structure.bars[bar].name for bar in motion.bars],
                "turns": motion.turns,
                "direction": list(motion.direction),
                "through_mm": list(motion.through),
            }
            for motion in verdict.motions
        ],
        "road": found.road.name if found.road else None,
        "lasting": [
            {"where": one.where, "detail": one.kind, "stress_range_mpa": one.stress_range, "km": _finite(one.km)}
            for one in found.lasting[:_LIMITS]
        ],
        "helps": [
            {
                "change": one.change.words,
                "gain": _finite(one.gain),
                "grams": one.grams,
                "first_to_give": one.first,
                "braces": [_brace(one.change.bracing, brace) for brace in one.change.bracing.braces]
                if one.change.bracing
                else [],
            }
            for one in helps(found)
        ],
        "proof_load": _proof(proof(found)),
    }


def what_if_document(found: WhatIf | None, ruler: Ruler) -> dict[str, Any] | None:
    """Return the table of ``carry --what-if --json``; null where the frame cannot be reckoned."""
    if found is None:
        return None
    return {
        "stock": found.stock.name,
        "pieces": list(found.pieces),
        "tries": [_try(one, found.mass, ruler) for one in found.tries],
    }


def _try(one: Try, mass: float, ruler: Ruler) -> dict[str, Any]:
    variant, bender = one.found.variant, one.found.bender
    keys: Mapping[str, str | float] = stock_keys(variant.section, variant.material)
    return {
        "section": keys["section"],
        **{f"{name}_mm": size for name, size in keys.items() if name not in ("section", "material")},
        "material": keys["material"],
        "radius_mm": variant.radius,
        "says": f"{section_words(variant.section, ruler)}, {variant.material.name}",
        "frame_mass_kg": one.found.mass,
        "carries_kg": _finite(one.found.payload * mass) if mass else None,
        "moves_mm": one.found.moves,
        "bends": bender.bends,
        "lever_force_n": bender.lever_force,
        "springback_deg": bender.springback,
        "springback_from": None if bender.springback is None else bender.known_from,
        "price": bender.price,
        "best": one.best,
        "now": one.now,
        "findings": findings_document(one.about, ruler),
    }


def _limit(one: Limit) -> dict[str, Any]:
    return {
        "what": one.what,
        "where": one.where,
        "at_mm": list(one.place),
        "case": one.case,
        "used": one.use,
        "stress_mpa": one.stress or None,
        "gives_at_times_the_payload": _finite(one.payload),
        "gives_in": one.giving,
        "throat_mm": one.throat or None,
    }


def _reactions(found: Carried) -> list[dict[str, Any]]:
    """What every fixing puts on the frame in the case in which it has to push or pull most."""
    if found.verdict.analysed is None:
        return []
    return [
        {
            "fixing": one.fixing,
            "bar": one.bar,
            "at_mm": list(one.place),
            "case": one.case,
            "largest_n": one.size,
            "force_n": list(one.force),
            "moment_nm": list(one.moment),
        }
        for one in held(found)
    ]


def _joints(found: Carried) -> list[dict[str, Any]]:
    bars = found.structure.bars
    return [
        {
            "bars": [bars[number].name for number in joint.touch.bars],
            "pieces": [bars[number].of for number in joint.touch.bars],
            "at_mm": list(joint.touch.places[0]),
            "gap_mm": max(0.0, joint.touch.gap),
            "made": joint.made,
            "confirmed": joint.confirmed,
        }
        for joint in found.structure.joints
    ]


def _brace(of: Bracing, one: Brace) -> dict[str, Any]:
    keys = stock_keys(one.bar.section, one.bar.material)
    return {
        "section": keys["section"],
        **{f"{name}_mm": size for name, size in keys.items() if name not in ("section", "material")},
        "material": keys["material"],
        "length_mm": one.bar.length,
        "points_mm": [list(one.bar.line.start.origin), list(one.bar.line.end.origin)],
        "ends": [
            {"bar": of.structure.bars[spot.bar].name, "from_a_mm": spot.station, "at_mm": list(spot.place)}
            for spot in one.ends
        ],
    }


def _proof(one: ProofLoad | None) -> dict[str, Any] | None:
    if one is None:
        return None
    return {
        "mass_kg": one.mass,
        "times_the_payload": one.factor,
        "covers_times_its_weight": one.covers,
        "proves": one.proves,
        "minutes": one.minutes,
        "bears_at_mm": [list(place) for place in one.bearing],
        "sideways_n": one.sideways,
        "forward_n": one.forward,
        "back_n": one.back,
        "readings": [{"bar": read.bar, "at_mm": list(read.place), "goes_down_mm": read.sag} for read in one.readings],
        "look_at": [limit.where for limit in one.look_at],
        "may_stay_mm": one.may_stay,
        "reject_when": list(one.reasons(Ruler())),
        "cautions": list(one.cautions),
    }


def _finite(number: float) -> float | None:
    return number if math.isfinite(number) else None
