"""Papers and files for other programs, over the wire."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from bentwork.files.paper_kinds import KINDS, Kind
from bentwork.web.wire import Wire

__all__ = ["ModelFile", "ModelsOut", "PaperOut", "PapersOut", "PapersSaved", "PapersToSave", "Size"]

Size = Literal["a4", "letter"]
ModelKind = Literal["step", "dxf", "stl", "glb", "csv", "svg"]


class PapersOut(Wire):
    """What is to be known before anything is set."""

    sum: str = Field(description="of the job file")
    size: Size = Field(description="the usual one for the units of the job")
    folder: str = Field(description="name of the folder beside the job that papers are saved into")
    cautions: list[str]
    stops: list[str] = Field(description="what stops the job; empty where nothing does")


class PageOut(Wire):
    """How large a page is."""

    width_mm: float
    height_mm: float


class PaperOut(Wire):
    """A paper that was set."""

    kind: Kind
    file: str
    pages: list[PageOut] = Field(description="none where nothing would be on it")


class PapersToSave(Wire):
    """Which papers to write beside the job, and which files of the maker's own may go."""

    size: Size
    kinds: list[Kind] = Field(min_length=1, max_length=len(KINDS))
    replace: list[str] = Field(default=[], max_length=8)


class PapersSaved(Wire):
    """What was written; nothing at all as long as a file of the maker's own stands in the way."""

    folder: str
    written: list[str]
    in_the_way: list[str]


class ModelFile(Wire):
    """One file for other programs."""

    name: str
    bytes: int


class ModelsOut(Wire):
    """Files of one kind, and what could not be made."""

    kind: ModelKind
    zip: str = Field(description="name of the file that holds them all")
    files: list[ModelFile]
    notes: list[str]
