"""What the maker owns: a material added, a bender, bars on the rack."""

from __future__ import annotations

from dataclasses import dataclass
from typing import get_args

from bentwork.bending.checking import Checks
from bentwork.bending.stock_key import StockKey
from bentwork.stock.entry import material_from_mapping
from bentwork.stock.library import plain_name
from bentwork.stock.material import Material
from bentwork.units import Units
from bentwork.workshop.tables import Table, plain_table

__all__ = ["OwnBender", "OwnMaterial", "OwnStock"]

_MOST_BARS = 1_000_000
_DEAREST = 1e12


@dataclass(frozen=True, slots=True)
class OwnMaterial:
    """A material that the maker added.

    Args:
        name: as a job names it.
        table: as ``[material.NAME]`` in a job file holds it; MPa, per cent, kg/m3.

    Raises:
        InputError: the table makes no material; it carries every fault found.
    """

    name: str
    table: Table

    def __post_init__(self) -> None:
        checks = Checks("material")
        object.__setattr__(self, "name", checks.name("material", self.name))
        object.__setattr__(self, "table", plain_table(f"material.{self.name}", self.table, checks))
        if not plain_name(self.name) and not checks.faults:
            checks.fault("material", self.name, "a name with a letter or a figure in it")
        checks.tell()
        material_from_mapping(self.name, self.table)

    @property
    def material(self) -> Material:
        """The material that the table describes."""
        return material_from_mapping(self.name, self.table)


@dataclass(frozen=True, slots=True)
class OwnBender:
    """A bender of the maker's. Whether its table makes a bender is known to those who read job files.

    Args:
        name: as a job names it.
        table: as ``[bender.NAME]`` in a job file holds it.
        units: of the lengths in it.

    Raises:
        InputError: it has no name, or the table holds something that no job file can.
    """

    name: str
    table: Table
    units: Units = "mm"

    def __post_init__(self) -> None:
        checks = Checks("bender")
        object.__setattr__(self, "name", checks.name("bender", self.name))
        object.__setattr__(self, "table", plain_table(f"bender.{self.name}", self.table, checks))
        checks.choice("units", self.units, get_args(Units))
        checks.tell()


@dataclass(frozen=True, slots=True)
class OwnStock:
    """Bars of one kind and one length on the maker's rack; an offcut is a bar too.

    Args:
        name: what the maker calls them.
        stock_key: section and material.
        batch: what tells this delivery from others; empty when nobody noted it.
        bar_length_mm: of one bar; None when nobody measured it.
        bars: how many there are.
        price: of one bar, in the maker's own money.
        note: anything else.

    Raises:
        InputError: it cannot be so; it carries every fault found.
    """

    name: str
    stock_key: StockKey
    batch: str = ""
    bar_length_mm: float | None = None
    bars: int = 1
    price: float | None = None
    note: str = ""

    def __post_init__(self) -> None:
        checks = Checks("stock")
        object.__setattr__(self, "name", checks.name("name", self.name))
        object.__setattr__(self, "batch", checks.text("batch", self.batch))
        object.__setattr__(self, "note", checks.text("note", self.note))
        checks.length("bar length", self.bar_length_mm)
        if not 0 <= self.bars <= _MOST_BARS:
            checks.fault("bars", f"{self.bars}", f"how many there are, 0 to {_MOST_BARS}")
        if self.price is not None and not 0.0 <= self.price < _DEAREST:
            checks.fault("price", f"{self.price:g}", "what one bar costs, 0 or more")
        checks.tell()
