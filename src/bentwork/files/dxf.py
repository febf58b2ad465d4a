"""Lines as an ASCII DXF drawing of release 12, at 1:1, which every CAD program and cutter reads.

Group codes as in the format's public reference; from memory: 0 begins an entity, 8 its layer, 10 and 20 a point, 11 and
21 a second one, 40 a radius or a height, 50 and 51 angles in degrees, 62 a colour, 66 vertices follow, 70 flags.
$INSUNITS is younger than release 12; programs that do not know it pass it over.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from bentwork.models.lines import OUR_DRAWING, Arc, Chain, Inked, Line, Words, bounds
from bentwork.units import INCH, Units

__all__ = ["dxf_bytes"]

_COLOURS = {
    "OUTLINE": 7, "ENDS": 7, "CENTRELINE": 1, "BEND-UP": 5, "BEND-DOWN": 6, "MIDDLE": 3, "TRIM": 2, "WORDS": 8,
    "HOLES": 7, "HOLES-AFTER": 4, "CENTRES": 1,
}  # fmt: skip
_INSUNITS: dict[Units, int] = {"in": 1, "mm": 4}
_DASHES = {"CENTRELINE": "CENTER", "TRIM": "DASHED", "BEND-DOWN": "DASHED", "HOLES-AFTER": "DASHED"}
_PATTERNS = {"CONTINUOUS": (), "DASHED": (6.0, -3.0), "CENTER": (12.0, -2.0, 2.0, -2.0)}

Pair = tuple[int, str | int | float]


def dxf_bytes(drawn: Sequence[Inked], units: Units, title: str) -> bytes:
    """Return lines as a DXF drawing.

    Args:
        drawn: in mm.
        units: of the drawing; its coordinates are in them.
        title: stands in a comment at the top.
    """
    size = 1.0 if units == "mm" else 1.0 / INCH
    left, bottom, right, top = (edge * size for edge in bounds(drawn))
    pairs: list[Pair] = [(999, _plain(f"{OUR_DRAWING}, {units}: {title}")), (0, "SECTION"), (2, "HEADER")]
    pairs += [(9, "$ACADVER"), (1, "AC1009"), (9, "$INSUNITS"), (70, _INSUNITS[units])]
    pairs += [(9, "$EXTMIN"), (10, left), (20, bottom), (30, 0.0), (9, "$EXTMAX"), (10, right), (20, top), (30, 0.0)]
    pairs += [(0, "ENDSEC"), *_tables(sorted({inked.layer for inked in drawn}), size)]
    pairs += [(0, "SECTION"), (2, "ENTITIES")]
    for inked in drawn:
        pairs += _entity(inked, size)
    pairs += [(0, "ENDSEC"), (0, "EOF")]
    return "".join(f"{code:3d}\r\n{_value(value)}\r\n" for code, value in pairs).encode("ascii")


def _value(value: str | int | float) -> str:
    if isinstance(value, float):
        text = f"{value:.9f}".rstrip("0")
        return "0.0" if text in ("-0.", "0.") else text + "0" * text.endswith(".")
    return str(value)


def _plain(text: str) -> str:
    """Write words in ASCII: what is not gets its code, as DXF has it."""
    told = "".join(c if c.isprintable() else " " for c in text).replace("°", "%%d")
    return "".join(c if ord(c) < 128 else f"\\U+{ord(c):04X}" if ord(c) < 65536 else "?" for c in told)[:250]


def _tables(layers: Sequence[str], size: float) -> Iterator[Pair]:
    yield from ((0, "SECTION"), (2, "TABLES"), (0, "TABLE"), (2, "LTYPE"), (70, len(_PATTERNS)))
    for name, pattern in _PATTERNS.items():
        yield from ((0, "LTYPE"), (2, name), (70, 0), (3, name.lower()), (72, 65), (73, len(pattern)))
        yield (40, sum(abs(length) for length in pattern) * size)
        yield from ((49, length * size) for length in pattern)
    yield from ((0, "ENDTAB"), (0, "TABLE"), (2, "LAYER"), (70, len(layers) + 1))
    for name in ("0", *layers):
        yield from ((0, "LAYER"), (2, name), (70, 0), (62, _COLOURS.get(name, 7)))
        yield (6, _DASHES.get(name, "CONTINUOUS"))
    yield from ((0, "ENDTAB"), (0, "ENDSEC"))


def _entity(inked: Inked, size: float) -> Iterable[Pair]:
    def at(point: tuple[float, float], code: int = 10) -> list[Pair]:
        return [(code, point[0] * size), (code + 10, point[1] * size), (code + 20, 0.0)]

    layer: Pair = (8, inked.layer)
    match inked.shape:
        case Line(start, end):
            return [(0, "LINE"), layer, *at(start), *at(end, 11)]
        case Arc() as arc if arc.whole:
            return [(0, "CIRCLE"), layer, *at(arc.centre), (40, arc.radius * size)]
        case Arc(centre, radius, first, last):
            angles: list[Pair] = [(50, first % 360.0), (51, last % 360.0)]
            return [(0, "ARC"), layer, *at(centre), (40, radius * size), *angles]
        case Words(place, text, height):
            return [(0, "TEXT"), layer, *at(place), (40, height * size), (1, _plain(text))]
        case Chain(points, closed):
            found: list[Pair] = [(0, "POLYLINE"), layer, (66, 1), *at((0.0, 0.0)), (70, int(closed))]
            for point in points:
                found += [(0, "VERTEX"), layer, *at(point)]
            return [*found, (0, "SEQEND"), layer]
    raise AssertionError(f"no way to draw {inked.shape}")
