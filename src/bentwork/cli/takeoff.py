"""``bentwork takeoff``."""

from __future__ import annotations

from dataclasses import replace
from os.path import realpath
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bentwork.cli.edge import edge, put

if TYPE_CHECKING:
    from rich.console import Console

    from bentwork.findings import Finding
    from bentwork.takeoff.bar import TakeOff
    from bentwork.units import Ruler, Units

SHORT = "Read pieces out of a CAD model or corner points."
HELP = """Read bent bars out of a STEP model, a DXF drawing or a table of corner points (x, y, z, radius).

Every solid is told: a piece, several bars joined, a free curve with the nearest arcs, or something else and why.

\b
Example: bentwork takeoff cart.step --job cart.toml
"""

PLACED = "They are turned, or mirrored askew: with --placed each is a piece of its own, in its place."


@click.command("takeoff", help=HELP, short_help=SHORT)
@click.argument("model", type=click.Path(path_type=Path))
@click.option("--job", type=click.Path(path_type=Path), metavar="NAME.toml", help="Write a job file with the pieces.")
@click.option(
    "--placed", is_flag=True, help="In the job, equal bars that are turned are pieces of their own: each has its place."
)
@click.option("--report", type=click.Path(path_type=Path), metavar="FILE.html", help="Write a page with outlines.")
@click.option("--radius", metavar="LENGTH", help="Centreline radius of sharp corners in drawings and tables.")
@click.option("--units", default="mm", show_default=True, help="Units of tables and of the job file: mm or in.")
@click.option("--material", default="S235", show_default=True, help="Material for the job file: a model tells none.")
@click.option("--force", is_flag=True, help="Write over a job file or a page that is there.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document and nothing else.")
def takeoff(
    model: Path,
    job: Path | None,
    placed: bool,
    report: Path | None,
    radius: str | None,
    units: str,
    material: str,
    force: bool,
    as_json: bool,
) -> None:
    """Read pieces out of a CAD model or corner points."""
    with edge(as_json=as_json):
        from bentwork.cli import say
        from bentwork.cli.model_progress import model_progress
        from bentwork.door.models import kept_models
        from bentwork.errors import Fault, InputError
        from bentwork.files.atomic import write_new
        from bentwork.takeoff.alike import in_their_places
        from bentwork.takeoff.take import take_off
        from bentwork.units import Ruler, parse_length

        if units not in ("mm", "in"):
            raise InputError("bentwork takeoff", [Fault("--units", repr(units), "mm or in")])
        taken: Units = "in" if units == "in" else "mm"
        try:
            corner = None if radius is None else parse_length(radius, taken)
        except ValueError as error:
            raise InputError("bentwork takeoff", [Fault("--radius", repr(radius), str(error))]) from None
        if corner is not None and corner <= 0.0:
            raise InputError("bentwork takeoff", [Fault("--radius", repr(radius), "a radius above 0")])
        _can_be_written(model, job, report, force=force)
        result = take_off(model, units=taken, radius=corner, progress=model_progress(), kept=kept_models())
        told = replace(result, solids=in_their_places(result.solids)) if placed else result
        written = None if job is None else _job(told, job, taken, material)
        if report is not None:
            from bentwork.cli.takeoff_report import report_bytes

            write_new(report, report_bytes(result, Ruler(taken)), replace=force)
        if job is not None and written is not None:
            write_new(job, written[0], replace=force)
        if as_json:
            from bentwork.files.plan_json import dumps
            from bentwork.takeoff.document import takeoff_document

            put(dumps(takeoff_document(result)))
            return
        _show(result, Ruler(taken), say.console())
        if report is not None:
            put(f"{report}: a page with outlines and bend tables")
        if job is not None and written is not None:
            say.findings(written[1], Ruler(taken), say.console())
            put(f"{job}\nNext: bentwork plan {job}")


def _can_be_written(model: Path, job: Path | None, report: Path | None, *, force: bool) -> None:
    """Refuse, before anything is read, to write over the model or over what is there, and one file twice."""
    from bentwork.errors import Fault, InputError

    faults = []
    read = {"the model that is read": model}
    for option, path in (("--job", job), ("--report", report)):
        if path is None:
            continue
        taken = next((what for what, one in read.items() if realpath(path) == realpath(one)), None)
        if taken is not None:
            faults.append(Fault(option, f"{path}, which is {taken}", "a name of its own"))
        elif not path.absolute().parent.is_dir():
            faults.append(Fault(option, f"{path}: there is no such folder", "a folder that is there"))
        elif path.exists() and not force:
            faults.append(Fault(option, f"{path}, which is there already", "another name, or --force to write over it"))
        read[f"what {option} names"] = path
    if faults:
        raise InputError("bentwork takeoff", faults)


def _job(result: TakeOff, job: Path, units: Units, material: str) -> tuple[bytes, list[Finding]]:
    """Return the text of a job file, and what of its pieces has no place in the frame."""
    from bentwork.errors import Fault, InputError
    from bentwork.files.job_file import parse_job
    from bentwork.jobs.not_placed import not_placed
    from bentwork.takeoff.job_text import job_of

    try:
        text = job_of(result, units, material=material).encode()
    except ValueError as error:
        raise InputError(result.source, [Fault("model", str(error), "pieces to make")]) from None
    try:
        read = parse_job(text, str(job))  # what cannot be read back is not written
    except InputError as error:
        about = next((fault for fault in error.faults if fault.where.endswith(".material")), None)
        if about is None:
            raise
        wanted = "a material of the library"
        raise InputError("bentwork takeoff", [Fault("--material", repr(material), wanted, about.do)]) from None
    return text, [replace(one, do=PLACED) for spec in read.pieces for one in not_placed(spec)]


def _show(result: TakeOff, ruler: Ruler, out: Console) -> None:
    from rich.text import Text

    from bentwork.cli.say_table import columns
    from bentwork.cli.say_takeoff import remarks, section_words, summary

    out.print(Text(f"{result.source}: {summary(result)}", style="bold"))
    for note in result.notes:
        out.print(Text(f"note   {note}"))
    aside = ("name", "what", "section", "remarks")
    table = columns("solid", *aside[:3], "length", "bends", aside[3], left=aside)
    for solid in result.solids:
        for number, bar in enumerate(solid.bars or (None,), 1):
            index = str(solid.index) if len(solid.bars) < 2 else f"{solid.index}.{number}"
            length, bends = (ruler.length(bar.length), str(len(bar.line.table.bends))) if bar else ("–", "–")
            section = section_words(bar, ruler) if bar else "–"
            words = "; ".join(remarks(solid, bar, ruler, first=number == 1))
            table.add_row(index, Text(solid.name), solid.kind, section, length, bends, Text(words))
    if table.row_count:
        out.print(table)
