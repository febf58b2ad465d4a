"""``[finish]`` as pydantic sees it."""

from __future__ import annotations

from typing import Annotated

from bentwork.files.job_model import MOST, Table
from bentwork.files.job_values import Choice, Listed, Text, TextKind, YesNo
from bentwork.jobs.finish_asked import System

__all__ = ["FinishTable"]


class FinishTable(Table):
    """``[finish]``: what is put on the frame."""

    system: Annotated[System, Choice()] = "paint"
    colour: Annotated[str, TextKind("a colour in your own words, up to 80 characters", 80)] = ""
    two_pack: YesNo = False
    vented: YesNo = False
    galvanised: Annotated[tuple[Text, ...], Listed(f'up to {MOST} names of stocks, ["conduit", …]', 0, MOST)] = ()
