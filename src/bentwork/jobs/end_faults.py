"""What is the matter with ends on other bars: on a bend, into the bend before it, too flat, too deep, beside, short."""

from __future__ import annotations

import math

from bentwork.findings import Finding
from bentwork.jobs.endings import EndedBar, Ending
from bentwork.jobs.job import PieceSpec
from bentwork.parts.cope import SENSIBLE_ANGLE

__all__ = ["about_end"]

_SQUARISH = 60.0  # degrees: from here on it is not the angle that makes a tongue
_TYPED = 0.2  # mm: drawings are typed with a decimal or two
_LONG_TONGUE = 1.5  # times the thickness of the bar: from here on it is more than worth a note (common practice)


def about_end(one: EndedBar, ending: Ending, spec: PieceSpec) -> tuple[Finding, ...]:
    """Return what there is to say of an end; each sentence goes on from the name of the bar.

    Args:
        one: the bar.
        ending: its end.
        spec: the piece that it is a copy of.
    """
    piece = spec.name
    flat = _too_flat(one, ending, piece)
    deep = () if flat else _too_deep(ending, piece)
    bent = (*_into_bend(one, ending, piece), *_short(ending, spec)) if one.bent else ()
    return (*_in_a_bend(ending, piece), *flat, *deep, *_beside(ending, piece), *bent)


def _in_a_bend(ending: Ending, piece: str) -> tuple[Finding, ...]:
    if ending.bend is None:
        return ()
    says = f"meets {ending.onto} in bend {ending.bend} and not on a straight."
    why = "A bend is not quite where it was meant to be, and its inside has another shape than the template."
    do = "Move it to the straight, or leave the end long and file it to fit."
    return (Finding("watch", "end-meets-bend", says, why, do, piece=piece, at=ending.meeting.foot),)


def _too_flat(one: EndedBar, ending: Ending, piece: str) -> tuple[Finding, ...]:
    met = ending.meeting
    if met.angle >= SENSIBLE_ANGLE:
        return ()
    cut = met.cope.depth if ending.ends == "coped" else 2.0 * (met.plain.middle - met.plain.longest)
    foot = met.cope.thick / math.sin(math.radians(met.angle))
    none_left = cut > one.cut_length or (ending.side is not None and foot > ending.side_length)
    why = (
        f"The cut is {{cut}} long, {cut / met.cope.thick:.0f} times as long as the bar is thick, and it stands along "
        f"{{foot}} of the other: below {SENSIBLE_ANGLE:g} degrees nobody cuts a bar to meet another (common practice, "
        "no source). The template is drawn all the same."
    )
    if none_left:
        why = (
            "The cut is {cut} long and stands along {foot} of the other: longer than the bar is, or than the straight "
            "that it stands on. It lies beside the bar and does not end on it."
        )
    return (
        Finding(
            "stop" if none_left else "watch",
            "meets-too-flat",
            f"meets {ending.onto} at {met.angle:.0f} degrees, too flat to be cut to it.",
            why,
            "Let it meet more squarely, bend its end up to the other bar, or lay it alongside and weld both edges.",
            piece=piece,
            lengths={"cut": cut, "foot": foot},
            at=met.foot,
        ),
    )


def _too_deep(ending: Ending, piece: str) -> tuple[Finding, ...]:
    met = ending.meeting
    cope = met.cope
    if ending.ends != "coped" or cope.plane or cope.depth <= cope.thick + 1e-9:
        return ()
    why, do = f"It meets the other bar at {met.angle:.0f} degrees", "Let it meet more squarely"
    if met.angle >= _SQUARISH:
        why, do = "Its middle passes {offset} beside that of the other bar", "Bring the two middle lines together"
    return (
        Finding(
            "watch" if cope.depth > _LONG_TONGUE * cope.thick else "note",
            "cope-too-deep",
            "is coped {depth} deep, and the bar is {thick} thick.",
            f"{why}: the tongue is long and thin, and bends or burns through easily.",
            f"{do}, butt it, or weld from the thick part to the tip.",
            piece=piece,
            lengths={"depth": cope.depth, "thick": cope.thick, "offset": met.offset},
            at=met.foot,
        ),
    )


def _beside(ending: Ending, piece: str) -> tuple[Finding, ...]:
    cope = ending.meeting.cope
    if ending.ends != "coped" or not cope.wider:
        return ()
    return (
        Finding(
            "watch",
            "cope-beside-bar",
            f"is coped and reaches beside {ending.onto}.",
            "Its edge stands {beside} beyond the edge of the bar it sits on; what reaches beside it is cut off "
            "level with that bar's middle.",
            "Take a thinner bar, or bring the two middle lines together.",
            piece=piece,
            lengths={"beside": cope.beyond},
            at=ending.meeting.foot,
        ),
    )


def _into_bend(one: EndedBar, ending: Ending, piece: str) -> tuple[Finding, ...]:
    if not ending.into_bend or ending.bend is not None:
        return ()
    bend = 1 if ending.end == "A" else len(one.bar.line.table.bends)
    return (
        Finding(
            "watch",
            "cut-reaches-bend",
            f"is cut to sit on {ending.onto}, and the cut reaches into bend {bend}.",
            "It reaches {back} back along the bar, and the straight at the end is {room} long: a template does not lie "
            "round a bend, and the model leaves this end square.",
            "Make that straight longer, let the end meet the other bar more squarely, or file it to fit.",
            piece=piece,
            bend=bend,
            lengths={"back": max(ending.back, 0.0), "room": ending.room},
            at=ending.meeting.foot,
        ),
    )


def _short(ending: Ending, spec: PieceSpec) -> tuple[Finding, ...]:
    """A bent bar is as long as its plan: what its ends need more has to be in the trim."""
    short = -ending.spare
    if short <= spec.trim + _TYPED or ending.bend is not None:
        return ()
    if spec.modelled is not None and max(spec.modelled.beyond) > spec.trim + _TYPED:
        return ()  # told of the model
    return (
        Finding(
            "watch",
            "end-needs-trim",
            f"is drawn {{short}} short of its longest point on {ending.onto}, and the bar is cut {{trim}} longer on "
            "each end.",
            "The bend table and the marks are those of the piece as it is drawn.",
            "Give trim = {short} or more, or draw the end so much further; cut it to sit after bending.",
            piece=spec.name,
            lengths={"short": short, "trim": spec.trim},
            at=ending.meeting.foot,
        ),
    )
