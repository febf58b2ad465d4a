"""What is the matter with the structure before anything is reckoned: loose pieces, no fixing, payload over nothing."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from bentwork.carry.bar import Bar
from bentwork.carry.bolt_faults import bolt_findings
from bentwork.carry.groups import Groups
from bentwork.carry.itself import itself_findings
from bentwork.carry.payload import borne_share
from bentwork.carry.sharp import sharp_findings
from bentwork.carry.structure import Structure
from bentwork.carry.tabs import TabOn
from bentwork.carry.thin import thin_findings
from bentwork.carry.touching import TOUCHES_WITHIN, touches
from bentwork.carry.unlike import unlike_findings
from bentwork.findings import Finding
from bentwork.space import Vec, distance
from bentwork.stock.material import joinable

__all__ = ["structure_findings"]

_NEARLY = 10.0
_THROUGH = 0.5  # of half a depth: copes and butted ends come this near, bars that pass do not


def structure_findings(structure: Structure) -> tuple[Finding, ...]:
    """Return everything that is the matter with the structure; without a ``stop`` it can be reckoned."""
    return (
        *_loose(structure),
        *_missing(structure),
        *_beside(structure),
        *itself_findings(structure),
        *_payload(structure),
        *_doubled(structure),
        *unlike_findings(structure),
        *sharp_findings(structure),
        *thin_findings(structure),
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
            "No other piece comes within {near} of its surface, and no fixing holds it.",
            "Move it, let a joint bridge a larger gap, or give it a fixing of its own.",
            piece=bars[first].of,
            lengths={"near": TOUCHES_WITHIN},
        )
        for first, names in loose.items()
    ]


def _missing(structure: Structure) -> list[Finding]:
    lost = structure.missing
    told = [
        (f"{a} is to be joined to itself.", "Name two pieces, or two copies of one (a joint is between two bars).")
        if a == b and sum(bar.of == a for bar in structure.bars) < 2
        else (
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
        if held.tab is None and held.away > 2.0 * bar.half_depth + TOUCHES_WITHIN:
            found.append(
                Finding(
                    "watch",
                    "fixing-beside-bar",
                    f"Fixing {held.fixing.name} stands {{away}} from the middle of {bar.name}.",
                    "It is taken to hold the nearest point of the bar.",
                    "Move it on to the bar, or put a tab with its hole there into the job ([tab.NAME]).",
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
                "A joint is taken for granted up to a gap of {near}.",
                "If they are welded there, say so with that gap; otherwise let it be.",
                piece=a.of,
                lengths={"gap": touch.gap, "near": TOUCHES_WITHIN, "at": touch.places[0]},
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
        why = (
            f"To hold it level one of the bearings would have to pull it down with {_share(lift.max())} of its weight."
        )
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
        apart = distance(*joint.touch.places)
        why = "Their centrelines come within {apart} of one another." if apart >= 0.05 else "Their centrelines cross."
        lengths: dict[str, float | Vec] = {"apart": apart, "at": joint.touch.places[0]}
        spot = joint.touch.places[0]
        found.append(Finding("watch", "pieces-in-one-another", says, why, do, piece=a.of, lengths=lengths, at=spot))
    return found


def _share(part: float) -> str:
    return f"{part:.0%}" if part >= 0.01 else "less than 1%"


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
    for stood in structure.tabs:
        tab, bar = stood.tab, structure.bars[stood.bar]
        if tab.welded and not joinable(tab.material, bar.material):
            unlike.setdefault(tab.name, _unlike_tab(tab, bar))
    return [*unlike.values(), *found]


def _unlike_tab(tab: TabOn, bar: Bar) -> Finding:
    return Finding(
        "stop",
        "not-to-be-welded",
        f"Tab {tab.name} is welded to {bar.name}, and {tab.material.group} is not welded to {bar.material.group}.",
        f"The tab is {tab.material.name}, {bar.of} is {bar.material.name}: the weld would be brittle.",
        "Make it of the metal of the bar, or bolt or clamp it on (welded = false); keep damp out between them.",
        piece=bar.of,
        at=tab.hole,
    )


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
