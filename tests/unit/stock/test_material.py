from __future__ import annotations

import dataclasses
import math
from typing import Any

import pytest

from bentwork.stock.material import Figure, Material, RadiusRange


def a_figure(value: float) -> Figure:
    return Figure(value, "a trial in this shop", "maker's own")


def a_material(**changes: object) -> Material:
    values: dict[str, Any] = {
        "name": "6082-T6",
        "group": "aluminium",
        "description": "structural aluminium",
        "elastic_modulus": a_figure(70000),
        "proof_stress": a_figure(250),
        "tensile_strength": a_figure(295),
        "elongation": a_figure(8),
        "density": a_figure(2700),
        "poisson": a_figure(0.33),
    }
    return Material(**(values | changes))


def test_shear_modulus_follows_from_elastic_modulus_and_poisson() -> None:
    assert a_material().shear_modulus == pytest.approx(70000 / 2.66)


def test_without_welded_values_no_frame_is_welded() -> None:
    assert not a_material().weldable
    assert a_material(welded_proof_stress=a_figure(125), welded_strength=a_figure(185)).weldable


def test_figures_lists_what_is_known_and_nothing_else() -> None:
    known = dict(a_material(proof_stress_maximum=a_figure(300)).figures)
    assert list(known) == [
        "elastic_modulus",
        "proof_stress",
        "proof_stress_maximum",
        "tensile_strength",
        "elongation",
        "density",
        "poisson",
    ]
    assert known["density"].value == 2700


@pytest.mark.parametrize("value", [0.0, -1.0, math.nan, math.inf])
def test_a_figure_is_a_number_above_nothing(value: float) -> None:
    with pytest.raises(ValueError, match="a number above 0"):
        Figure(value, "EN 755-2", "from memory")


def test_a_figure_without_a_source_is_refused() -> None:
    with pytest.raises(ValueError, match="250 needs a source"):
        Figure(250, " ", "from memory")


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"name": " "}, "needs a name"),
        ({"proof_stress": a_figure(300)}, "cannot be above the tensile strength"),
        ({"poisson": a_figure(0.5)}, "below 0.5"),
        ({"welded_strength": a_figure(185)}, "go together"),
        ({"welded_proof_stress": a_figure(125)}, "go together"),
    ],
)
def test_a_material_that_cannot_be_is_refused(changes: dict[str, object], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        a_material(**changes)


def test_a_range_of_radii_runs_upwards() -> None:
    assert RadiusRange(0, 4, "thickness", "inside", "a shop's table", "datasheet seen").high == 4
    for low, high in ((4, 3), (-1, 3), (0, 0), (1, math.inf)):
        with pytest.raises(ValueError, match="runs upwards"):
            RadiusRange(low, high, "thickness", "inside", "a shop's table", "datasheet seen")
    with pytest.raises(ValueError, match="needs a source"):
        RadiusRange(1, 2, "thickness", "inside", "", "datasheet seen")


def test_materials_are_values() -> None:
    assert a_material() == a_material()
    with pytest.raises(dataclasses.FrozenInstanceError):
        a_material().name = "6061-T6"  # type: ignore[misc]
