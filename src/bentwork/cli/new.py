"""``bentwork new``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from bentwork.cli.edge import edge, put

if TYPE_CHECKING:
    from bentwork.errors import Fault
    from bentwork.piece.shapes import Shape
    from bentwork.units import Ruler

SHORT = "Start a job file from a shape."
HELP = """Start a job file from a shape that people make often.

Without a name, the shapes and the dimensions that each takes are listed. Lengths may carry a unit: 400, "15 3/4",
"400 mm". The file that is written is an ordinary job file: change anything in it.

\b
Example: bentwork new crate-shelf --from loop --width 400 --depth 300 --upturn 150 --angle 60
"""


def _shape_names(context: click.Context, parameter: click.Parameter, incomplete: str) -> list[str]:
    from bentwork.piece.shapes import SHAPES

    return [name for name in SHAPES if name.startswith(incomplete)]


@click.command("new", help=HELP, short_help=SHORT)
@click.argument("name", type=click.Path(path_type=Path), required=False)
@click.option("--from", "shape", metavar="SHAPE", shell_complete=_shape_names, help="Shape to start from.")
@click.option("--width", metavar="LENGTH", help="Width, along x.")
@click.option("--depth", metavar="LENGTH", help="Depth, along y.")
@click.option("--height", metavar="LENGTH", help="Height.")
@click.option("--length", metavar="LENGTH", help="Length.")
@click.option("--rise", metavar="LENGTH", help="Rise.")
@click.option("--foot", metavar="LENGTH", help="Length of a foot.")
@click.option("--upturn", metavar="LENGTH", help="Length of upturned ends.")
@click.option("--angle", metavar="DEGREES", help="Bend angle.")
@click.option("--crossbars", metavar="NUMBER", help="Number of crossbars.")
@click.option("--diameter", metavar="LENGTH", help="Diameter of the bar; 12 mm or 1/2 in if left out.")
@click.option("--radius", metavar="LENGTH", help="Centreline radius of the die; 4 diameters if left out.")
@click.option("--material", default="6082-T6", show_default=True, help="Material of the bar.")
@click.option("--units", default="mm", show_default=True, help="Units of the file: mm or in.")
@click.option("--force", is_flag=True, help="Write over a file that is there.")
def new(
    name: Path | None,
    shape: str | None,
    diameter: str | None,
    radius: str | None,
    material: str,
    units: str,
    force: bool,
    **given: str | None,
) -> None:
    """Start a job file from a shape that people make often."""
    with edge():
        from bentwork.errors import Fault, FileError, InputError
        from bentwork.files.atomic import write_new
        from bentwork.files.job_file import parse_job
        from bentwork.files.new_job import NewJob, job_text
        from bentwork.piece.shapes import SHAPES
        from bentwork.units import Ruler

        if name is None and shape is None:
            put(_listed(SHAPES.values()))
            return
        faults: list[Fault] = []
        if name is None:
            faults.append(Fault("NAME", "none", "a name for the job", "Write it first: bentwork new NAME --from ..."))
        if units not in ("mm", "in"):
            faults.append(Fault("--units", repr(units), "mm or in"))
        ruler = Ruler("in" if units == "in" else "mm")
        chosen = SHAPES.get(shape or "")
        if chosen is None:
            faults.append(_no_shape(shape, list(SHAPES)))
        dimensions = _dimensions(chosen, given, ruler, faults) if chosen else {}
        bar = _length("--diameter", diameter, 12.0 if ruler.units == "mm" else 12.7, ruler, faults)
        die = _length("--radius", radius, 4 * bar, ruler, faults)
        if faults or chosen is None or name is None:
            raise InputError("bentwork new", faults)
        path = name if name.suffix == ".toml" else name.with_name(name.name + ".toml")
        if chosen.own_radius:
            if radius is not None:
                raise InputError("bentwork new", [Fault("--radius", radius, f"nothing: {chosen.name} sets its own")])
            die = dimensions["width"] / 2
        text = job_text(NewJob(path.stem, chosen, dimensions, bar, material, die, ruler))
        try:
            parse_job(text.encode(), str(path))  # what cannot be read back is not written
        except InputError as error:
            raise InputError(
                f"bentwork new: no {chosen.name} can be made of these dimensions",
                [Fault(f.where, f.found, f.wanted, f.do) for f in error.faults],
            ) from None
        if path.exists() and not force:
            raise FileError(f"{path} is there already; give another name, or --force to write over it")
        write_new(path, text.encode(), replace=force)
        put(f"{path}\nNext: bentwork plan {path}")


def _listed(shapes: object) -> str:
    from collections.abc import Iterable
    from typing import cast

    lines = ["Shapes to start from:"]
    for shape in cast("Iterable[Shape]", shapes):
        lines.append(f"\n  {shape.name:<12} {shape.says}")
        for dimension in shape.dimensions:
            unit = {"length": " mm", "angle": "°", "number": ""}[dimension.kind]
            option = f"--{dimension.name} {dimension.mm:g}{unit}"
            lines.append(f"  {'':<12} {option:<18} {dimension.says}")
    return "\n".join([*lines, "", "bentwork new NAME --from SHAPE [--width 400 ...] writes NAME.toml"])


def _no_shape(shape: str | None, names: list[str]) -> Fault:
    from difflib import get_close_matches

    from bentwork.errors import Fault

    near = get_close_matches(shape or "", names, 1)
    advice = f"Did you mean {near[0]}?" if near else "bentwork new alone lists them with their dimensions."
    return Fault("--from", repr(shape) if shape else "none", f"one of {', '.join(names)}", advice)


def _dimensions(shape: Shape, given: dict[str, str | None], ruler: Ruler, faults: list[Fault]) -> dict[str, float]:
    from bentwork.errors import Fault

    taken = {dimension.name: dimension for dimension in shape.dimensions}
    for name, words in given.items():
        if words is not None and name not in taken:
            takes = ", ".join(f"--{n}" for n in taken)
            faults.append(Fault(f"--{name}", words, f"a dimension of {shape.name}: {takes}", "Leave it out."))
    values = {}
    for name, dimension in taken.items():
        start = dimension.inches if ruler.units == "in" and dimension.kind == "length" else dimension.mm
        words = given[name]
        if dimension.kind == "length":
            values[name] = _length(f"--{name}", words, start, ruler, faults, dimension.least)
        else:
            values[name] = _number(f"--{name}", words, start, faults, whole=dimension.kind == "number")
    return values


def _length(
    option: str, words: str | None, start: float, ruler: Ruler, faults: list[Fault], least: float = 0.1
) -> float:
    from bentwork.errors import Fault
    from bentwork.units import parse_length

    if words is None:
        return start
    try:
        value = parse_length(words, ruler.units)
    except ValueError as error:
        faults.append(Fault(option, repr(words), str(error)))
        return start
    if value < least:
        faults.append(Fault(option, repr(words), f"a length of {ruler.length(least)} or more"))
        return start
    return value


def _number(option: str, words: str | None, start: float, faults: list[Fault], *, whole: bool) -> float:
    from bentwork.errors import Fault

    if words is None:
        return start
    wanted = "a whole number from 1 to 50" if whole else "an angle from 5 to 175 degrees"
    low, high = (1, 50) if whole else (5, 175)
    try:
        value = float(words)
    except ValueError:
        value = float("nan")
    if not low <= value <= high or (whole and value != int(value)):
        faults.append(Fault(option, repr(words), wanted))
        return start
    return value
