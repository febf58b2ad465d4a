"""What goes over the wire of what is to be bought. Lengths in mm, for drawing; texts are in the maker's units."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from bentwork.web.wire import FindingOut, Wire

__all__ = ["BuyOut", "GoodOut", "SawnBarOut", "SawnPieceOut", "StockCutOut"]


class GoodOut(Wire):
    """One line to buy; an empty price is one that is not known."""

    amount: str
    name: str
    why: str
    mass: str
    price: str


class SawnPieceOut(Wire):
    """One piece in a bar."""

    name: str
    length: str
    from_mm: float
    to_mm: float
    saw_at: str = Field(description="on a tape hooked to the sawn end")


class SawnBarOut(Wire):
    """Bars that are cut alike."""

    says: str
    cuts: str
    length_mm: float
    offcut: bool
    spans: list[SawnPieceOut]
    rest: str


class StockCutOut(Wire):
    """A stock: how good its plan is, and its bars; ``longest_mm`` is the scale of the drawing."""

    stock: str
    title: str
    says: str
    longest_mm: float
    bars: list[SawnBarOut]


class BuyOut(Wire):
    """Everything that is to be bought, and the frame on the scales where a weight was given."""

    sum: str
    mass_unit: Literal["kg", "lb"]
    goods: list[GoodOut]
    comes_to: list[str]
    stocks: list[StockCutOut]
    spares: list[str] = Field(description="spare lengths that are counted, in words")
    scales: list[str]
    scales_agree: bool
    findings: list[FindingOut]
