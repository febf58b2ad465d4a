"""The text of a new job file, made from a starting shape, with comments that say what each line is for."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass

from bentwork.files.bender_text import part_tables
from bentwork.piece.shapes import Shape, Sketch
from bentwork.space import Vec
from bentwork.tooling.archetypes import ARCHETYPES, Start
from bentwork.units import INCH, Ruler

__all__ = ["NewJob", "job_text", "piece_text"]


@dataclass(frozen=True, slots=True)
class NewJob:
    """What a new job is made of. Lengths in mm.

    Args:
        name: of the job.
        shape: it starts from.
        dimensions: of the shape, by name.
        diameter: of the round bar.
        material: name in the library.
        radius: centreline radius of the die, unless the shape sets its own.
        ruler: units the file is written in.
    """

    name: str
    shape: Shape
    dimensions: Mapping[str, float]
    diameter: float
    material: str
    radius: float
    ruler: Ruler

    @property
    def sketches(self) -> tuple[Sketch, ...]:
        """The pieces of the shape."""
        return self.shape.build(self.dimensions, self.diameter)

    @property
    def die(self) -> float:
        """Centreline radius of the die: the shape's own bend where it sets one, mm."""
        return self.sketches[0].bends[0][0] if self.shape.own_radius else self.radius


def job_text(new: NewJob) -> str:
    """Return a whole job file."""
    size, inches = new.ruler.number, new.ruler.units == "in"
    told = ", ".join(f"{dimension.name} {_told(new, dimension.name)}" for dimension in new.shape.dimensions)
    head = [
        f"# Started from the shape {new.shape.name} ({told}).",
        "# This file is the one truth about the job: change anything, then ask for a new plan and new papers.",
        "# Lengths run along the middle of the bar, from corner point to corner point.",
        "",
        "format = 1",
        f"name = {_text(new.name)}",
        _said(
            f'units = "{new.ruler.units}"', 'lengths may be 15.75, "15 3/4", "400 mm"' if inches else '"in" for inches'
        ),
        "",
        _said("[stock.bar]", "the bar as you buy it"),
        _said('section = "round"', "round, tube, square, square-tube or flat"),
        f"diameter = {size(new.diameter)}",
        f"material = {_text(new.material)}",
        _said(f"# bar_length = {size(3048.0 if inches else 3000.0)}", "fill in, to be warned when a bar is too short"),
        "",
        _said("[bender.lever]", "measure yours: the numbers here are only a start"),
        _said('kind = "wrap"', "wrap: fixed die, the follower wipes the bar round it; draw, ram, vee"),
        _said(f"radius = {size(new.die)}", "to the middle of the bar, not to the groove"),
        _said("# max_angle = 180", "how far it goes, to be warned of bends beyond it"),
        _said("# springback = 1.05", "angle pulled / angle left, from a test bend in the same bar"),
        *_tool(new),
        "",
    ]
    return "\n".join(head) + "".join("\n" + piece_text(sketch, new.ruler) for sketch in new.sketches)


def _tool(new: NewJob) -> list[str]:
    """Return the sizes of a usual bender as comments: a guess must not keep a piece from being planned."""
    guess = ARCHETYPES["plate-roller"].build(
        Start(new.diameter, new.die, step=INCH / 16.0 if new.ruler.units == "in" else 1.0)
    )
    return [
        "# Its other sizes, as they are on many such benders. Measure yours, correct them, take the # away: then more",
        "# can be worked out. Other kinds: bentwork bender. Which size is which: bentwork paper JOB --only benders.",
        *(f"# {line}" for line in part_tables(guess, new.ruler)),
    ]


def piece_text(sketch: Sketch, ruler: Ruler) -> str:
    """Return the table of one piece, with comments."""
    bent = bool(sketch.bends) or len(sketch.points) > 2
    lines = [_said(f"[piece.{sketch.name}]", sketch.says), 'stock = "bar"']
    if bent:
        lines.append('bender = "lever"')
    if sketch.points:
        lines += ["points = [", *(f"    {_point(point, ruler)}," for point in sketch.points), "]"]
    else:
        table = ", ".join(f"[{ruler.number(r)}, {a:g}, {t:g}]" for r, a, t in sketch.bends)
        lines += [
            f"straights = [{', '.join(str(ruler.number(s)) for s in sketch.straights)}]",
            _said(f"bends = [{table}]", "radius, bend angle, rotation from the bend before"),
            _said(f"start = {_point(sketch.start, ruler)}", "where end A stands"),
            _said(f"along = {_direction(sketch.along)}", "the way the bar leaves end A"),
            _said(f"towards = {_direction(sketch.towards)}", "the side its first bend turns to"),
        ]
    if sketch.closed:
        lines.append(_said("closed = true", "the last point is joined to the first"))
        lines.append(_said('seam = "auto"', "or the number of a side: 1 runs from point 1 to point 2"))
    if len(sketch.at) > 1:
        shifts = ", ".join(_point(shift, ruler) for shift in sketch.at)
        lines += [f"count = {len(sketch.at)}", _said(f"at = [{shifts}]", "how far each copy is shifted")]
    if bent:
        trim = ruler.number(12.7 if ruler.units == "in" else 15.0)
        lines.append(_said(f"trim = {trim}", "spare on each end, cut off at the last"))
    return "\n".join(lines) + "\n"


def _text(words: str) -> str:
    """Write text for TOML; JSON's escapes are among those that TOML reads."""
    return json.dumps(words, ensure_ascii=False)


def _said(code: str, comment: str) -> str:
    return f"{code:<34} # {comment}"


def _told(new: NewJob, name: str) -> str:
    kind = next(dimension.kind for dimension in new.shape.dimensions if dimension.name == name)
    value = new.dimensions[name]
    return new.ruler.length(value) if kind == "length" else f"{value:g}{'°' if kind == 'angle' else ''}"


def _point(point: Vec, ruler: Ruler) -> str:
    return "[" + ", ".join(str(ruler.number(value)) for value in point) + "]"


def _direction(direction: Vec) -> str:
    return "[" + ", ".join(f"{value:g}" for value in direction) + "]"
