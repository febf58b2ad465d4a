from __future__ import annotations

import math

import pytest

from bentwork.stock.bar import Stock
from bentwork.stock.entry import material_from_mapping
from bentwork.stock.section import Flat, Round

STEEL = material_from_mapping(
    "S235",
    {"elastic_modulus": 210000, "proof_stress": 235, "tensile_strength": 360, "elongation": 26, "density": 7850},
)


def a_rod(**changes: float | None) -> Stock:
    values: dict[str, float | None] = {"bar_length": 3000, "price": 14.5}
    values |= changes
    return Stock("rod", Round(12), STEEL, values["bar_length"], values["price"])


def test_mass() -> None:
    assert a_rod().mass_per_metre == pytest.approx(36 * math.pi * 7.85e-3)
    assert a_rod().mass(3000) == pytest.approx(3 * a_rod().mass_per_metre)


def test_price_of_a_metre() -> None:
    assert a_rod().price_per_metre == pytest.approx(14.5 / 3)
    assert a_rod(price=None).price_per_metre is None
    assert a_rod(bar_length=None).price_per_metre is None
    assert a_rod(price=0).price_per_metre == 0


def test_stiffness() -> None:
    flat = Stock("strap", Flat(25, 6), STEEL)
    assert flat.bending_stiffness() == pytest.approx(210000 * 450)
    assert flat.bending_stiffness("hard") == pytest.approx(210000 * 7812.5)
    assert a_rod().torsional_stiffness == pytest.approx(210000 / 2.6 * math.pi * 12**4 / 32)


@pytest.mark.parametrize("length", [0.0, -3000.0, math.nan, math.inf])
def test_a_bar_has_a_length(length: float) -> None:
    with pytest.raises(ValueError, match="a bar of rod must be longer than 0 mm"):
        a_rod(bar_length=length)


@pytest.mark.parametrize("price", [-1.0, math.nan, math.inf])
def test_a_price_is_no_less_than_nothing(price: float) -> None:
    with pytest.raises(ValueError, match="the price of a bar of rod"):
        a_rod(price=price)
