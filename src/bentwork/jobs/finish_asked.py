"""What a job says of its finish."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

__all__ = ["FinishAsked", "System"]

System = Literal["bare", "paint", "powder", "anodised", "galvanised"]


@dataclass(frozen=True, slots=True)
class FinishAsked:
    """The finish as it is asked for.

    Args:
        system: bare metal, brushed or sprayed paint, powder from an oven, anodised, hot-dip galvanised.
        colour: the maker's own words.
        two_pack: the paint hardens with an isocyanate.
        galvanised: names of stocks that are bought coated with zinc.
        vented: every closed tube has its holes.
        said: the job has a ``[finish]``.
    """

    system: System = "paint"
    colour: str = ""
    two_pack: bool = False
    galvanised: tuple[str, ...] = ()
    vented: bool = False
    said: bool = False
