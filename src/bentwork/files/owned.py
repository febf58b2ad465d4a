"""What the maker's workshop owns, for jobs that name it: materials, benders, stock."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import partial
from typing import Any

from bentwork.errors import Fault, InputError
from bentwork.files.catalogue import materials
from bentwork.files.job_build_bender import bender_from
from bentwork.files.job_faults import Faults
from bentwork.stock.bar import Stock
from bentwork.stock.entry import material_from_mapping
from bentwork.stock.library import NotFound, find, plain_name
from bentwork.stock.material import Material
from bentwork.stock.section import Section
from bentwork.tooling.bender import Bender
from bentwork.units import Ruler, Units

__all__ = ["Owned"]


@dataclass(frozen=True, slots=True)
class Owned:
    """What the workshop owns, by name. What a job file itself says of a name comes first.

    Args:
        materials: tables as in ``[material.NAME]``.
        benders: tables as in ``[bender.NAME]``, with the units of their lengths.
        stocks: section, name of the material, length of a bar in mm, price of one.
        offcuts: section, name of the material, length in mm, how many.
    """

    materials: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    benders: Mapping[str, tuple[Mapping[str, Any], Units]] = field(default_factory=dict)
    stocks: Mapping[str, tuple[Section, str, float | None, float | None]] = field(default_factory=dict)
    offcuts: tuple[tuple[Section, str, float, int], ...] = ()

    def with_offcuts(self, stock: Stock) -> Stock:
        """Return a stock with the workshop's offcuts of its section and metal besides its own."""
        alike = {plain_name(name) for name in (stock.material.name, *stock.material.aliases)}
        more = [
            length
            for section, material, length, count in self.offcuts
            if section == stock.section and plain_name(material) in alike
            for _ in range(count)
        ]
        return replace(stock, offcuts=(*stock.offcuts, *more)) if more else stock

    def own_materials(self) -> dict[str, Material]:
        """Return the workshop's materials.

        Raises:
            InputError: one of them is wrong.
        """
        return {name: material_from_mapping(name, table) for name, table in self.materials.items()}

    def benders_named(self, names: Iterable[str]) -> dict[str, Bender | None]:
        """Return those of the workshop's benders that are named.

        Raises:
            InputError: one of them is wrong; every fault is told.
        """
        found = {}
        for name in sorted(set(names) & set(self.benders)):
            table, units = self.benders[name]
            faults = Faults("", {"bender": {name: table}})
            own = self.own_materials()
            found[name] = bender_from(name, table, own, materials, Ruler(units), faults)
            faults.raise_if_any("workshop")
        return found

    def stocks_named(self, names: Iterable[str], known: Mapping[str, Material]) -> dict[str, Stock | None]:
        """Return the workshop's stock that is named; ``known`` are all materials there are.

        Raises:
            InputError: its material is not known.
        """
        make = partial(self._stock, known=known)
        return {name: make(name) for name in sorted(set(names) & set(self.stocks))}

    def _stock(self, name: str, known: Mapping[str, Material]) -> Stock:
        section, material, bar_length, price = self.stocks[name]
        found = find(material, known)
        if isinstance(found, NotFound):
            near = f"Did you mean {found.near[0]}?" if found.near else "Add it: bentwork workshop keep."
            raise InputError("workshop", [Fault(f"stock.{name}.material", material, "a material that is known", near)])
        return Stock(name, section, found, bar_length, price)
