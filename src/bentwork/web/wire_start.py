"""What new jobs start from and what is done with whole job files, over the wire."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from bentwork.web.wire import Wire
from bentwork.web.wire_picture import PictureOut

__all__ = [
    "ArchetypeOut",
    "DimensionOut",
    "JobCard",
    "JobNamed",
    "LibraryOut",
    "MaterialOut",
    "NewJobIn",
    "PreviewOut",
    "Removed",
    "SectionOut",
    "ShapeOut",
]

Units = Literal["mm", "in"]


class JobCard(Wire):
    """How much there is to say about a job; None where its file is wrong."""

    stops: int | None
    watches: int | None


class JobNamed(Wire):
    """A job that was written."""

    name: str


class Removed(Wire):
    """A job that was put away; ``kept`` is what it is called there."""

    name: str
    kept: str


class DimensionOut(Wire):
    """A dimension of a starting shape, with what it starts from in mm and in inches (degrees, or a number)."""

    name: str
    says: str
    kind: Literal["length", "angle", "number"]
    mm: float
    inches: float


class ShapeOut(Wire):
    """A starting shape."""

    name: str
    says: str
    own_radius: bool = Field(description="it sets the radius of its bend itself")
    dimensions: list[DimensionOut]


class ArchetypeOut(Wire):
    """A kind of bender that a maker recognises."""

    name: str
    says: str
    kind: Literal["wrap", "draw", "ram", "vee"]
    bar: Literal["diameter", "thickness"]


class SectionOut(Wire):
    """A kind of section, the sizes that it needs and those that it may have."""

    kind: Literal["round", "tube", "square", "square-tube", "flat"]
    sizes: list[str]
    more: list[str]


class MaterialOut(Wire):
    """A material of the library."""

    name: str
    group: str
    says: str


class LibraryOut(Wire):
    """What a job can be made of."""

    shapes: list[ShapeOut]
    benders: list[ArchetypeOut]
    sections: list[SectionOut]
    materials: list[MaterialOut]
    cad: bool = Field(description="the CAD kernel that reads STEP files is there")


class NewJobIn(Wire):
    """What the maker asked for, in the maker's own words; None for what was left out."""

    name: str | None = Field(None, max_length=120)
    shape: str = Field(max_length=60)
    dimensions: dict[str, str | None] = Field(default_factory=dict)
    diameter: str | None = Field(None, max_length=60)
    radius: str | None = Field(None, max_length=60)
    material: str = Field("6082-T6", max_length=120)
    units: Units = "mm"
    bender: str | None = Field(None, max_length=60)


class PreviewOut(Wire):
    """What a new job would be."""

    file: str
    picture: PictureOut
    pieces: list[str] = Field(description="a line for each piece: its name, how many, its cut length, its bends")
    mass: str
