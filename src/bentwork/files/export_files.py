"""All that is exported of a job: names and bytes."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Literal

from bentwork.errors import FileError
from bentwork.files.buying_csv import buying_csv, cuts_csv
from bentwork.files.dxf import dxf_bytes
from bentwork.files.export_names import file_names
from bentwork.files.glb import Stands, glb_bytes
from bentwork.files.step_out import Model, Standing, step_models
from bentwork.files.stl import stl_bytes
from bentwork.files.svg import svg_bytes
from bentwork.files.tables_csv import bend_tables_csv, marks_csv, steps_csv
from bentwork.jobs.bodies import Body, bodies, gauge_bodies, saddle_bodies
from bentwork.jobs.bracket import brackets
from bentwork.jobs.bracket_told import bracket_lines
from bentwork.jobs.buying import buying
from bentwork.jobs.finished import Finished, finished, tabs_standing
from bentwork.jobs.not_placed import left_out
from bentwork.jobs.part_drawings import part_drawings
from bentwork.jobs.work import Result
from bentwork.models.bar_mesh import CHORD_ERROR
from bentwork.models.flat_pattern import flat_pattern, has_flat_pattern
from bentwork.models.three_views import three_views
from bentwork.sheets.true_views import true_views
from bentwork.space import Vec

__all__ = ["KINDS", "Kind", "Say", "export_files"]

Kind = Literal["step", "dxf", "stl", "glb", "csv", "svg"]
KINDS: tuple[Kind, ...] = ("step", "dxf", "stl", "glb", "csv", "svg")
FRAME = "frame"
"""Name of the files that hold the whole frame."""

_DRAWN_AT = (0.0, 0.0, 0.0)

_SOLID: set[Kind] = {"step", "stl", "glb"}
_FRAMED: set[Kind] = {"step", "glb"}  # with a file of the whole frame

Named = tuple[tuple[str, Body], ...]
Made = tuple[tuple[str, Finished], ...]
Say = Callable[[str], None]
Files = Iterator[tuple[str, bytes]]


def export_files(result: Result, stamp: str, kinds: Iterable[Kind], say: Say) -> Files:
    """Yield the name and the bytes of every file.

    Args:
        result: of the job.
        stamp: date and time, as ISO 8601 writes them.
        kinds: that are wanted.
        say: is told, a sentence each, what cannot be exported and why, and what the files of the frame do not show.

    Raises:
        FileError: STEP alone is wanted and there is no CAD kernel, or it broke down.
    """
    about = bodies(result, stamp[:10])
    named = tuple(zip(file_names((body.name for body in about), (FRAME,)), about, strict=True))
    asked = set(kinds)
    made: Made = ()
    if asked & _SOLID:
        for body in about:
            _tell(body, say)
        for words in left_out(result) if asked & _FRAMED else ():
            say(words)
        made = _made(result, named)
        where = " and ".join(kind.upper() for kind in KINDS if kind in asked & _SOLID)
        for _, one in made:
            for words in one.plain:
                say(f"{one.name}: in {where} {words}")
    ways: dict[Kind, Callable[[], Files]] = {
        "csv": lambda: _csv(result, about),
        "svg": lambda: _svg(named),
        "dxf": lambda: _dxf(result, named),
        "stl": lambda: _stl(made, about),
        "glb": lambda: _glb(result, made),
        "step": lambda: _step(result, made, stamp, asked == {"step"}, say),
    }
    for kind, way in ways.items():
        if kind in asked:
            yield from way()


def _made(result: Result, named: Named) -> Made:
    """Return pieces of which a body can be made as they are finished; copies cut otherwise by their own name."""
    solid = {body.name: name for name, body in named if not body.tight}
    found = finished(result, [body for _, body in named if not body.tight])
    more = [one.name for one in found if one.name not in solid]
    called = solid | dict(zip(more, file_names(more, (FRAME, *solid.values())), strict=True))
    return tuple((called[one.name], one) for one in found)


def _tell(body: Body, say: Say) -> None:
    if body.tight:
        bends = ", ".join(map(str, body.tight))
        which = "bend" if len(body.tight) == 1 else "bends"
        say(
            f"{body.name}: no body is made of it, because {which} {bends} would leave nothing inside: the radius to "
            "the middle of the bar must be more than half the bar"
        )


def _csv(result: Result, about: Sequence[Body]) -> Files:
    ruler = result.job.ruler
    if about:
        yield "bend-tables.csv", bend_tables_csv(about, ruler)
    for name, table in (("marks.csv", marks_csv(about, ruler)), ("steps.csv", steps_csv(about, ruler))):
        if table is not None:
            yield name, table
    bought = buying(result)
    if bought.sawn:
        yield "buying.csv", buying_csv(bought)
        yield "cuts.csv", cuts_csv(bought)


def _svg(named: Named) -> Files:
    for name, body in named:
        yield f"{name}.svg", svg_bytes(true_views(body.subject), f"{body.subject.job}: {body.name}")


def _dxf(result: Result, named: Named) -> Files:
    units = result.job.ruler.units
    flat_ones = {bracket.name: bracket for bracket in brackets(result)}
    for name, body in named:
        about = body.subject
        section, table = about.stock.section, about.line.table
        yield f"{name}.dxf", dxf_bytes(three_views(about.line, section, about.way), units, body.name)
        bracket = flat_ones.get(body.name)
        if bracket is not None or has_flat_pattern(table, section, about.way):
            flat = flat_pattern(table, about.marks, section.breadth(), about.cut_length, about.trim)
            holes = bracket_lines(bracket, result.job.ruler) if bracket else ()
            yield f"{name}-flat.dxf", dxf_bytes((*flat, *holes), units, f"{body.name}, flat pattern")
    parts = part_drawings(result)
    taken = [name for name, _ in named]
    for name, part in zip(file_names((part.name for part in parts), taken), parts, strict=True):
        yield f"{name}.dxf", dxf_bytes(part.lines, units, part.title)


def _stl(made: Made, about: Sequence[Body]) -> Files:
    for name, one in made:
        yield f"{name}.stl", stl_bytes(one.mesh(CHORD_ERROR), one.name)
    gauges = gauge_bodies(about)
    told = [f"gauge-{gauge.purpose}-{gauge.angle:.1f}-inside-{gauge.inside:.4g}" for gauge, _ in gauges]
    for name, (_, mesh) in zip(file_names(told), gauges, strict=True):
        yield f"{name}.stl", stl_bytes(mesh, name)
    saddles = saddle_bodies(about)
    for name, (_, mesh) in zip(file_names(f"saddle-{bar}" for bar, _ in saddles), saddles, strict=True):
        yield f"{name}.stl", stl_bytes(mesh, name)


def _glb(result: Result, made: Made) -> Files:
    frame: list[Stands] = []
    for name, one in made:
        mesh = one.mesh(CHORD_ERROR)
        yield f"{name}.glb", glb_bytes(one.name, [(one.name, mesh, [(one.name, _DRAWN_AT)])])
        if one.body.copies:
            frame.append((one.name, mesh, one.body.copies))
    if frame:
        yield f"{FRAME}.glb", glb_bytes(result.job.name, frame)


def _step(result: Result, made: Made, stamp: str, alone: bool, say: Say) -> Files:
    models = [(name, Model(one.name, ((one, ((one.name, _DRAWN_AT),)),))) for name, one in made]
    standing: list[tuple[Standing, tuple[tuple[str, Vec], ...]]]
    standing = [(one, one.body.copies) for _, one in made if one.body.copies]
    standing += [(tab, ((tab.name, _DRAWN_AT),)) for tab in tabs_standing(result)]
    if standing:
        models.append((FRAME, Model(result.job.name, tuple(standing))))
    if not models:
        return
    try:
        written = step_models([model for _, model in models], stamp)
    except FileError as error:
        if alone:
            raise
        say(str(error))
        return
    for name, why in written.failed:
        say(f"{name}: the CAD kernel cannot make a solid of it: {why}")
    for name, which, why in written.uncut:
        say(f"{name}: in STEP without {which}, which the CAD kernel cannot cut: {why}")
    for (name, _), data in zip(models, written.files, strict=True):
        if data is not None:
            yield f"{name}.step", data
