from __future__ import annotations

import math
import tomllib
from pathlib import Path

import pytest

from bentwork.errors import Fault, InputError
from bentwork.stock.entry import material_from_mapping
from bentwork.stock.material import Figure, Material

ENOUGH = """
elastic_modulus = 210000
proof_stress = 300
tensile_strength = 420
elongation = 18
density = 7850
"""


def read(text: str, name: str = "old railing") -> Material:
    return material_from_mapping(name, tomllib.loads(text))


def faults(text: str) -> tuple[Fault, ...]:
    with pytest.raises(InputError) as caught:
        read(text)
    return caught.value.faults


def told(text: str) -> list[tuple[str, str]]:
    return [(fault.where, fault.found) for fault in faults(text)]


def test_five_plain_numbers_are_enough() -> None:
    material = read(ENOUGH)
    assert material.name == "old railing"
    assert material.group == "other"
    assert material.proof_stress == Figure(300, "the maker's own figure", "maker's own", "minimum")
    assert material.density == Figure(7850, "the maker's own figure", "maker's own", "typical")
    assert material.poisson.value == 0.30
    assert not material.weldable


@pytest.mark.parametrize(
    ("group", "poisson"), [("aluminium", 0.33), ("steel", 0.30), ("copper", 0.34), ("brass", 0.35)]
)
def test_poisson_is_usual_for_the_group_when_it_is_left_out(group: str, poisson: float) -> None:
    material = read(ENOUGH + f'group = "{group}"')
    assert material.poisson == Figure(poisson, f"usual for {group}", "from memory")
    assert read(ENOUGH + f'group = "{group}"\npoisson = 0.31').poisson.value == 0.31


def test_source_and_certainty_of_the_table_hold_for_its_plain_numbers() -> None:
    material = read(ENOUGH + 'source = "mill certificate 7"\nsure = "datasheet seen"\nbound = "typical"')
    assert material.proof_stress == Figure(300, "mill certificate 7", "datasheet seen", "typical")


def test_a_number_may_bring_its_own_source() -> None:
    text = ENOUGH.replace(
        "elongation = 18", 'elongation = { value = 18, source = "EN 755-2", sure = "from memory", bound = "typical" }'
    )
    assert read(text).elongation == Figure(18, "EN 755-2", "from memory", "typical")
    assert read(text).proof_stress.sure == "maker's own"


def test_everything_that_may_be_said() -> None:
    material = read(
        ENOUGH
        + """
group = "steel"
description = "the rail of the old jetty"
temper = "as found"
form = "round bar, 12 mm"
aliases = ["jetty rail"]
poisson = 0.29
proof_stress_maximum = 380
welded_proof_stress = 235
welded_strength = 360
weld_note = "clean it first"
bend_note = "rusty: dress the surface"
minimum_radii = [{ low = 2, high = 3, of = "diameter", measured_to = "centreline" }]
"""
    )
    assert material.group == "steel"
    assert material.aliases == ("jetty rail",)
    assert material.weldable
    assert material.proof_stress_maximum is not None
    assert material.proof_stress_maximum.bound == "maximum"
    assert (material.weld_note, material.bend_note) == ("clean it first", "rusty: dress the surface")
    assert (material.temper, material.form) == ("as found", "round bar, 12 mm")
    (radii,) = material.minimum_radii
    assert (radii.low, radii.high, radii.of, radii.measured_to) == (2, 3, "diameter", "centreline")
    assert (radii.source, radii.sure) == ("the maker's own figure", "maker's own")


def test_every_missing_number_is_named_at_once() -> None:
    wanted = ["elastic_modulus", "proof_stress", "tensile_strength", "elongation", "density"]
    assert told("") == [(f"material.old railing.{key}", "nothing") for key in wanted]


def test_every_fault_is_told_at_once() -> None:
    text = """
elastic_modulus = 210
proof_stress = "soft"
tensile_strength = true
elongation = 0.18
density = 7.85
poison = 0.3
group = "iron"
aliases = "rail"
description = 7
minimum_radii = [{ low = 4, high = 3, of = "length", measured_to = "inside" }]
"""
    assert {where.removeprefix("material.old railing.") for where, _ in told(text)} == {
        "elastic_modulus",
        "proof_stress",
        "tensile_strength",
        "elongation",
        "density",
        "poison",
        "group",
        "aliases",
        "description",
        "minimum_radii.1.of",
        "minimum_radii.1.low",
    }


def test_density_in_grams_is_answered_with_what_it_is_in_kilograms() -> None:
    (fault,) = faults(ENOUGH.replace("7850", "7.85"))
    assert fault.found == "7.85"
    assert "2.7 g/cm3 is 2700 kg/m3" in fault.wanted


def test_elastic_modulus_in_gigapascals_is_answered_with_megapascals() -> None:
    (fault,) = faults(ENOUGH.replace("210000", "210"))
    assert "70 GPa is 70000 MPa" in fault.wanted


def test_a_misspelt_key_is_answered_with_the_nearest() -> None:
    (fault,) = faults(ENOUGH + "poison = 0.3")
    assert (fault.where, fault.wanted) == ("material.old railing.poison", "poisson")
    (inside,) = faults(ENOUGH.replace("elongation = 18", 'elongation = { value = 18, sourc = "EN 755-2" }'))
    assert (inside.where, inside.wanted) == ("material.old railing.elongation.sourc", "source")


@pytest.mark.parametrize(
    ("more", "where"),
    [
        ("proof_stress_maximum = 200", "proof_stress"),
        ("welded_proof_stress = 235", "welded_strength"),
        ("welded_strength = 360", "welded_proof_stress"),
        ("welded_proof_stress = 235\nwelded_strength = 430", "welded_strength"),
        ("welded_proof_stress = 310\nwelded_strength = 400", "welded_proof_stress"),
        ("welded_proof_stress = 250\nwelded_strength = 240", "welded_proof_stress"),
        ("poisson = 0.5", "poisson"),
        ('sure = "quite"', "sure"),
        ('bound = "about"', "bound"),
        ("minimum_radii = 3", "minimum_radii"),
        ('minimum_radii = [{ low = 1, high = 2, measured_to = "inside" }]', "minimum_radii.1.of"),
        ('minimum_radii = [{ high = 2, of = "diameter", measured_to = "inside" }]', "minimum_radii.1.low"),
        ('aliases = [" "]', "aliases"),
    ],
)
def test_what_does_not_go_together(more: str, where: str) -> None:
    assert [place for place, _ in told(ENOUGH + more)] == [f"material.old railing.{where}"]


def test_proof_stress_above_tensile_strength() -> None:
    (fault,) = faults(ENOUGH.replace("300", "450"))
    assert (fault.where, fault.found) == ("material.old railing.proof_stress", "450")
    assert "420" in fault.wanted


@pytest.mark.parametrize("value", [math.nan, math.inf, -5.0])
def test_a_number_must_be_one(value: float) -> None:
    table = tomllib.loads(ENOUGH) | {"proof_stress": value}
    with pytest.raises(InputError, match="proof_stress"):
        material_from_mapping("old railing", table)


@pytest.mark.parametrize(("proof", "modulus", "wrong"), [(34, 210000, True), (36, 210000, False), (300, 14000, True)])
def test_figures_that_no_metal_has_together_are_refused(proof: float, modulus: float, wrong: bool) -> None:
    table = tomllib.loads(ENOUGH) | {"proof_stress": proof, "elastic_modulus": modulus}
    if wrong:
        with pytest.raises(InputError, match=r"proof_stress: found .* no metal"):
            material_from_mapping("old railing", table)
    else:
        assert material_from_mapping("old railing", table).proof_stress.value == proof


@pytest.mark.parametrize("source", ["", 5])
def test_a_source_must_say_something(source: object) -> None:
    table = tomllib.loads(ENOUGH) | {"elongation": {"value": 18, "source": source}}
    with pytest.raises(InputError, match=r"elongation\.source"):
        material_from_mapping("old railing", table)


def test_the_place_may_be_called_otherwise() -> None:
    with pytest.raises(InputError, match=r"workshop\.railing\.density: found nothing; wanted kg/m3"):
        material_from_mapping("railing", {}, where="workshop.railing")


def test_the_example_in_the_handbook_is_read() -> None:
    text = (Path(__file__).parents[3] / "docs" / "materials.md").read_text(encoding="utf-8")
    example = tomllib.loads(text.split("```toml\n")[1].split("```")[0])
    material = material_from_mapping("jetty-rail", example["material"]["jetty-rail"])
    assert material.group == "steel"
    assert material.weldable
    assert {figure.sure for _, figure in material.figures} == {"maker's own"}
