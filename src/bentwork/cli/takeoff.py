"""``bentwork takeoff``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from bentwork.cli.edge import edge, put

if TYPE_CHECKING:
    from rich.console import Console

    from bentwork.takeoff.bar import TakeOff
    from bentwork.units import Ruler, Units

SHORT = "Read pieces out of a CAD model or corner points."
HELP = """Read bent bars out of a STEP model, a DXF drawing or a table of corner points (x, y, z, radius).

Every solid is told: a piece, several bars joined, a free curve with the nearest arcs, or something else and why.

\b
Example: bentwork takeoff cart.step --job cart.toml
"""


@click.command("takeoff", help=HELP, short_help=SHORT)
@click.argument("model", type=click.Path(path_type=Path))
@click.option("--job", type=click.Path(path_type=Path), metavar="NAME.toml", help="Write a job file with the pieces.")
@click.option("--report", type=click.Path(path_type=Path), metavar="FILE.html", help="Write a page with outlines.")
@click.option("--radius", metavar="LENGTH", help="Centreline radius of sharp corners in drawings and tables.")
@click.option("--units", default="mm", show_default=True, help="Units of tables and of the job file: mm or in.")
@click.option("--material", default="S235", show_default=True, help="Material for the job file: a model tells none.")
@click.option("--force", is_flag=True, help="Write over a job file or a page that is there.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document and nothing else.")
def takeoff(
    model: Path,
    job: Path | None,
    report: Path | None,
    radius: str | None,
    units: str,
    material: str,
    force: bool,
    as_json: bool,
) -> None:
    """Read pieces out of a CAD model or corner points."""
    with edge(as_json=as_json):
        from bentwork.cli.model_progress import model_progress
        from bentwork.door.models import kept_models
        from bentwork.errors import Fault, InputError
        from bentwork.takeoff.take import take_off
        from bentwork.units import parse_length

        if units not in ("mm", "in"):
            raise InputError("bentwork takeoff", [Fault("--units", repr(units), "mm or in")])
        taken: Units = "in" if units == "in" else "mm"
        try:
            corner = None if radius is None else parse_length(radius, taken)
        except ValueError as error:
            raise InputError("bentwork takeoff", [Fault("--radius", repr(radius), str(error))]) from None
        if corner is not None and corner <= 0.0:
            raise InputError("bentwork takeoff", [Fault("--radius", repr(radius), "a radius above 0")])
        result = take_off(model, units=taken, radius=corner, progress=model_progress(), kept=kept_models())
        if job is not None:
            _write_job(result, job, taken, material, force)
        if report is not None:
            _write_report(result, report, taken, force)
        if as_json:
            from bentwork.files.plan_json import dumps
            from bentwork.takeoff.document import takeoff_document

            put(dumps(takeoff_document(result)))
        else:
            from bentwork.cli import say
            from bentwork.units import Ruler

            _show(result, Ruler(taken), say.console())
            if job is not None:
                put(f"{job}\nNext: bentwork plan {job}")


def _write_job(result: TakeOff, job: Path, units: str, material: str, force: bool) -> None:
    from bentwork.errors import Fault, FileError, InputError
    from bentwork.files.atomic import write_new
    from bentwork.files.job_file import parse_job
    from bentwork.takeoff.job_text import job_of

    if job.exists() and not force:
        raise FileError(f"{job} is there already; give another name, or --force to write over it")
    try:
        text = job_of(result, "in" if units == "in" else "mm", material=material)
    except ValueError as error:
        raise InputError(result.source, [Fault("model", str(error), "pieces to make")]) from None
    parse_job(text.encode(), str(job))  # what cannot be read back is not written
    write_new(job, text.encode(), replace=force)


def _write_report(result: TakeOff, report: Path, units: Units, force: bool) -> None:
    from bentwork.cli.takeoff_report import report_bytes
    from bentwork.errors import FileError
    from bentwork.files.atomic import write_new
    from bentwork.units import Ruler

    if report.exists() and not force:
        raise FileError(f"{report} is there already; give another name, or --force to write over it")
    write_new(report, report_bytes(result, Ruler(units)), replace=force)


def _show(result: TakeOff, ruler: Ruler, out: Console) -> None:
    from rich import box
    from rich.table import Table
    from rich.text import Text

    from bentwork.cli.say_takeoff import remarks, section_words, summary

    out.print(Text(f"{result.source}: {summary(result)}", style="bold"))
    for note in result.notes:
        out.print(Text(f"note   {note}"))
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False)
    for head in ("solid", "name", "what", "section", "length", "bends", "remarks"):
        table.add_column(head, justify="right" if head in ("solid", "length", "bends") else "left")
    for solid in result.solids:
        for number, bar in enumerate(solid.bars or (None,), 1):
            index = str(solid.index) if len(solid.bars) < 2 else f"{solid.index}.{number}"
            length, bends = (ruler.length(bar.length), str(len(bar.line.table.bends))) if bar else ("–", "–")
            section = section_words(bar, ruler) if bar else "–"
            words = "; ".join(remarks(solid, bar, ruler, first=number == 1))
            table.add_row(index, Text(solid.name), solid.kind, section, length, bends, Text(words))
    out.print(table)
