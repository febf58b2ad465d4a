"""The library of materials that comes with the package: reads ``data/materials.toml``."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from types import MappingProxyType

from bentwork.errors import Fault, InputError
from bentwork.stock.entry import material_from_mapping
from bentwork.stock.material import Material

__all__ = ["materials"]

_FILE = "data/materials.toml"


@cache
def materials() -> Mapping[str, Material]:
    """Return the materials that come with the package, by name, in the order of their file.

    Raises:
        InputError: the file is wrong; it carries every fault of every entry.
    """
    entries = tomllib.loads(files("bentwork").joinpath(_FILE).read_text(encoding="utf-8"))
    read: dict[str, Material] = {}
    faults: list[Fault] = []
    for name, entry in entries.items():
        try:
            read[name] = material_from_mapping(name, entry, where=name)
        except InputError as wrong:
            faults.extend(wrong.faults)
    if faults:
        raise InputError(_FILE, faults)
    return MappingProxyType(read)
