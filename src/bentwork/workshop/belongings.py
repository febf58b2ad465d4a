"""What the maker owns and changes as it changes: materials added, benders, bars on the rack, each by its name."""

from __future__ import annotations

import difflib
import sqlite3
from collections.abc import Mapping

from bentwork.bending.stock_key import StockKey, section_from_text, section_text
from bentwork.errors import Fault, InputError
from bentwork.stock.library import plain_name
from bentwork.workshop.connection import Database, Value
from bentwork.workshop.own_things import OwnBender, OwnMaterial, OwnStock
from bentwork.workshop.tables import table_from_text, text_of

__all__ = ["Benders", "Materials", "StockRack", "stock_record"]


class Materials:
    """The materials that the maker added; capitals, blanks and hyphens do not tell two names apart."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def all(self) -> tuple[OwnMaterial, ...]:
        """Return every material, by name."""
        return self._database.read(_material, "SELECT * FROM materials ORDER BY plain")

    def put(self, material: OwnMaterial) -> None:
        """Keep a material, in the place of one of that name."""
        record = {"plain": plain_name(material.name), "name": material.name, "entry": text_of(material.table)}
        _put(self._database, "materials", "plain", record)

    def remove(self, name: str) -> None:
        """Forget a material.

        Raises:
            InputError: there is none of that name.
        """
        names = {plain_name(one.name): one.name for one in self.all()}
        _remove(self._database, "materials", "plain", plain_name(name), name, "material", list(names.values()))


class Benders:
    """The maker's benders."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def all(self) -> tuple[OwnBender, ...]:
        """Return every bender, by name."""
        return self._database.read(_bender, "SELECT * FROM benders ORDER BY name")

    def put(self, bender: OwnBender) -> None:
        """Keep a bender, in the place of one of that name; test bends made on that one keep its name."""
        record = {"name": bender.name, "units": bender.units, "entry": text_of(bender.table)}
        _put(self._database, "benders", "name", record)

    def remove(self, name: str) -> None:
        """Forget a bender; its test bends stay.

        Raises:
            InputError: there is none of that name.
        """
        names = [one.name for one in self.all()]
        _remove(self._database, "benders", "name", name.strip(), name, "bender", names)


class StockRack:
    """The bars that the maker owns."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def all(self) -> tuple[OwnStock, ...]:
        """Return all stock, by name."""
        return self._database.read(_stock, "SELECT * FROM stock ORDER BY name")

    def put(self, stock: OwnStock) -> None:
        """Keep stock, in the place of what has that name."""
        _put(self._database, "stock", "name", stock_record(stock))

    def remove(self, name: str) -> None:
        """Forget stock.

        Raises:
            InputError: there is none of that name.
        """
        _remove(self._database, "stock", "name", name.strip(), name, "stock", [one.name for one in self.all()])


def stock_record(stock: OwnStock) -> dict[str, Value]:
    """Return stock as a row, in the order of its table."""
    return {
        "name": stock.name,
        "section": section_text(stock.stock_key.section),
        "material": stock.stock_key.material,
        "batch": stock.batch,
        "bar_length_mm": None if stock.bar_length_mm is None else float(stock.bar_length_mm),
        "bars": int(stock.bars),
        "price": None if stock.price is None else float(stock.price),
        "note": stock.note,
    }


def _material(row: sqlite3.Row) -> OwnMaterial:
    return OwnMaterial(row["name"], table_from_text(row["entry"]))


def _bender(row: sqlite3.Row) -> OwnBender:
    return OwnBender(row["name"], table_from_text(row["entry"]), row["units"])


def _stock(row: sqlite3.Row) -> OwnStock:
    return OwnStock(
        name=row["name"],
        stock_key=StockKey(section_from_text(row["section"]), row["material"]),
        batch=row["batch"],
        bar_length_mm=row["bar_length_mm"],
        bars=row["bars"],
        price=row["price"],
        note=row["note"],
    )


def _put(database: Database, table: str, key: str, record: Mapping[str, Value]) -> None:
    with database.writing():
        database.run(f"DELETE FROM {table} WHERE {key} = ?", (record[key],))
        database.insert(table, record)


def _remove(database: Database, table: str, key: str, value: str, name: str, what: str, names: list[str]) -> None:
    with database.writing():
        gone = database.run(f"DELETE FROM {table} WHERE {key} = ?", (value,))
    if not gone:
        near = difflib.get_close_matches(name, names, n=3) or names[:5]
        wanted = f"a {what} of the workshop: {', '.join(near)}" if near else f"a {what} of the workshop, which has none"
        raise InputError("workshop", [Fault(what, repr(name), wanted)])
