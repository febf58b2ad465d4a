"""From a wish in words (a shape, a few dimensions) to the text of a new job file, with every fault at once."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches

from bentwork.errors import Fault, InputError
from bentwork.files.job_file import parse_job
from bentwork.files.new_job import NewJob, job_text
from bentwork.piece.corners import Corners
from bentwork.piece.shapes import SHAPES, Shape
from bentwork.tolerances import SAME_POINT
from bentwork.units import INCH, Ruler, about_commas, parse_length, with_points

__all__ = ["Wish", "start_job"]

_SOURCE = "bentwork new"
_MOST = 10_000.0  # mm; no dimension that is asked for is longer


@dataclass(frozen=True, slots=True)
class Wish:
    """What the maker asked for, in the maker's own words; None for what was left out.

    Args:
        name: of the job.
        shape: name of the shape to start from.
        dimensions: of the shape, by name.
        diameter: of the bar.
        radius: centreline radius of the die.
        material: of the bar.
        units: of the file, ``mm`` or ``in``.
    """

    name: str | None
    shape: str | None
    dimensions: Mapping[str, str | None]
    diameter: str | None = None
    radius: str | None = None
    material: str = "6082-T6"
    units: str = "mm"


def start_job(wish: Wish) -> str:
    """Return the text of the job file; what cannot be read back is not returned.

    Raises:
        InputError: with every fault of the wish.
    """
    faults: list[Fault] = []
    if wish.name is None:
        faults.append(Fault("NAME", "none", "a name for the job", "Write it first: bentwork new NAME --from ..."))
    elif not any(letter.isalnum() for letter in wish.name):
        faults.append(Fault("NAME", repr(wish.name), "a name with a letter or a figure: the file is called after it"))
    if wish.units not in ("mm", "in"):
        faults.append(Fault("--units", repr(wish.units), "mm or in"))
    ruler = Ruler("in" if wish.units == "in" else "mm")
    shape = SHAPES.get(wish.shape or "")
    if shape is None:
        faults.append(_no_shape(wish.shape, list(SHAPES)))
    dimensions = _dimensions(shape, wish.dimensions, ruler, faults) if shape else {}
    bar = _length("--diameter", wish.diameter, 12.0 if ruler.units == "mm" else 12.7, ruler, faults)
    die = _length("--radius", wish.radius, 4 * bar, ruler, faults)
    if die <= bar / 2.0:
        wanted = f"a radius to the middle of the bar: more than half of it, {ruler.length(bar / 2.0)}"
        faults.append(Fault("--radius", repr(wish.radius), wanted))
    if shape and shape.own_radius and wish.radius is not None:
        faults.append(Fault("--radius", repr(wish.radius), f"nothing: {shape.name} sets its own", "Leave it out."))
    if faults or shape is None or wish.name is None:
        raise InputError(_SOURCE, faults)
    new = NewJob(wish.name, shape, dimensions, bar, wish.material, die, ruler)
    text = job_text(new)
    try:
        parse_job(text.encode(), _SOURCE)
    except InputError as error:
        told = [Fault(fault.where, fault.found, fault.wanted, fault.do) for fault in error.faults]
        once = _too_small(new, wish) or _too_large(new, wish)
        raise InputError(f"{_SOURCE}: no {shape.name} can be made of this", once or told) from None
    return text


def _too_small(new: NewJob, wish: Wish) -> list[Fault]:
    """Return the dimensions each of which, made greater by itself, would do, with the least that it must be."""
    found = []
    for dimension in new.shape.dimensions:
        least = _least(new, dimension.name) if dimension.kind == "length" else None
        if least is not None:
            words = wish.dimensions.get(dimension.name)
            now = repr(words) if words is not None else new.ruler.length(new.dimensions[dimension.name])
            wanted = f"{new.ruler.length(least)} or more with bends of {new.ruler.length(new.die)}"
            found.append(Fault(f"--{dimension.name}", now, wanted))
    return found


def _too_large(new: NewJob, wish: Wish) -> list[Fault]:
    """Return the radius, or the bar with the radius that goes with it, that would do with these dimensions."""
    ruler, least = new.ruler, 1.0 if new.ruler.units == "mm" else INCH / 16.0

    def most(whole: float, changed: Callable[[float], NewJob]) -> float | None:
        low, high = 0, math.ceil(whole / least)
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (middle, high) if _can_be(changed(middle * least)) else (low, middle)
        return low * least if low else None

    if wish.radius is not None:
        radius = most(new.die, lambda die: replace(new, radius=die))
        if radius is not None:
            wanted = f"a radius of {ruler.length(radius)} or less with these dimensions"
            return [Fault("--radius", repr(wish.radius), wanted)]
    ratio = new.radius / new.diameter
    bar = most(new.diameter, lambda wide: replace(new, diameter=wide, radius=ratio * wide))
    if bar is None:
        return []
    wanted = f"a bar of {ruler.length(bar)} or less, or larger dimensions: its bends take {ruler.length(new.die)} each"
    return [Fault("--diameter", repr(wish.diameter) if wish.diameter else ruler.length(new.diameter), wanted)]


def _least(new: NewJob, name: str) -> float | None:
    """Return the least length of a dimension with which this can be made, to the next mm or 1/16 in; None for none."""
    step = 1.0 if new.ruler.units == "mm" else INCH / 16.0

    def fits(count: int) -> bool:
        return _can_be(replace(new, dimensions={**new.dimensions, name: count * step}))

    low = math.floor(new.dimensions[name] / step)
    high = 2 * max(low, 8)
    while not fits(high):
        high *= 2
        if high * step > _MOST:
            return None
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if fits(middle) else (middle, high)
    return high * step


def _can_be(new: NewJob) -> bool:
    if new.die <= new.diameter / 2.0 or _clearly_tight(new):
        return False
    try:
        parse_job(job_text(new).encode(), _SOURCE)
    except InputError:
        return False
    return True


def _clearly_tight(new: NewJob) -> bool:
    """Whether corners are closer together than their bends take, by more than the rounding of the file can mend.

    Seen from the corners alone: reading the file would also look for the least change to each of them.
    """
    for sketch in new.sketches:
        if sketch.points:
            bends = len(sketch.points) if sketch.closed else len(sketch.points) - 2
            corners = Corners(sketch.points, (new.die,) * bends, sketch.closed)
            if any(corners.slack(side) < -SAME_POINT for side in range(corners.sides)):
                return True
    return False


def _no_shape(shape: str | None, names: list[str]) -> Fault:
    near = get_close_matches(shape or "", names, 1)
    advice = f"Did you mean {near[0]}?" if near else "bentwork new alone lists them with their dimensions."
    return Fault("--from", repr(shape) if shape else "none", f"one of {', '.join(names)}", advice)


def _dimensions(shape: Shape, given: Mapping[str, str | None], ruler: Ruler, faults: list[Fault]) -> dict[str, float]:
    taken = {dimension.name: dimension for dimension in shape.dimensions}
    for name, words in given.items():
        if words is not None and name not in taken:
            takes = ", ".join(f"--{n}" for n in taken)
            faults.append(Fault(f"--{name}", words, f"a dimension of {shape.name}: {takes}", "Leave it out."))
    values = {}
    for name, dimension in taken.items():
        start = dimension.inches if ruler.units == "in" and dimension.kind == "length" else dimension.mm
        words = given.get(name)
        if dimension.kind == "length":
            values[name] = _length(f"--{name}", words, start, ruler, faults, dimension.least)
        else:
            values[name] = _number(f"--{name}", words, start, faults, whole=dimension.kind == "number")
    return values


def _length(
    option: str, words: str | None, start: float, ruler: Ruler, faults: list[Fault], least: float = 0.1
) -> float:
    if words is None:
        return start
    try:
        value = parse_length(words, ruler.units)
    except ValueError as error:
        faults.append(Fault(option, repr(words), str(error), about_commas(words)))
        return start
    if value < least:
        faults.append(Fault(option, repr(words), f"a length of {ruler.length(least)} or more"))
        return start
    if value > _MOST:
        most = "10 m" if ruler.units == "mm" else ruler.length(_MOST)
        faults.append(Fault(option, repr(words), f"a length of {most} at most: bars are sold by 6 m"))
        return start
    return value


def _number(option: str, words: str | None, start: float, faults: list[Fault], *, whole: bool) -> float:
    if words is None:
        return start
    wanted = "a whole number from 1 to 50" if whole else "an angle from 5 to 175 degrees"
    low, high = (1, 50) if whole else (5, 175)
    try:
        value = float(with_points(words))
    except ValueError:
        value = float("nan")
    if not low <= value <= high or (whole and value != int(value)):
        faults.append(Fault(option, repr(words), wanted))
        return start
    return value
