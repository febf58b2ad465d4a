"""A piece that is a bar of a CAD model: what a job asks for, what comes back, and what there is to say about it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from bentwork.findings import Finding
from bentwork.piece.centreline import Centreline
from bentwork.space import Vec
from bentwork.stock.bar import Stock
from bentwork.stock.section import Section
from bentwork.stock.shape import Way
from bentwork.units import Units

__all__ = ["ModelPart", "ModelReader", "Modelled", "model_findings"]

_SIZES = ("diameter", "width", "height", "wall", "corner_radius")
_AS_SOLD = 0.05
"""A model of a bar and the bar itself may differ by this much, mm: a 1 in tube is drawn as 25.4, or as 25.40."""
_A_SAW_CUT = 0.01
"""A cut that reaches beyond by less is square, mm."""


@dataclass(frozen=True, slots=True)
class ModelPart:
    """Which bar of which model.

    Args:
        file: as it is written in the job.
        solid: its number in the model, from 1.
        member: which bar of a solid that is several, from 1; None for a solid that is one.
        radius: centreline radius of the sharp corners of a drawing or a table, mm.
        units: of drawings and tables that name none.
    """

    file: str
    solid: int
    member: int | None = None
    radius: float | None = None
    units: Units = "mm"


@dataclass(frozen=True, slots=True)
class Modelled:
    """A bar as a model shows it.

    Args:
        of: which it is, in words: ``solid 3 of frame.step``.
        line: its bend table, where it stands in the model.
        section: None where the model has lines only.
        way: it is bent, where that makes a difference.
        curve: its bends are arcs near a free curve.
        deviation: farthest that the model lies from them, mm.
        beyond: how far the cuts of end A and B reach beyond the end of the middle, mm.
        code: short code of the model's bytes.
    """

    of: str
    line: Centreline
    section: Section | None = None
    way: Literal["easy", "hard", "both"] | None = None
    curve: bool = False
    deviation: float = 0.0
    beyond: tuple[float, float] = (0.0, 0.0)
    code: str = ""


ModelReader = Callable[[ModelPart], Modelled]
"""Gives the bar of a model; raises ``InputError`` whose faults stand at the keys of the part (file, solid, ...)."""


def model_findings(modelled: Modelled, stock: Stock, trim: float, way: Way) -> tuple[Finding, ...]:
    """Return what is to be said of a piece because it comes from a model."""
    found = (
        _other_bar(modelled, stock.section),
        _curve(modelled),
        _both_ways(modelled, way),
        _beyond(modelled, trim),
    )
    return tuple(finding for finding in found if finding is not None)


def _other_bar(modelled: Modelled, section: Section) -> Finding | None:
    drawn = modelled.section
    if drawn is None or not _differ(drawn, section):
        return None
    lengths: dict[str, float | Vec] = {}
    words = [_words(name, one, lengths) for name, one in (("model", drawn), ("stock", section))]
    return Finding(
        "watch",
        "model-of-other-bar",
        f"{_capital(modelled.of)} is {words[0]}; the stock of the piece is {words[1]}.",
        "Lengths and angles are those of the middle of the bar, as it is drawn. What the piece sits on, against or in "
        "was drawn for the other bar.",
        "Change the stock, or draw the model with the bar that you bend.",
        lengths=lengths,
    )


def _differ(drawn: Section, section: Section) -> bool:
    if drawn.kind != section.kind:
        return True
    sizes = [(getattr(drawn, name, 0.0), getattr(section, name, 0.0)) for name in _SIZES[:-1]]
    corners = getattr(drawn, "corner_radius", 0.0), getattr(section, "corner_radius", 0.0)
    known = [corners] if min(corners) > 0.0 else []  # 0 also says: not known
    return any(abs(a - b) > _AS_SOLD for a, b in (*sizes, *known))


def _words(name: str, section: Section, lengths: dict[str, float | Vec]) -> str:
    """Return a section in words, its sizes as templates."""
    told = []
    for size in _SIZES[:-1]:
        value = getattr(section, size, None)
        if value is not None:
            lengths[f"{name}_{size}"] = value
            told.append(f"{{{name}_{size}}}")
    return f"{section.kind.replace('-', ' ')} {' × '.join(told)}"


def _curve(modelled: Modelled) -> Finding | None:
    if not modelled.curve:
        return None
    bends = len(modelled.line.table.bends)
    return Finding(
        "watch",
        "model-is-a-curve",
        f"{_capital(modelled.of)} is a free curve; the piece is {'the arc' if bends == 1 else f'the {bends} arcs'} "
        "nearest to it.",
        "The curve lies up to {deviation} beside.",
        "Draw straights and arcs of the radii that your benders make, where it has to fit.",
        lengths={"deviation": modelled.deviation},
    )


def _both_ways(modelled: Modelled, way: Way) -> Finding | None:
    if modelled.way != "both":
        return None
    return Finding(
        "watch",
        "model-bent-both-ways",
        f"{_capital(modelled.of)} is bent the easy way in some bends and the hard way in others; all are planned as "
        f"bent the {way} way.",
        "Moments, springback and what the metal takes are right for those bends alone.",
        "Take the pulls of the others from test bends.",
    )


def _beyond(modelled: Modelled, trim: float) -> Finding | None:
    short = [(side, far) for side, far in zip("AB", modelled.beyond, strict=True) if far > trim + _A_SAW_CUT]
    if not short:
        return None
    ends = " and ".join(f"end {side}" for side, _ in short)
    return Finding(
        "watch",
        "model-cut-reaches-beyond",
        f"The slanting cut of {ends} reaches {{beyond}} beyond the end of the middle, and the bar is cut "
        "{trim} longer on each end.",
        f"{_capital(modelled.of)} is measured along its middle: the long point of a mitre is longer.",
        "Give trim = {beyond} or more; cut the slant after bending.",
        lengths={"beyond": max(far for _, far in short), "trim": trim},
    )


def _capital(words: str) -> str:
    # Names of files are the maker's: braces in them are no places for lengths.
    return (words[:1].upper() + words[1:]).replace("{", "(").replace("}", ")")
