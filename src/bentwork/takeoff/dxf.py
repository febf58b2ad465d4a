"""Lines, arcs and polylines of an ASCII DXF drawing, in plane and in space.

Group codes and entities as in the publisher's public DXF reference; from memory: 10, 20, 30 a point, 11, 21, 31 a
second one, 8 the layer, 999 a comment, 40 a radius, 42 a bulge (tangent of a quarter of the arc's angle), 50, 51 angles
in degrees, 60 (1 not seen), 62 a colour (of a layer: below 0 it is switched off), 67 (1 on the paper, not in the
model), 70 flags (1 closed, 8 a polyline in space; of a vertex 16 one that only steers a curve; of a layer 1 frozen),
210, 220, 230 the normal of the entity's own coordinate system.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field

from bentwork.errors import Fault, InputError
from bentwork.models.lines import OUR_DRAWING
from bentwork.space import Vec, add, along, cross, distance, norm, rotate, scale, sub, unit
from bentwork.takeoff.runs import Arc, Part, Straight, key_of
from bentwork.tolerances import FARTHEST

__all__ = ["TWICE", "Drawing", "parts_from_dxf"]

_UNITS: dict[int, tuple[str, float]] = {
    1: ("inch", 25.4),
    2: ("foot", 304.8),
    4: ("millimetre", 1.0),
    5: ("centimetre", 10.0),
    6: ("metre", 1000.0),
    9: ("mil", 0.0254),
    10: ("yard", 914.4),
    14: ("decimetre", 100.0),
}
_TAKEN = ("LINE", "ARC", "CIRCLE", "LWPOLYLINE", "POLYLINE")
MIDDLE_LAYERS = ("CENTRELINE", "CENTERLINE")
"""Layers of these names hold the middle of the bar, whatever else is drawn beside it."""
MOST_ENTITIES = 100_000
TWICE = "line drawn a second time"
"""What it is called among what is passed over."""


@dataclass(frozen=True, slots=True)
class Drawing:
    """What was drawn.

    Args:
        parts: straights and arcs, mm.
        layers: that each of them is on, in capitals.
        units: of the file; empty when it names none.
        passed_over: entities of other sorts, with their number.
        unseen: how many are not seen on the screen, by their layer and why, and so are passed over too.
        shows_outlines: it is a drawing of ours with the outline of a piece, in views or laid flat.
    """

    parts: tuple[Part, ...]
    layers: tuple[str, ...]
    units: str
    passed_over: dict[str, int]
    unseen: dict[tuple[str, str], int]
    shows_outlines: bool = False

    @property
    def unseen_middle(self) -> str:
        """The layer that would hold the middle of the bar, were it seen; empty without one."""
        if not set(MIDDLE_LAYERS).isdisjoint(self.layers):
            return ""
        return next((layer for layer, _ in self.unseen if layer in MIDDLE_LAYERS), "")

    @property
    def middle(self) -> tuple[Part, ...]:
        """What is the middle of a bar: all parts on a layer of that name, or all there are without one."""
        found = tuple(part for part, layer in zip(self.parts, self.layers, strict=True) if layer in MIDDLE_LAYERS)
        return found or self.parts


@dataclass
class _Entity:
    kind: str
    line: int
    codes: list[tuple[int, str]] = field(default_factory=list)
    vertices: list[_Entity] = field(default_factory=list)

    @property
    def layer(self) -> str:
        return self.word(8).upper() or "0"

    def word(self, code: int) -> str:
        return next((value for key, value in self.codes if key == code), "")

    def number(self, code: int, other: float = 0.0) -> float:
        return next((float(value) for key, value in self.codes if key == code), other)

    def point(self, code: int) -> Vec:
        return (self.number(code), self.number(code + 10), self.number(code + 20))


def parts_from_dxf(text: str, source: str, bare: float = 1.0) -> Drawing:
    """Return the straights and arcs of a drawing.

    Args:
        text: of the file.
        source: its name, for messages.
        bare: millimetres in a unit where the file names none.

    Raises:
        InputError: it is no ASCII DXF, or numbers in it are none.
    """
    pairs = _pairs(text, source)
    units, size, value = "", bare, ""
    entities: list[_Entity] = []
    tables: list[_Entity] = []
    section = ""
    variable = ""
    ours = False
    for line, code, value in pairs:
        if code == 2 and section == "?":
            section = value
        elif code == 999:
            ours = ours or value.startswith(OUR_DRAWING)
        elif code == 0 and value == "SECTION":
            section = "?"
        elif code == 0 and value == "ENDSEC":
            section = ""
        elif section == "HEADER":
            if code == 9:
                variable = value
            elif code == 70 and variable == "$INSUNITS" and value.isdigit() and int(value) in _UNITS:
                units, size = _UNITS[int(value)]
        elif section in ("ENTITIES", "TABLES"):
            gathered = entities if section == "ENTITIES" else tables
            _gather(gathered, line, code, value)
            if len(gathered) > MOST_ENTITIES:
                found, wanted = f"more than {MOST_ENTITIES}", f"{MOST_ENTITIES} at most"
                raise InputError(source, [Fault(section.lower(), found, wanted, "Export less.", line)])
    parts: list[Part] = []
    layers: list[str] = []
    passed: dict[str, int] = {}
    unseen: dict[tuple[str, str], int] = {}
    drawn: set[object] = set()
    off = _layers_off(tables, source)
    for entity in entities:
        with _faulted(entity, source):
            on_paper = entity.number(67) == 1.0
            why = off.get(entity.layer, "") or ("hidden one by one" if entity.number(60) == 1.0 else "")
            made = [] if on_paper or why else list(_parts(entity, size))
        if why and not on_paper:
            unseen[entity.layer, why] = unseen.get((entity.layer, why), 0) + 1
        elif on_paper or entity.kind not in _TAKEN:
            name = f"{entity.kind} on a sheet of paper" if on_paper else entity.kind
            passed[name] = passed.get(name, 0) + 1
        for part in made:
            key = (entity.layer, *key_of(part), tuple(round(c, 6) for c in _middle(part)))
            if key in drawn:
                passed[TWICE] = passed.get(TWICE, 0) + 1
                continue
            drawn.add(key)
            parts.append(part)
            layers.append(entity.layer)
    if section and value != "EOF":
        do = "It was cut off while it was saved or copied: save it again."
        raise InputError(source, [Fault("file", "a drawing without its end", "all of it", do, len(text.splitlines()))])
    outlines = ours and any(entity.layer == "OUTLINE" for entity in entities)
    return Drawing(tuple(parts), tuple(layers), units, passed, unseen, outlines)


def _layers_off(tables: Sequence[_Entity], source: str) -> dict[str, str]:
    """Return the layers that are not seen on the screen, each with why."""
    found = {}
    for row in tables:
        if row.kind == "LAYER":
            with _faulted(row, source):
                frozen, switched_off = int(row.number(70)) & 1, row.number(62) < 0.0
            if frozen or switched_off:
                found[row.word(2).upper()] = "frozen" if frozen else "switched off"
    return found


@contextmanager
def _faulted(entity: _Entity, source: str) -> Iterator[None]:
    """Tell of numbers that are none, with the entity that has them."""
    try:
        yield
    except (ValueError, OverflowError):
        wanted = f"finite numbers where DXF has them, no farther than {FARTHEST / 1e6:g} km"
        found = "a number that is none, or too large"
        raise InputError(source, [Fault(entity.kind, found, wanted, line=entity.line)]) from None


def _middle(part: Part) -> Vec:
    """Return the point half way along."""
    if isinstance(part, Arc):
        return along(part.centre, rotate(part.out, part.axis, math.degrees(part.angle) / 2.0), part.radius)
    return scale(add(part.a, part.b), 0.5)


def _pairs(text: str, source: str) -> Iterator[tuple[int, int, str]]:
    lines = text.splitlines()
    if not any(line.strip() == "SECTION" for line in lines[:400]):
        raise InputError(source, [Fault("file", "no DXF", "an ASCII DXF drawing", "Save it as DXF again.")])
    for k in range(0, len(lines) - 1, 2):
        code = lines[k].strip()
        if not code.lstrip("-").isdigit():
            fault = Fault("group code", repr(code[:20]), "a whole number", "The file is damaged: save it again.", k + 1)
            raise InputError(source, [fault])
        yield k + 1, int(code), lines[k + 1].strip()


def _gather(entities: list[_Entity], line: int, code: int, value: str) -> None:
    if code == 0:
        if value in ("VERTEX", "SEQEND") and entities and entities[-1].kind == "POLYLINE":
            entities[-1].vertices.append(_Entity(value, line))
            return
        entities.append(_Entity(value, line))
    elif entities:
        last = entities[-1]
        (last.vertices[-1] if last.vertices else last).codes.append((code, value))


def _parts(entity: _Entity, size: float) -> Iterator[Part]:
    frame = _frame(entity)

    def world(p: Vec) -> Vec:
        x, y, z = frame
        return scale(add(add(scale(x, p[0]), scale(y, p[1])), scale(z, p[2])), size)

    if entity.kind == "LINE":
        a, b = scale(entity.point(10), size), scale(entity.point(11), size)
        _finite(a, b)
        if distance(a, b) > 1e-9:
            yield Straight(a, b)
    elif entity.kind in ("ARC", "CIRCLE"):
        centre, radius = entity.point(10), entity.number(40)
        first = math.radians(entity.number(50)) if entity.kind == "ARC" else 0.0
        last = math.radians(entity.number(51)) if entity.kind == "ARC" else 2.0 * math.pi
        sweep = (last - first) % (2.0 * math.pi) or 2.0 * math.pi
        out = world((math.cos(first), math.sin(first), 0.0))
        _finite(world(centre), (radius, first, last))
        if radius > 0.0:
            yield Arc(world(centre), frame[2], unit(out), radius * size, sweep)
    elif entity.kind == "LWPOLYLINE":
        yield from _bulged(_light(entity), bool(int(entity.number(70)) & 1), world, frame[2], size)
    elif entity.kind == "POLYLINE":
        flags = int(entity.number(70))
        corners = [v for v in entity.vertices if v.kind == "VERTEX" and not int(v.number(70)) & 16]
        rows = [(v.point(10), v.number(42)) for v in corners]
        if flags & 8:
            straight = [(scale(p, size), 0.0) for p, _ in rows]
            yield from _bulged(straight, bool(flags & 1), lambda p: p, (0.0, 0.0, 1.0), 1.0)
        elif not flags & (16 | 64):
            yield from _bulged(rows, bool(flags & 1), world, frame[2], size)


def _light(entity: _Entity) -> list[tuple[Vec, float]]:
    rows: list[list[float]] = []
    height = entity.number(38)
    for code, value in entity.codes:
        if code == 10:
            rows.append([float(value), 0.0, 0.0])
        elif code == 20 and rows:
            rows[-1][1] = float(value)
        elif code == 42 and rows:
            rows[-1][2] = float(value)
    return [((x, y, height), bulge) for x, y, bulge in rows]


def _bulged(rows: Sequence[tuple[Vec, float]], closed: bool, world: object, normal: Vec, size: float) -> Iterator[Part]:
    assert callable(world)
    count = len(rows)
    for k in range(count if closed else count - 1):
        (a, bulge), (b, _) = rows[k], rows[(k + 1) % count]
        _finite(a, b, (bulge, 0.0, 0.0))
        if distance(a, b) * size < 1e-9:
            continue
        if abs(bulge) < 1e-9:
            yield Straight(world(a), world(b))
            continue
        sweep = 4.0 * math.atan(abs(bulge))
        start, end = world(a), world(b)
        chord = sub(end, start)
        radius = norm(chord) / (2.0 * math.sin(sweep / 2.0))
        axis = normal if bulge > 0.0 else scale(normal, -1.0)
        middle = scale(add(start, end), 0.5)
        aside = unit(cross(axis, chord))
        centre = add(middle, scale(aside, radius * math.cos(sweep / 2.0)))
        yield Arc(centre, axis, unit(sub(start, centre)), radius, sweep)


def _frame(entity: _Entity) -> tuple[Vec, Vec, Vec]:
    """Return the axes of the entity's own coordinates (the reference's arbitrary axis algorithm)."""
    normal = (entity.number(210), entity.number(220), entity.number(230, 1.0))
    z = unit(normal) if norm(normal) > 1e-9 else (0.0, 0.0, 1.0)
    near = abs(z[0]) < 1.0 / 64.0 and abs(z[1]) < 1.0 / 64.0
    x = unit(cross((0.0, 1.0, 0.0) if near else (0.0, 0.0, 1.0), z))
    return x, cross(z, x), z


def _finite(*points: Vec) -> None:
    if not all(abs(c) < FARTHEST for p in points for c in p):
        raise ValueError("not finite, or farther away than anything that is bent")
