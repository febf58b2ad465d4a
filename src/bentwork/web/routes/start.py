"""New jobs: what they can start from and be made of, what one would be, and the example."""

from __future__ import annotations

from functools import cache
from importlib.util import find_spec

from fastapi import APIRouter

from bentwork.door.example import EXAMPLE, Example, example_bytes, remember_example
from bentwork.door.new_job import new_job
from bentwork.errors import Fault, InputError
from bentwork.files.catalogue import materials
from bentwork.files.export_names import file_names
from bentwork.files.job_build_stock import MORE_SIZES, SIZES
from bentwork.files.job_file import parse_job
from bentwork.files.start_job import Wish
from bentwork.jobs.frame_picture import frame_picture
from bentwork.jobs.work import line_of
from bentwork.piece.shapes import SHAPES, Shape
from bentwork.tooling.archetypes import ARCHETYPES
from bentwork.units import Ruler
from bentwork.web.desk import AtDesk
from bentwork.web.job_store import JobText
from bentwork.web.routes.job_list import PICTURE
from bentwork.web.wire import Faults
from bentwork.web.wire_picture import picture_out
from bentwork.web.wire_start import (
    ArchetypeOut,
    DimensionOut,
    JobNamed,
    LibraryOut,
    MaterialOut,
    NewJobIn,
    PreviewOut,
    SectionOut,
    ShapeOut,
)

__all__ = ["router"]

router = APIRouter(tags=["start"], responses={422: {"model": Faults}})


@router.get("/library")
def library() -> LibraryOut:
    """Return everything that a job can start from and be made of."""
    return _library().model_copy(update={"cad": find_spec("OCP") is not None})


@router.post("/new-job/preview")
def preview(desk: AtDesk, asked: NewJobIn) -> PreviewOut:
    """Return what a new job would be, without writing it."""
    job = parse_job(_text(asked, asked.name or "New job").encode(), "new job")
    told, mass = [], 0.0
    for spec in job.pieces:
        line, _ = line_of(spec)
        if line is None:
            continue
        bends = len(line.table.bends)
        cut = job.ruler.length(line.table.length + 2.0 * spec.trim)
        many = f"{spec.count} × " if spec.count > 1 else ""
        told.append(f"{many}{spec.name}: {cut} of bar, {bends} {'bend' if bends == 1 else 'bends'}")
        mass += spec.count * job.stocks[spec.stock].mass(line.table.length)
    (file,) = file_names([(asked.name or "").strip() or "job"], desk.place.names())
    return PreviewOut(
        file=f"{file}.toml", picture=picture_out(frame_picture(job, *PICTURE)), pieces=told, mass=job.ruler.mass(mass)
    )


@router.post("/jobs")
def make_job(desk: AtDesk, asked: NewJobIn) -> JobNamed:
    """Write the file of a new job."""
    name = (asked.name or "").strip()
    text = _text(asked, name or None)
    return JobNamed(name=desk.jobs.made(name, text).name)


@router.post("/example")
def open_example(desk: AtDesk, which: Example = EXAMPLE) -> JobNamed:
    """Write an example into the folder, unless it is there, and its test bends into the workshop."""
    remember_example(desk.place.workshop, which)
    path = desk.place.job(which)
    if not path.exists():
        desk.place.jobs.mkdir(parents=True, exist_ok=True)
        desk.jobs.write(JobText(which, path, example_bytes(which)), None)
    return JobNamed(name=which)


def _text(asked: NewJobIn, name: str | None) -> str:
    """Return the file of a new job; faults stand at the names of the fields."""
    wish = Wish(name, asked.shape, asked.dimensions, asked.diameter, asked.radius, asked.material, asked.units)
    try:
        return new_job(wish, asked.bender)
    except InputError as error:
        faults = [Fault(_field(one.where), one.found, one.wanted, _for_the_page(one.do)) for one in error.faults]
        raise InputError(error.source, faults, error.findings) from None


def _field(where: str) -> str:
    """Return the field of the page that stands for an option of ``bentwork new`` or a key of its file."""
    known = {"--from": "shape", "NAME": "name", "stock.bar.material": "material", "stock.bar.diameter": "diameter"}
    return known.get(where, where.removeprefix("--"))


def _for_the_page(do: str) -> str:
    """Return an advice, unless it is about what is typed at a terminal."""
    return "" if "bentwork new" in do else do


@cache
def _library() -> LibraryOut:
    return LibraryOut(
        shapes=[_shape(shape) for shape in SHAPES.values()],
        benders=[ArchetypeOut(name=one.name, says=one.says, kind=one.kind, bar=one.bar) for one in ARCHETYPES.values()],
        sections=[
            SectionOut(kind=kind, sizes=list(sizes), more=list(MORE_SIZES.get(kind, ())))
            for kind, sizes in SIZES.items()
        ],
        materials=[MaterialOut(name=one.name, group=one.group, says=one.description) for one in materials().values()],
        cad=False,  # asked every time: it may be installed meanwhile
    )


def _shape(shape: Shape) -> ShapeOut:
    dimensions = [
        DimensionOut(
            name=one.name,
            says=one.says,
            kind=one.kind,
            mm=one.mm,
            inches=Ruler("in").number(one.inches) if one.kind == "length" else one.mm,
        )
        for one in shape.dimensions
    ]
    return ShapeOut(name=shape.name, says=shape.says, own_radius=shape.own_radius, dimensions=dimensions)
