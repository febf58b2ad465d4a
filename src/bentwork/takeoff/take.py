"""The door: a file in, everything that is in it out."""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import replace
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from bentwork.errors import Fault, InputError
from bentwork.takeoff.kept import answers_kept
from bentwork.takeoff.look import look
from bentwork.takeoff.reader import Limits, Progress, StepAnswers, read_step
from bentwork.units import Units

if TYPE_CHECKING:
    from bentwork.piece.centreline import Centreline
    from bentwork.takeoff.bar import Solid, TakeOff

__all__ = ["take_off"]


def take_off(
    path: Path,
    *,
    units: Units = "mm",
    radius: float | None = None,
    limits: Limits | None = None,
    progress: Callable[[Progress], None] | None = None,
    kept: Path | None = None,
) -> TakeOff:
    """Read a STEP model, a DXF drawing or a table of corner points.

    Args:
        path: of the file; what it is is seen from what is in it.
        units: of bare numbers in a table or a drawing that names none; a STEP file names its own.
        radius: centreline radius of sharp corners in a table or a drawing, mm.
        limits: of time and memory, for a STEP file.
        progress: called while a STEP file is read.
        kept: folder where what was read of STEP files is kept, by their bytes; None to read anew.

    Raises:
        InputError: the file cannot be read; where, what was found, what is wanted, what to do.
    """
    kind = look(path)
    if kind == "step":
        return _model(path, radius, limits, progress, kept)
    return _table(path, units, radius) if kind == "csv" else _drawing(path, units, radius)


def _model(
    path: Path,
    radius: float | None,
    limits: Limits | None,
    progress: Callable[[Progress], None] | None,
    kept: Path | None,
) -> TakeOff:
    unread, mirrored = list[str](), list[int]()
    # While the reader's own process is at work, ours gets ready to understand it.
    ready = threading.Thread(target=_get_ready, args=(path, unread, mirrored), daemon=True)
    ready.start()
    answers = answers_kept(path, kept, lambda: read_step(path, limits, progress), _bodies)
    ready.join()
    from bentwork.takeoff.alike import with_twins
    from bentwork.takeoff.bar import Solid, TakeOff

    solids, notes = _with_lines_joined(_bodies(answers), radius)
    for why in unread:
        solids.append(Solid(len(solids) + 1, "", "other", reason=why))
    notes += [] if answers.units else ["the file names no unit of length: it is taken for millimetres"]
    if sum(mirrored):
        alone = "what stands there is told as it was drawn. Save the mirrored part as a part of its own."
        notes.append(f"places in the file that mirror: {sum(mirrored)}. The CAD kernel does not mirror, {alone}")
    if not solids:
        notes.append("there is no solid in it, no surface and no wire")
    units = ", ".join(sorted(set(answers.units)))
    return TakeOff(str(path), units, with_twins(solids), tuple(notes))


def _get_ready(path: Path, unread: list[str], mirrored: list[int]) -> None:
    import_module("bentwork.takeoff.document")
    from bentwork.takeoff.step_mirrored import mirrored_places
    from bentwork.takeoff.step_unread import unread_solids

    with suppress(OSError, MemoryError):  # the reader says what is the matter
        unread += unread_solids(path)
        mirrored.append(mirrored_places(path))


def _with_lines_joined(solids: list[Solid], radius: float | None) -> tuple[list[Solid], list[str]]:
    """Return solids with lines and arcs that stand alone in a model put together end to end, and what to note of that.

    A program may write each edge of a sketch by itself.
    """
    from bentwork.takeoff.lines import CornerError, centrelines, part_alone

    alone = {
        solid.index: part
        for solid in solids
        if solid.kind == "piece"
        and solid.bars[0].section is None
        and (part := part_alone(solid.bars[0].line)) is not None
    }
    if len(alone) < 2:
        return solids, []
    try:
        lines = centrelines(list(alone.values()), radius)
    except CornerError as error:
        do = " --radius rounds sharp corners." if error.sharp else ""
        return solids, [f"{len(alone)} lines and arcs are not put together: {error}.{do}"]
    if len(lines) == len(alone):
        return solids, []
    others = [solid for solid in solids if solid.index not in alone]
    put = [*others, *_solids(lines)]
    note = f"{len(alone)} lines and arcs of the model are put together where their ends meet"
    return [replace(one, index=index, same_as=None, mirror_of=None) for index, one in enumerate(put, 1)], [note]


def _bodies(answers: StepAnswers) -> list[Solid]:
    from bentwork.takeoff.document import solid_from

    return [solid_from({"members": [], **answer}) for answer in answers.solids]


def _table(path: Path, units: Units, radius: float | None) -> TakeOff:
    from bentwork.takeoff.bar import TakeOff
    from bentwork.takeoff.corner_points import pieces_from_table

    return TakeOff(str(path), units, _solids(pieces_from_table(_text(path), str(path), units, radius)))


def _drawing(path: Path, units: Units, radius: float | None) -> TakeOff:
    from bentwork.takeoff.bar import TakeOff
    from bentwork.takeoff.dxf import parts_from_dxf
    from bentwork.takeoff.lines import CornerError, centrelines, nearly_met

    drawing = parts_from_dxf(_text(path), str(path), 1.0 if units == "mm" else 25.4)
    passed = [f"{count} × {name}" for name, count in sorted(drawing.passed_over.items())]
    unseen = [f"{count} on layer {layer} ({why})" for (layer, why), count in sorted(drawing.unseen.items())]
    if not drawing.parts:
        do = "Draw the middle of the bar with lines, arcs or polylines."
        do += " Explode blocks." if "INSERT" in drawing.passed_over else ""
        do += " If the bar is on a hidden layer, switch that on or thaw it, and save again." if unseen else ""
        found = "no lines that are seen" if unseen else "no lines"
        found += f", but {', '.join([*passed, *unseen])}" if passed or unseen else ""
        raise InputError(str(path), [Fault(path.name, found, "lines, arcs or polylines", do)])
    if drawing.shows_outlines:
        found = "outlines of a piece in views or laid flat, which do not say how it is bent in space"
        wanted = "the middle of the bar: a STEP model, corner points as CSV, or a drawing of that line alone"
        do = "The job that this was made of has its pieces as models: bentwork export JOB --only step."
        raise InputError(str(path), [Fault(path.name, found, wanted, do)])
    try:
        lines = centrelines(drawing.middle, radius)
    except CornerError as error:
        do = "Outlines and views are no bars: draw the middle of each bar alone, or put it on a layer CENTRELINE."
        do = f"Give a radius for all corners (--radius), or draw an arc. {do}" if error.sharp else do
        do += f" Layer {drawing.unseen_middle} is hidden: show it if that is it." if drawing.unseen_middle else ""
        raise InputError(str(path), [Fault(path.name, str(error), "lines that can be bent", do)]) from None
    beside = len(drawing.parts) - len(drawing.middle)
    notes = [f"{beside} × lines beside the layer of the centreline passed over"] if beside else []
    notes += [f"{one} passed over" for one in passed]
    if unseen:
        notes.append(f"what is not seen on the screen is passed over: {', '.join(unseen)}")
    if drawing.unseen_middle:
        notes.append(f"layer {drawing.unseen_middle} is hidden: the other lines are taken for the middle of the bar")
    notes += [f"ends at {point} lie {gap:.2g} mm apart: they are not joined" for point, gap in nearly_met(lines)]
    if not drawing.units:
        notes.append(f"the drawing names no unit of length: it is taken for {units}")
    return TakeOff(str(path), drawing.units or units, _solids(lines), tuple(notes))


def _solids(lines: Sequence[Centreline]) -> tuple[Solid, ...]:
    from bentwork.takeoff.alike import one_way, with_twins
    from bentwork.takeoff.bar import Bar, End, Solid

    found = []
    for index, line in enumerate(lines, 1):
        end = End("seam") if line.table.closed else End("square")
        found.append(Solid(index, "", "piece", (one_way(Bar(line, None, ends=(end, end))),)))
    return with_twins(found)


def _text(path: Path) -> str:
    data = path.read_bytes()
    try:
        return data.decode("utf-16" if data.startswith((b"\xff\xfe", b"\xfe\xff")) else "utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("latin-1")
