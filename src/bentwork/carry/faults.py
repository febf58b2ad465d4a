"""What is the matter with the structure before anything is reckoned: loose pieces, no fixing, payload over nothing."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from bentwork.carry.bar import Bar
from bentwork.carry.bolt_faults import bolt_findings
from bentwork.carry.groups import Groups
from bentwork.carry.payload import borne_share
from bentwork.carry.structure import Structure
from bentwork.carry.touching import TOUCHES_WITHIN, touches
from bentwork.findings import Finding
from bentwork.space import Vec, distance
from bentwork.stock.material import joinable

__all__ = ["structure_findings"]

_NEARLY = 10.0
_THROUGH = 0.5  # of half a depth: copes and butted ends come this near, bars that pass do not
_UNLIKE = 1e7


def structure_findings(structure: Structure) -> tuple[Finding, ...]:
    """Return everything that is the matter with the structure; without a ``stop`` it can be reckoned."""
    return (
        *_loose(structure),
        *_missing(structure),
        *_beside(structure),
        *_payload(structure),
        *_doubled(structure),
        *_unlike(structure),
        *_unwelded(structure),
        *bolt_findings(structure),
        *_joints(structure),
    )


def _loose(structure: Structure) -> list[Finding]:
    bars = structure.bars
    if not structure.fixings:
        return [
            Finding(
                "stop",
                "no-fixing",
                "Nothing holds the frame.",
                "Without a fixing it has nothing to put its load on.",
                "Say where it is fitted to what carries it.",
            )
        ]
    groups = Groups(len(bars))
    for joint in structure.joints:
        groups.join(*joint.touch.bars)
    held = {groups.of(fixing.bar) for fixing in structure.fixings}
    loose: dict[int, list[str]] = {}
    for number, bar in enumerate(bars):
        if groups.of(number) not in held:
            loose.setdefault(groups.of(number), []).append(bar.name)
    return [
        Finding(
            "stop",
            "piece-loose",
            f"{' and '.join(names)}: joined to nothing that is held.",
            f"No other piece comes within {TOUCHES_WITHIN:g} mm of its surface, and no fixing holds it.",
            "Move it, let a joint bridge a larger gap, or give it a fixing of its own.",
            piece=bars[first].of,
        )
        for first, names in loose.items()
    ]


def _missing(structure: Structure) -> list[Finding]:
    lost = structure.missing
    told = [
        (
            f"{a} and {b} are to be joined but do not come near enough.",
            "Let the joint bridge a larger gap, or move one.",
        )
        for a, b in (ask.pieces for ask in lost.joints if ask.made is not None)
    ]
    told += [
        (f"Fixing {one.name} holds {one.piece}, which is no piece of the frame.", "Name one.") for one in lost.fixings
    ]
    told += [(f"A strap is hooked to {one.piece}, which is no piece of the frame.", "Name one.") for one in lost.straps]
    told += [(f"The payload lies on {name}, which is no piece of the frame.", "Name one.") for name in lost.bearing]
    found = [Finding("stop", "asked-for-but-not-there", says, "", do) for says, do in told]
    for held in structure.fixings:
        bar = structure.bars[held.bar]
        if held.away > 2.0 * bar.half_depth + TOUCHES_WITHIN:
            found.append(
                Finding(
                    "watch",
                    "fixing-beside-bar",
                    f"Fixing {held.fixing.name} stands {{away}} from the middle of {bar.name}.",
                    "It is taken to hold the nearest point of the bar.",
                    "Move it on to the bar, or draw the tab between them as a piece.",
                    piece=bar.of,
                    lengths={"away": held.away},
                    at=held.fixing.at,
                )
            )
    return found


def _beside(structure: Structure) -> list[Finding]:
    """Ends that nearly touch a bar but are not joined to it."""
    joined = {tuple(sorted(joint.touch.bars)) for joint in structure.joints}
    found = []
    for touch in touches(structure.bars, TOUCHES_WITHIN + _NEARLY):
        if touch.gap <= TOUCHES_WITHIN or tuple(sorted(touch.bars)) in joined or not any(touch.ends):
            continue
        a, b = (structure.bars[k] for k in touch.bars)
        found.append(
            Finding(
                "watch",
                "bars-nearly-touch",
                f"{a.name} and {b.name} come within {{gap}} of one another and are not joined.",
                f"A joint is taken for granted up to a gap of {TOUCHES_WITHIN:g} mm.",
                "If they are welded there, say so with that gap; otherwise let it be.",
                piece=a.of,
                lengths={"gap": touch.gap, "at": touch.places[0]},
                at=touch.places[0],
            )
        )
    return found


def _payload(structure: Structure) -> list[Finding]:
    borne = structure.borne
    if borne is None:
        return []
    name = borne.payload.name
    if not borne.bearings:
        return [
            Finding(
                "stop",
                "payload-over-nothing",
                f"The {name} lies on nothing.",
                "No bar is named that bears it, or none of them has a level straight.",
                "Name the pieces it lies on, or the places where it bears.",
                at=borne.payload.centre,
            )
        ]
    up = np.array(structure.directions.up)
    share, unheld = borne_share(borne, -up)
    lift = share @ up
    if unheld:
        why = "It bears in a line or on a point, and its centre is not over that."
    elif lift.max() > 1e-9:
        why = f"To hold it level one of the bearings would have to pull it down with {lift.max():.0%} of its weight."
    else:
        return []
    if structure.straps and not unheld:
        return []
    return [
        Finding(
            "stop",
            "payload-tips",
            f"The {name} tips over the edge of what bears it.",
            why,
            "Move it, bear it further out, or strap it down.",
            lengths={"centre": borne.payload.centre},
            at=borne.payload.centre,
        )
    ]


def _doubled(structure: Structure) -> list[Finding]:
    """Bars that stand in the same place, or run through one another."""
    found = []
    told: set[tuple[int, int]] = set()
    for joint in structure.joints:
        a, b = (structure.bars[k] for k in joint.touch.bars)
        if distance(*joint.touch.places) > _THROUGH * min(a.half_depth, b.half_depth) or joint.touch.bars in told:
            continue
        same = [o for o in structure.joints if o.touch.bars == joint.touch.bars and all(o.touch.ends)]
        if len(same) > 1 and abs(a.length - b.length) < 1.0:
            says, do = f"{a.name} and {b.name} stand in the same place.", "Take one away, or shift it."
        elif not any(joint.touch.ends):
            says, do = f"{a.name} and {b.name} run through one another at {{at}}.", "Move one, or cut it there."
        else:
            continue
        told.add(joint.touch.bars)
        why = "Their centrelines come within {apart} of one another."
        lengths: dict[str, float | Vec] = {"apart": distance(*joint.touch.places), "at": joint.touch.places[0]}
        spot = joint.touch.places[0]
        found.append(Finding("watch", "pieces-in-one-another", says, why, do, piece=a.of, lengths=lengths, at=spot))
    return found


def _unlike(structure: Structure) -> list[Finding]:
    """Bars so unlike in stiffness that the answer says little about the soft one."""
    stiff = [
        (bar.material.elastic_modulus.value * bar.section.bending("easy").second_moment / bar.length**3, bar)
        for bar in structure.bars
    ]
    if not stiff:
        return []
    softest, stiffest = min(stiff, key=lambda item: item[0]), max(stiff, key=lambda item: item[0])
    if stiffest[0] <= _UNLIKE * softest[0]:
        return []
    return [
        Finding(
            "watch",
            "stiffness-far-apart",
            f"{stiffest[1].name} is {stiffest[0] / softest[0]:.0e} times as stiff as {softest[1].name}.",
            "One of them is as good as rigid or as good as nothing: a size may be typed wrong.",
            "Check the sections and lengths of both.",
            piece=softest[1].of,
        )
    ]


def _unwelded(structure: Structure) -> list[Finding]:
    named: Sequence[str] = ()
    found = []
    unlike: dict[str, Finding] = {}
    for joint in structure.joints:
        one, other = (structure.bars[number] for number in joint.touch.bars)
        if joint.made == "welded" and not joinable(one.material, other.material):
            words = joint.words(structure.bars)
            unlike.setdefault(words, _unlike_metals(words, one, other, joint.touch.places[0]))
        for number in joint.touch.bars if joint.made == "welded" else ():
            bar = structure.bars[number]
            if not bar.material.weldable and bar.of not in named:
                named = (*named, bar.of)
                found.append(
                    Finding(
                        "stop",
                        "not-to-be-welded",
                        f"{bar.of} is welded, and a load-carrying frame is not welded from {bar.material.name}.",
                        bar.material.weld_note or "No strength beside a weld is known for it.",
                        "Bolt it, or choose another metal.",
                        piece=bar.of,
                    )
                )
    return [*unlike.values(), *found]


def _unlike_metals(words: str, one: Bar, other: Bar, at: Vec) -> Finding:
    return Finding(
        "stop",
        "not-to-be-welded",
        f"{words} are taken for welded, and {one.material.group} is not welded to {other.material.group}.",
        f"{one.of} is {one.material.name}, {other.of} is {other.material.name}: the weld would be brittle.",
        'Bolt or clamp them and say so of the joint (made = "bolted"); keep damp out between them.',
        piece=one.of,
        at=at,
    )


def _joints(structure: Structure) -> list[Finding]:
    open_joints = [joint for joint in structure.joints if not joint.confirmed]
    guessed = [joint.words(structure.bars) for joint in open_joints]
    if not guessed:
        return []
    return [
        Finding(
            "note",
            "joints-to-confirm",
            f"Taken for welded because the bars touch: {len(guessed)} joint{'' if len(guessed) == 1 else 's'}.",
            "; ".join(guessed) + ".",
            "Confirm them, or say which are bolted or only pass one another.",
            at=open_joints[0].touch.places[0],
        )
    ]
