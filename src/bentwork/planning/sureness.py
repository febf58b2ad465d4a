"""How sure it is how far to pull and where the marks go, where that is known from, and what would make it surer."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bentwork.bending.advice import Advice
from bentwork.bending.doubts import Doubt
from bentwork.bending.known import Known
from bentwork.bending.learnt import Fit
from bentwork.bending.test_bend import TestBend
from bentwork.findings import Finding
from bentwork.forming.arc_used import arc_used
from bentwork.forming.die_bend import DieBend
from bentwork.piece.bend import Bend

__all__ = [
    "advice_for",
    "advice_words",
    "came_from",
    "doubt_head",
    "doubt_words",
    "mark_findings",
    "may_be_sure",
    "meant_angles",
    "springback_findings",
]

_READ_AGAIN = "Read it again while the bar is at hand; if it is right, say so (bentwork testbend --sure). "
_ABSURD = 8.0
"""A pull that rests on angles so many standard deviations away from all else that is known is not to be trusted."""

_MOVES = 0.5
"""Marks that move by less than this are not worth a word, mm: the width of a pencil line."""


def advice_for(what: Known, bends: Sequence[Bend]) -> Advice | None:
    """Return how many more test bends are worth making for these bends, and at which angle; None where none helps."""
    angles = sorted({bend.angle for bend in bends})
    return what.fit.advice(angles) if isinstance(what.fit, Fit) and angles else None


def came_from(what: Known) -> str:
    """Say where the springback is known from: ``from 3 test bends, the last on 2026-03-12``."""
    if what.source == "job":
        return f"from the job: pull {what.set_up.bender.springback:g} times the angle"
    if not isinstance(what.fit, Fit):
        return "not known"
    fit = what.fit
    if fit.from_handbook:
        return "from the handbook: make a test bend"
    if fit.count == 1:
        return f"from 1 test bend on {fit.last_made_on}"
    return f"from {fit.count} test bends, the last on {fit.last_made_on}"


def advice_words(advice: Advice) -> str:
    """Say what more test bends would bring."""
    if not advice.more or advice.angle is None:
        return f"More test bends would tell little: the pull is known within ± {advice.now:.1f}°."
    many = "One more test bend" if advice.more == 1 else f"{advice.more} more test bends"
    first = f" at {advice.angle:.0f}°" if advice.more == 1 else f", the next at {advice.angle:.0f}°,"
    return f"{many}{first} would narrow ± {advice.now:.1f}° to ± {advice.after:.1f}°."


def doubt_head(doubt: Doubt, unnumbered: str = "A test bend") -> str:
    """Say which test bend does not go with what; ``unnumbered`` is said of one that the workshop does not keep yet."""
    name = f"Test bend {doubt.bend.id}" if doubt.bend.id is not None else unnumbered
    if doubt.against == "others":
        return f"{name} does not go with the others{' and is left out' if doubt.left_out else ''}"
    aside = " and is set aside until it is read twice or another one confirms it" if doubt.left_out else ""
    counts = ", and counts all the same: it was read twice" if doubt.bend.sure and not doubt.left_out else ""
    return f"{name} does not go with the handbook{aside}{counts}"


def doubt_words(doubt: Doubt) -> str:
    """Say what a test bend disagrees with, and ask what may have gone wrong."""
    bend = doubt.bend
    asked = [] if bend.sure else [_ASK[cause.kind] for cause in doubt.causes[:2]]
    meant = meant_angles(doubt)
    if meant is not None:
        asked.insert(0, f"Did you mean {meant.pulled_deg:g}° pulled, {meant.left_deg:g}° left?")
    reading = {
        "angles": f"{bend.pulled_deg:g}° pulled, {bend.left_deg:g}° left",
        "legs": "its legs",
        "start": "where it starts",
    }[doubt.reading]
    than = "the handbook expects" if doubt.against == "handbook" else "the other test bends say"
    words = f"{reading}: {min(doubt.away, 99.0):.0f} times the usual scatter from what {than}."
    return f"{words} {' '.join(asked)}" if asked else words


def may_be_sure(doubt: Doubt) -> bool:
    """Tell whether it is set aside only until the maker has read it twice."""
    aside = doubt.left_out and doubt.against == "handbook" and doubt.reading == "angles"
    return aside and doubt.bend.id is not None and not doubt.bend.sure


def meant_angles(doubt: Doubt) -> TestBend | None:
    """Return the test bend with the angles that were likeliest meant; None where no misread angle explains it."""
    if doubt.reading != "angles" or doubt.bend.sure:
        return None
    angles = (doubt.bend.pulled_deg, doubt.bend.left_deg)
    read = [cause.corrected for cause in doubt.causes if cause.corrected is not None]
    return next((one for one in read if (one.pulled_deg, one.left_deg) != angles), None)


_ASK = {
    "pulled from the other side": "Was the pulled angle read from the other side of the gauge?",
    "left from the other side": "Was the angle left read from the other side of the gauge?",
    "both from the other side": "Were both angles read from the other side of the gauge?",
    "pulled out by 5 or 10": "Was the pulled angle misread by 5 or 10 degrees?",
    "left out by 5 or 10": "Was the angle left misread by 5 or 10 degrees?",
    "pulled digits swapped": "Are two digits of the pulled angle swapped?",
    "left digits swapped": "Are two digits of the angle left swapped?",
    "another batch": "Is it bar of another batch?",
    "legs changed over": "Are the two legs changed over?",
    "legs to the middle": "Were the legs measured to where their middles meet?",
    "legs to the outside": "Were the legs measured to the outside of the corner?",
}


def springback_findings(what: Known, bends: Sequence[Bend]) -> tuple[Finding, ...]:
    """Return what there is to say about the pull of bends, and about the test bends behind it.

    Args:
        what: is known of the bar on the bender.
        bends: all that the job makes of this bar on this bender, so that every piece is told the same.
    """
    if not bends or not isinstance(what.fit, Fit):
        return ()
    return (*_doubts(what.fit), *_source(what, what.fit, bends))


def _doubts(fit: Fit) -> Iterator[Finding]:
    for doubt in fit.doubts:
        sure = doubt.bend.sure and doubt.reading == "angles"
        absurd = doubt.reading == "angles" and doubt.away > _ABSURD and not (doubt.left_out or sure)
        again = _READ_AGAIN if may_be_sure(doubt) else ""
        yield Finding(
            "stop" if absurd else "watch",
            "test-bend-doubtful",
            f"{doubt_head(doubt)}.",
            doubt_words(doubt),
            f"{again}Make another one to settle it, or strike it out among the test bends (bentwork testbend "
            "--strike).",
        )


def _source(what: Known, fit: Fit, bends: Sequence[Bend]) -> Iterator[Finding]:
    bender = what.set_up.bender
    worst = max(bends, key=lambda bend: bend.angle)
    pull, ratio = fit.pull(worst.angle), bender.springback
    interval = f"{pull.low:.1f}° to {pull.high:.1f}° to leave {worst.angle:.1f}°"
    whose = "the handbook expects" if fit.from_handbook else f"your test bends say ({_which(fit)})"
    if ratio is not None:
        said = ratio * worst.angle
        if not pull.low <= said <= pull.high:
            yield Finding(
                "watch",
                "springback-doubtful",
                f"The springback that the job gives {bender.name} is not what {whose}.",
                f"By springback = {ratio:g} it is pulled to {said:.1f}°; {whose} {interval}.",
                "Make a test bend, or take the line out of the job: then the pull follows your test bends.",
            )
        return
    if fit.from_handbook:
        yield Finding(
            "watch",
            "springback-from-handbook",
            f"How far this bar springs back on {bender.name} is known from the handbook only.",
            f"It takes a pull of {interval}: no closer than that.",
            "Make a test bend in a piece of the same bar, and enter it among the test bends (bentwork testbend).",
        )
        return
    advice = advice_for(what, bends)
    yield Finding(
        "note",
        "springback-from-test-bends",
        f"How far this bar springs back on {bender.name} is known {came_from(what)}.",
        f"It takes a pull of {interval}, in 9 cases of 10.",
        advice_words(advice) if advice else "",
    )


def _which(fit: Fit) -> str:
    """Say which test bends it were."""
    return f"{fit.count}, the last on {fit.last_made_on}"


def mark_findings(what: Known, bends: Sequence[Bend]) -> Iterator[Finding]:
    """Say how far the marks of a piece would move, as long as no tape reading lets the plan move them."""
    if not bends or what.shift(bends[0].angle) is not None or not isinstance(what.on_die, DieBend):
        return
    bend, bender = what.on_die, what.set_up.bender
    if any(abs(one.radius - bender.radius) > 1e-3 for one in bends):
        return  # drawn to what is left, or to another die, which has its own finding
    shifts = [arc_used(bend, one.angle) for one in bends if bend.kept <= one.angle]
    if not shifts:
        return
    start = max((used.start_shift for used in shifts), key=abs)
    onward = sum(used.onward_shift for used in shifts)
    if max(abs(start), abs(onward)) < _MOVES:
        return
    yield Finding(
        "note",
        "bend-left-wider",
        "The bends that are left are wider than the die, and the marks are not moved for it.",
        "The handbook expects a centreline radius of {radius} from a die of {die}: "
        + ("a bend should start up to {start} earlier, and " if abs(start) >= _MOVES else "")
        + f"the piece comes out {{onward}} {'longer' if onward < 0.0 else 'shorter'} in all.",
        "Measure bar and legs of a test bend with a tape and enter them: then the marks move by what you measured.",
        lengths={
            "radius": bend.relaxed_radius,
            "die": bender.radius,
            "start": abs(start),
            "onward": abs(onward),
        },
    )
