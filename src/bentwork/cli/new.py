"""``bentwork new``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from bentwork.cli.edge import edge, put

if TYPE_CHECKING:
    from collections.abc import Iterable

    from bentwork.piece.shapes import Shape

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
@click.option("--bends", metavar="NUMBER", help="Number of bends along an arch.")
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
        from bentwork.errors import FileError
        from bentwork.files.atomic import write_new
        from bentwork.files.start_job import Wish, start_job
        from bentwork.piece.shapes import SHAPES

        if name is None and shape is None:
            put(_listed(SHAPES.values()))
            return
        path = None if name is None else name if name.suffix == ".toml" else name.with_name(name.name + ".toml")
        text = start_job(Wish(path.stem if path else None, shape, given, diameter, radius, material, units))
        assert path is not None  # a job without a name was refused
        if path.exists() and not force:
            raise FileError(f"{path} is there already; give another name, or --force to write over it")
        write_new(path, text.encode(), replace=force)
        put(f"{path}\nNext: bentwork plan {path}")


def _listed(shapes: Iterable[Shape]) -> str:
    lines = ["Shapes to start from:"]
    for shape in shapes:
        lines.append(f"\n  {shape.name:<12} {shape.says}")
        for dimension in shape.dimensions:
            unit = {"length": " mm", "angle": "°", "number": ""}[dimension.kind]
            option = f"--{dimension.name} {dimension.mm:g}{unit}"
            lines.append(f"  {'':<12} {option:<18} {dimension.says}")
    return "\n".join([*lines, "", "bentwork new NAME --from SHAPE [--width 400 ...] writes NAME.toml"])
