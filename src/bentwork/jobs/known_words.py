"""What is known of a bar on a bender, in words that every face says alike."""

from __future__ import annotations

from bentwork.bending.doubts import Doubt
from bentwork.bending.known import Known
from bentwork.bending.learnt import Fit, Measured
from bentwork.jobs.trial import Trial
from bentwork.planning.sureness import came_from, doubt_head, doubt_words
from bentwork.units import Ruler, angle

__all__ = ["HOW_TO_READ", "doubt_line", "known_line", "nothing_left", "size_lines", "trial_line"]

HOW_TO_READ = "Read the angle before and after, and both legs, to where their outsides would meet."


def known_line(what: Known) -> str:
    """Say where the pull is known from, as a sentence."""
    return f"How far to pull is known {came_from(what)}."


def nothing_left(what: Known) -> str | None:
    """Say that nothing of a bend is left; None where something is."""
    return None if isinstance(what.fit, Fit) else "On this die nothing of a bend is left; the findings say why."


def size_lines(fit: Fit, ruler: Ruler) -> tuple[str, ...]:
    """Say springback, radius, start and bar drawn in, a line each; ± is two standard deviations."""

    def told(what: Measured) -> str:
        return f"{ruler.length(what.mean)} ± {ruler.length(2.0 * what.sd)}"

    law = fit.law
    springback = (
        f"springback {law.fixed.mean:.1f}° ± {2 * law.fixed.sd:.1f}° and {law.proportional.mean:.3f} ± "
        f"{2 * law.proportional.sd:.3f} for each degree that is left"
    )
    if not fit.taped:
        return (springback, "radius and marks: not measured; bar, mark and both legs of a test bend would tell")
    where = "behind" if fit.start.mean >= 0.0 else "before"
    off = f"{ruler.length(abs(fit.start.mean))} ± {ruler.length(2.0 * fit.start.sd)}"
    return (
        springback,
        f"radius that is left {told(fit.radius)}, to the middle of the bar",
        f"the bend starts {off} {where} what the tool is set to",
        f"legs together, to the corner, are {told(fit.drawn_in)} longer than the bar at 90°",
    )


def doubt_line(doubt: Doubt) -> str:
    """Say what is odd about a test bend, as one line."""
    return f"{doubt_head(doubt, 'This test bend')}: {doubt_words(doubt)}"


def trial_line(trial: Trial, ruler: Ruler) -> str:
    """Say which test bend to make next."""
    return (
        f"Next test bend: saw {ruler.tape(trial.bar)} {ruler.units} of the same bar, mark it at "
        f"{ruler.tape(trial.mark)} from the end you hold, pull to {angle(trial.pull)}, let go."
    )
