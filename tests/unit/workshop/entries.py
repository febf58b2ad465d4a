"""Entries with defaults: what a test does not care about, it does not say."""

from __future__ import annotations

from typing import Any

from bentwork.bending.stock_key import StockKey
from bentwork.bending.test_bend import TestBend
from bentwork.stock.section import Round
from bentwork.workshop.log_entries import LoggedBend, LoggedSize
from bentwork.workshop.own_things import OwnBender, OwnMaterial, OwnStock
from bentwork.workshop.store import Workshop

__all__ = [
    "ROD",
    "a_bender_table",
    "a_logged_bend",
    "a_logged_size",
    "a_material",
    "a_test_bend",
    "everything",
    "fill",
    "some_bars",
]

ROD = StockKey(Round(12.0), "6082-T6")


def a_test_bend(**changes: Any) -> TestBend:  # noqa: ANN401 - whatever a test changes
    """A bar of 300 mm with 36 mm radius, pulled to 93 degrees: the legs are as they would be measured."""
    usual: dict[str, Any] = {
        "stock_key": ROD,
        "bender": "lever",
        "radius_mm": 36.0,
        "made_on": "2025-03-12",
        "pulled_deg": 93.0,
        "left_deg": 90.0,
        "batch": "March",
        "bar_mm": 300.0,
        "mark_mm": 120.0,
        "held_leg_mm": 162.0,
        "free_leg_mm": 165.5,
    }
    return TestBend(**usual | changes)


def a_logged_bend(**changes: Any) -> LoggedBend:  # noqa: ANN401 - whatever a test changes
    usual: dict[str, Any] = {
        "entry_id": "bend-1",
        "job": "Crate shelf for a hand cart",
        "job_version": "3f2a9c",
        "piece": "loop",
        "bend": 1,
        "angle_deg": 89.5,
        "made_on": "2025-03-13",
    }
    return LoggedBend(**usual | changes)


def a_logged_size(**changes: Any) -> LoggedSize:  # noqa: ANN401 - whatever a test changes
    usual: dict[str, Any] = {
        "entry_id": "leg-1",
        "job": "Crate shelf for a hand cart",
        "job_version": "3f2a9c",
        "piece": "loop",
        "kind": "leg",
        "length_mm": 312.5,
        "from_place": 1,
        "to_place": 2,
        "made_on": "2025-03-13",
    }
    return LoggedSize(**usual | changes)


def a_material(name: str = "jetty rail", **changes: Any) -> OwnMaterial:  # noqa: ANN401 - whatever a test changes
    table: dict[str, Any] = {
        "elastic_modulus": 210000,
        "proof_stress": 300,
        "tensile_strength": 420,
        "elongation": {"value": 18, "source": "mill certificate"},
        "density": 7850,
        "aliases": ["old rail"],
    }
    return OwnMaterial(name, table | changes)


def a_bender_table(name: str = "lever") -> OwnBender:
    follower: dict[str, Any] = {"kind": "roller", "radius": 18.5, "height": 24, "ahead": 22}
    return OwnBender(name, {"kind": "wrap", "radius": 36, "follower": follower})


def some_bars(name: str = "rod", **changes: Any) -> OwnStock:  # noqa: ANN401 - whatever a test changes
    usual: dict[str, Any] = {"stock_key": ROD, "bar_length_mm": 3000.0, "bars": 4, "price": 14.5}
    return OwnStock(name, **usual | changes)


def fill(workshop: Workshop) -> None:
    """Put one of everything into a workshop, and a test bend that is struck out."""
    workshop.materials.put(a_material())
    workshop.benders.put(a_bender_table())
    workshop.stock.put(some_bars(batch="March"))
    workshop.test_bends.add(a_test_bend(note="good"), entry_id="phone-1")
    workshop.test_bends.add(a_test_bend(left_deg=60.0, held_leg_mm=None, free_leg_mm=None))
    workshop.test_bends.strike_out(2, "misread 60 for 90", "2025-03-12")
    workshop.log.add(a_logged_bend(rotation_deg=-0.5))
    workshop.log.add(a_logged_size())
    workshop.log.add(a_logged_bend(entry_id="slip", angle_deg=98.0))
    workshop.log.strike_out("slip", "misread 98 for 89", "2025-03-13")


def everything(workshop: Workshop) -> list[object]:
    return [
        workshop.materials.all(),
        workshop.benders.all(),
        workshop.stock.all(),
        workshop.test_bends.all(struck=True),
        workshop.log.all(struck=True),
    ]
