"""Which papers there are, and what each is called; light, so that every face can know them before anything is set."""

from __future__ import annotations

from typing import Literal, get_args

__all__ = ["BOUND", "KINDS", "NAMES", "USUAL", "Kind"]

Kind = Literal[
    "sheets",
    "strips",
    "gauges",
    "full-size",
    "proof-load",
    "measuring",
    "small-parts",
    "brackets",
    "welding",
    "finish",
    "buying",
    "booklet",
    "benders",
]
KINDS: tuple[Kind, ...] = get_args(Kind)
USUAL: tuple[Kind, ...] = KINDS[:-2]
"""What is made unless something else is asked for: a bender is measured once, not with every frame, and the booklet
holds what the others do."""

BOUND: dict[Kind, str] = {
    "buying": "What to buy and to cut",
    "sheets": "The pieces",
    "brackets": "Brackets",
    "measuring": "What it must fit",
    "small-parts": "Small parts",
    "welding": "Welding",
    "finish": "Finish",
    "proof-load": "The proof load",
}
"""What the booklet holds, in the order of the work."""

NAMES: dict[Kind, str] = {
    "sheets": "shop-sheets.pdf",
    "strips": "marking-strips.pdf",
    "gauges": "angle-gauges.pdf",
    "full-size": "full-size.pdf",
    "proof-load": "proof-load.pdf",
    "measuring": "measuring.pdf",
    "small-parts": "small-parts.pdf",
    "brackets": "brackets.pdf",
    "welding": "welding.pdf",
    "finish": "finish.pdf",
    "buying": "buying-list.pdf",
    "booklet": "booklet.pdf",
    "benders": "benders.pdf",
}
"""Names of their files."""
