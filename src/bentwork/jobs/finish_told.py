"""The finish plan in words: the same for every face."""

from __future__ import annotations

from collections.abc import Iterator

from bentwork.jobs.closed_tubes import alike, vent_words
from bentwork.jobs.finish import FinishPlan, MetalFinish
from bentwork.parts.finishing import Care, FinishStep
from bentwork.parts.metals_touch import HOW_TO_PART
from bentwork.sheets.hot_cautions import (
    AT_THE_BATH,
    AT_THE_DUST,
    AT_THE_GRINDER,
    AT_THE_OVEN,
    AT_THE_PICKLE,
    AT_THE_SOLVENT,
    AT_THE_TWO_PACK,
    AT_THE_ZINC_BATH,
)
from bentwork.sheets.told_pages import ToldPart
from bentwork.units import Ruler

__all__ = ["finish_parts", "system_words"]

_CARE: dict[Care, tuple[str, ...]] = {
    "dust": AT_THE_GRINDER,
    "solvent": AT_THE_SOLVENT,
    "two-pack": AT_THE_TWO_PACK,
    "oven": AT_THE_OVEN,
    "bath": AT_THE_BATH,
    "pickling": AT_THE_PICKLE,
}
_SHEET = "Times are usual ones: the sheet of the paint itself goes before them, and all of it is of one maker's system."


def system_words(plan: FinishPlan) -> str:
    """Return what is put on: ``paint, slate grey``."""
    asked = plan.job.finish
    names = {
        "bare": "left bare",
        "paint": "paint",
        "powder": "powder from the oven",
        "anodised": "anodised",
        "galvanised": "hot-dip galvanised",
    }
    two = ", two-pack" if asked.two_pack and asked.system == "paint" else ""
    return names[asked.system] + two + (f", {asked.colour}" if asked.colour else "")


def finish_parts(plan: FinishPlan, ruler: Ruler) -> tuple[ToldPart, ...]:
    """Return the work in its order."""
    return tuple(part.in_shop(ruler) for part in _parts(plan, ruler))


def _parts(plan: FinishPlan, ruler: Ruler) -> Iterator[ToldPart]:
    yield ToldPart(f"Finish: {system_words(plan)}", (*_surfaces(plan, ruler), *_times(plan)))
    bath = plan.job.finish.system == "galvanised"
    plug = "" if bath else " Plug it at the end."
    vents = tuple(f"{', '.join(names)}: {vent_words(vent, ruler)}.{plug}" for names, vent in alike(plan.vents))
    if vents:
        yield ToldPart(
            "Vents in closed tubes, before any heat", vents, AT_THE_ZINC_BATH if bath else AT_THE_OVEN, ticks=True
        )
    told: set[str] = set()
    for metal in plan.metals:
        if metal.steps:
            yield _steps(plan, metal, told, ruler)
    ways = dict.fromkeys(mask.how for mask in plan.masks)
    bare = tuple(f"{'; '.join(m.what for m in plan.masks if m.how == how)}: {how}." for how in ways)
    if bare:
        yield ToldPart("Threads and faces, after the bath" if bath else "Mask before the first coat", bare, ticks=True)
    apart = tuple(f"{one.where[:1].upper()}{one.where[1:]}: {one.eaten} touches {one.by}." for one in plan.touching)
    if apart:
        yield ToldPart("Keep metals apart when it is put together", (*apart, HOW_TO_PART), ticks=True)


def _surfaces(plan: FinishPlan, ruler: Ruler) -> Iterator[str]:
    if not plan.job.finish.said:
        yield "The job has no [finish]: paint is taken."
    each = [
        f"{one.name} {ruler.surface(one.each)}" + (f" × {one.count}" if one.count > 1 else "") for one in plan.surfaces
    ]
    tabs = [f"tabs {ruler.surface(plan.tabs)}"] if plan.tabs > 0.0 else []
    yield f"Outside of it all: {ruler.surface(plan.surface)} ({', '.join([*each, *tabs])})."
    for coat in plan.coats:
        loss = "" if coat.loss == 0.0 else f", {coat.loss:.0%} of it lost past thin bars"
        amount = ruler.liquid(coat.litres(plan.surface))
        many = f"{coat.coats} {'coat' if coat.coats == 1 else 'coats'}"
        yield f"{coat.name}: {many}, {amount} at {ruler.coverage(coat.coverage)}{loss}."


def _times(plan: FinishPlan) -> Iterator[str]:
    if any(step.coat for metal in plan.metals for step in metal.steps):
        yield _SHEET


def _steps(plan: FinishPlan, metal: MetalFinish, told: set[str], ruler: Ruler) -> ToldPart:
    """The steps of a metal; a caution is said the first time it is needed on the page."""
    lines = tuple(_line(step, plan) for step in metal.steps)
    cautions = []
    for care in dict.fromkeys(care for step in metal.steps for care in step.care):
        for caution in AT_THE_DUST if care == "dust" and metal.group == "aluminium" else _CARE[care]:
            if caution not in told:
                cautions.append(caution)
                told.add(caution)
    name = f"{metal.group}, galvanised" if metal.zinc else metal.group
    title = f"{name.capitalize()}: {', '.join(metal.pieces)}, {ruler.surface(metal.surface)}"
    return ToldPart(title, lines, tuple(cautions), numbered=True)


def _line(step: FinishStep, plan: FinishPlan) -> str:
    coats = ""
    if step.coat and plan.coats:
        mine = plan.coats[:1] if step.coat == 1 and len(plan.coats) > 1 else plan.coats[1:] if step.coat == 2 else ()
        many = sum(coat.coats for coat in mine)
        coats = f" {many} {'coat' if many == 1 else 'coats'}." if many else ""
    wait = f" Then: {step.wait}." if step.wait else ""
    return f"{step.words}{coats}{wait}"
