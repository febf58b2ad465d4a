"""Materials, benders and stock: kept under a name, changed, forgotten."""

from __future__ import annotations

import math
import tomllib
from pathlib import Path
from typing import Any

import pytest

from bentwork.bending.stock_key import StockKey
from bentwork.errors import InputError
from bentwork.stock.section import Tube
from bentwork.workshop.own_things import OwnBender, OwnMaterial
from bentwork.workshop.store import Workshop, open_workshop
from tests.unit.workshop.entries import a_bender_table, a_material, some_bars


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "workshop"


def again(folder: Path) -> Workshop:
    return open_workshop(folder)


def test_a_new_workshop_is_empty(folder: Path) -> None:
    with open_workshop(folder) as workshop:
        assert [workshop.materials.all(), workshop.benders.all(), workshop.stock.all()] == [(), (), ()]


def test_what_is_put_is_there_the_next_time(folder: Path) -> None:
    material, bender, bars = a_material(), a_bender_table(), some_bars(batch="March", note="on the top shelf")
    with open_workshop(folder) as workshop:
        workshop.materials.put(material)
        workshop.benders.put(bender)
        workshop.stock.put(bars)
    with again(folder) as workshop:
        assert workshop.materials.all() == (material,)
        assert workshop.benders.all() == (bender,)
        assert workshop.stock.all() == (bars,)
        assert workshop.materials.all()[0].material.elongation.source == "mill certificate"


def test_the_same_name_takes_the_place(folder: Path) -> None:
    with open_workshop(folder) as workshop:
        workshop.stock.put(some_bars(bars=4))
        workshop.stock.put(some_bars(bars=3))
        workshop.stock.put(
            some_bars("tube", stock_key=StockKey(Tube(25.0, 1.5), "S235"), bar_length_mm=None, price=None)
        )
        assert [(one.name, one.bars) for one in workshop.stock.all()] == [("rod", 3), ("tube", 4)]


def test_materials_are_one_name_however_it_is_spelled(folder: Path) -> None:
    with open_workshop(folder) as workshop:
        workshop.materials.put(a_material("Jetty-Rail", proof_stress=250))
        workshop.materials.put(a_material("jetty rail", proof_stress=300))
        assert [(m.name, m.material.proof_stress.value) for m in workshop.materials.all()] == [("jetty rail", 300.0)]
        workshop.materials.remove("JETTY rail")
        assert workshop.materials.all() == ()


def test_what_is_removed_is_gone_and_the_rest_stays(folder: Path) -> None:
    with open_workshop(folder) as workshop:
        for name in ("lever", "ram"):
            workshop.benders.put(a_bender_table(name))
            workshop.stock.put(some_bars(name))
        workshop.benders.remove(" lever ")
        workshop.stock.remove("ram")
    with again(folder) as workshop:
        assert [one.name for one in workshop.benders.all()] == ["ram"]
        assert [one.name for one in workshop.stock.all()] == ["lever"]


def test_a_name_that_is_not_there_gets_its_neighbour(folder: Path) -> None:
    with open_workshop(folder) as workshop:
        workshop.benders.put(a_bender_table("lever"))
        workshop.benders.put(a_bender_table("big ram"))
        with pytest.raises(InputError, match="found 'levver'; wanted a bender of the workshop: lever") as refused:
            workshop.benders.remove("levver")
        assert "big ram" not in str(refused.value)
        with pytest.raises(InputError, match="a material of the workshop, which has none"):
            workshop.materials.remove("S235")


def test_a_table_from_a_job_file_becomes_plain(folder: Path) -> None:
    text = 'kind = "wrap"\nradius = 36 # measured\nsizes = [1, 2.5, true]\ndie = { thickness = 24 }\n'
    bender = OwnBender("lever", tomllib.loads(text), "in")
    with open_workshop(folder) as workshop:
        workshop.benders.put(bender)
        (kept,) = workshop.benders.all()
    assert kept == bender
    assert kept.units == "in"
    assert kept.table == {"kind": "wrap", "radius": 36, "sizes": [1, 2.5, True], "die": {"thickness": 24}}
    assert [type(value) for value in bender.table.values()] == [str, int, list, dict]


@pytest.mark.parametrize(
    ("text", "where"),
    [
        ("bought = 2025-03-12", "bender.lever.bought"),
        ("radius = nan", "bender.lever.radius"),
        ("die = { sizes = [1, inf] }", "bender.lever.die.sizes.2"),
        ("", "bender.lever"),
    ],
)
def test_what_no_table_can_hold_is_refused(text: str, where: str) -> None:
    with pytest.raises(InputError) as refused:
        OwnBender("lever", tomllib.loads(text))
    assert [fault.where for fault in refused.value.faults] == [where]


def test_a_table_within_itself_comes_to_an_end() -> None:
    table: dict[str, object] = {}
    table["die"] = table
    with pytest.raises(InputError, match="no more than 20"):
        OwnBender("lever", table)  # type: ignore[arg-type]  # what no type checker would let through


def test_a_material_that_makes_no_sense_is_not_kept() -> None:
    with pytest.raises(InputError, match="proof_stress") as refused:
        OwnMaterial("jetty rail", {**a_material().table, "proof_stress": 500, "densty": 1})
    assert len(refused.value.faults) == 2


def test_a_material_needs_a_name_that_can_be_found() -> None:
    with pytest.raises(InputError, match="a letter or a figure"):
        a_material("---")


@pytest.mark.parametrize(
    ("changes", "where"),
    [
        ({"bars": -1}, "bars"),
        ({"bars": 10**30}, "bars"),
        ({"price": -0.01}, "price"),
        ({"price": math.nan}, "price"),
        ({"bar_length_mm": 0.0}, "bar length"),
        ({"bar_length_mm": math.inf}, "bar length"),
    ],
)
def test_stock_that_cannot_be_is_refused(changes: dict[str, Any], where: str) -> None:
    with pytest.raises(InputError) as refused:
        some_bars(**changes)
    assert [fault.where for fault in refused.value.faults] == [where]


def test_names_in_any_script_come_back(folder: Path) -> None:
    with open_workshop(folder) as workshop:
        workshop.stock.put(some_bars("Rundstab ∅ 12 'alt'; DROP TABLE stock", note="löchrig\n鉄"))
        (kept,) = workshop.stock.all()
    assert (kept.name, kept.note) == ("Rundstab ∅ 12 'alt'; DROP TABLE stock", "löchrig\n鉄")
