"""``[material.NAME]`` and ``[stock.NAME]``: sections with the sizes they need, and materials by name."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from bentwork.errors import Fault, InputError
from bentwork.files.job_check import check, check_keys, given_keys, wanted_of
from bentwork.files.job_faults import Faults
from bentwork.files.job_lines import Path
from bentwork.files.job_model import BarTable, StockTable
from bentwork.files.job_names import Built
from bentwork.files.job_words import NOTHING, listed, shorten, told
from bentwork.stock.bar import Stock
from bentwork.stock.entry import material_from_mapping
from bentwork.stock.library import NotFound, find, plain_name
from bentwork.stock.material import Material
from bentwork.stock.section import Flat, Round, Section, Square, SquareTube, Tube
from bentwork.stock.shape import SectionKind
from bentwork.units import Ruler

__all__ = ["MORE_SIZES", "SIZES", "bar_from", "material_from", "material_named", "stock_from"]

_NO_VALUE = re.compile(r"""(?<![\w'"])None(?![\w'"])""")

SIZES: Mapping[SectionKind, tuple[str, ...]] = {
    "round": ("diameter",),
    "tube": ("diameter", "wall"),
    "square": ("width", "height"),
    "square-tube": ("width", "height", "wall"),
    "flat": ("width", "height"),
}
"""The sizes that each kind of section needs."""

MORE_SIZES: Mapping[SectionKind, tuple[str, ...]] = {"square-tube": ("corner_radius",)}
"""The sizes that it may have besides."""

_WORDS: Mapping[SectionKind, str] = {
    "round": "a round bar",
    "tube": "a round tube",
    "square": "a square bar",
    "square-tube": "a square tube",
    "flat": "a flat bar",
}
_ALL_SIZES = ("diameter", "width", "height", "wall", "corner_radius")


def material_from(name: str, table: Mapping[str, Any], faults: Faults) -> Material | None:
    """Return the material of a ``[material.NAME]`` table; None when something is wrong with it, which is told."""
    if not name.strip():
        return None  # told with the names; a material cannot be made without one
    try:
        return material_from_mapping(name, table)
    except InputError as error:
        for fault in error.faults:
            _tell(name, table, fault, faults)
        return None


def _tell(name: str, table: Mapping[str, Any], fault: Fault, faults: Faults) -> None:
    """Pass on a fault of a material, at the key that it is about."""
    path, value = _path_of(fault.where.removeprefix(f"material.{name}."), table)
    as_written = value is not None and fault.found == repr(value)
    found = None if as_written else shorten(_NO_VALUE.sub(NOTHING, fault.found))
    faults.add(("material", name, *path), fault.wanted, fault.do, found)


def _path_of(where: str, table: Mapping[str, Any]) -> tuple[Path, Any]:
    """Return the keys that a dotted place in a table means, and what stands there; keys may have dots in them."""
    path: Path = ()
    value: Any = table
    while where:
        if isinstance(value, Mapping):
            keys = [key for key in value if where == key or where.startswith(f"{key}.")]
            key: str | int = max(keys, key=len, default=where)
            name = str(key)
        else:
            name = where.split(".")[0]
            key = int(name) - 1 if name.isdecimal() else name
        path = (*path, key)
        where = where[len(name) + 1 :]
        try:
            value = value[key]
        except (KeyError, IndexError, TypeError):
            return path, None
    return path, value


def stock_from(
    name: str,
    table: Mapping[str, Any],
    own: Built[Material] | None,
    library: Callable[[], Mapping[str, Material]],
    ruler: Ruler,
    faults: Faults,
) -> Stock | None:
    """Return the stock of a ``[stock.NAME]`` table; None when something is wrong with it, which is told.

    Args:
        name: of the stock.
        table: as ``tomllib`` read it.
        own: materials of the job file itself; they come before those of the library.
        library: gives the materials that come with the package.
        ruler: how lengths are read and shown in this job.
        faults: gathers what is wrong.
    """
    path = ("stock", name)
    read = check(StockTable, path, table, ruler.units, faults)
    bar = bar_from(path, table, read, own, library, ruler, faults)
    if bar is None:
        return None
    more = tuple((one.length, one.price) for one in read.bars)
    return Stock(name, *bar, read.bar_length, read.price, more, read.offcuts)


def bar_from(
    path: Path,
    table: Mapping[str, Any],
    read: BarTable,
    own: Built[Material] | None,
    library: Callable[[], Mapping[str, Material]],
    ruler: Ruler,
    faults: Faults,
) -> tuple[Section, Material] | None:
    """Return section and material of a table that describes a bar; None when something is wrong, which is told."""
    section = _section(path, table, read, ruler, faults)
    material = None
    if read.material is not None:
        material = material_named((*path, "material"), read.material, own, library, faults)
    elif "material" not in given_keys(type(read), table):
        faults.add((*path, "material"), 'the name of a material, such as "S235" or "6082-T6"', "Add material = …")
    return None if section is None or material is None else (section, material)


def _section(path: Path, table: Mapping[str, Any], read: BarTable, ruler: Ruler, faults: Faults) -> Section | None:
    kind = read.section
    if kind is None:
        if "section" not in given_keys(type(read), table):
            faults.add((*path, "section"), wanted_of(BarTable, "section"), "Add section = …")
        return None
    needed = SIZES[kind]
    allowed = (*needed, *MORE_SIZES.get(kind, ()))
    senseless = [key for key in _ALL_SIZES if key not in allowed]
    check_keys(type(read), path, table, (needed, senseless), _WORDS[kind], faults)
    if any(getattr(read, key) is None for key in needed) or ("corner_radius" in table and read.corner_radius is None):
        return None
    before = faults.count
    _compare(path, kind, read, ruler, faults)
    if faults.count > before:
        return None
    diameter, width, height, wall = read.diameter or 0.0, read.width or 0.0, read.height or 0.0, read.wall or 0.0
    made: Mapping[SectionKind, Callable[[], Section]] = {
        "round": lambda: Round(diameter),
        "tube": lambda: Tube(diameter, wall),
        "square": lambda: Square(width, height),
        "square-tube": lambda: SquareTube(width, height, wall, read.corner_radius or 0.0),
        "flat": lambda: Flat(width, height),
    }
    return made[kind]()


def _compare(path: Path, kind: SectionKind, read: BarTable, ruler: Ruler, faults: Faults) -> None:
    """Tell which sizes cannot stand together."""
    width, height, wall = read.width or 0.0, read.height or 0.0, read.wall or 0.0
    if kind == "flat" and height > width:
        wanted = f"the thickness of the flat, no more than its width, {ruler.length(width)}"
        faults.add((*path, "height"), wanted, "Exchange width and height.")
    if kind not in ("tube", "square-tube"):
        return
    outside = (read.diameter or 0.0) if kind == "tube" else min(width, height)
    if wall >= outside / 2.0:
        size = "diameter" if kind == "tube" else "smaller side"
        wanted = f"a wall of less than half the {size}, {ruler.length(outside / 2.0)}, which leaves a hole"
        solid = "round" if kind == "tube" else "square"
        faults.add((*path, "wall"), wanted, f'A bar without a hole is section = "{solid}", without wall.')
    if kind == "square-tube" and (read.corner_radius or 0.0) > outside / 2.0:
        wanted = f"an outside radius of at most half the smaller side, {ruler.length(outside / 2.0)}"
        faults.add((*path, "corner_radius"), wanted)


def material_named(
    path: Path,
    name: str,
    own: Built[Material] | None,
    library: Callable[[], Mapping[str, Material]],
    faults: Faults,
) -> Material | None:
    """Return the material of a name; None when there is none, which is told, or it is itself wrong.

    Args:
        path: where the name stands.
        name: what stands there.
        own: materials of the job file itself; None when they are wrong as a whole.
        library: gives the materials that come with the package.
        faults: gathers what is wrong.
    """
    if own is None:
        return None
    for written, material in own.items():
        if plain_name(written) == plain_name(name):
            return material
    known = {key: material for key, material in own.items() if material is not None} | dict(library())
    found = find(name, known)
    if not isinstance(found, NotFound):
        return found
    do = (
        f"Did you mean {listed(map(told, found.near))}?"
        if found.near
        else "Its numbers go into a [material.NAME] table."
    )
    faults.add(path, "a material of the library, or of a [material.NAME] table in this file", do)
    return None
