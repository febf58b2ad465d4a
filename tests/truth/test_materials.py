"""The library of materials: every entry is whole and believable, and what the standards print is what it says.

The numbers below are written out from the standards named, as far as the sources in the library say so; see there for
which of them were seen and which are from memory.
"""

from __future__ import annotations

from typing import get_args

import pytest

from bentwork.files.catalogue import materials
from bentwork.stock.library import find, plain_name
from bentwork.stock.material import Bound, Group, Material, Sure

EVERY = list(materials().values())

# Handbook ranges of density (kg/m3) and elastic modulus (MPa) for the metals: a slip of a digit falls outside.
RANGES: dict[Group, tuple[tuple[float, float], tuple[float, float]]] = {
    "aluminium": ((2640, 2850), (68_000, 73_000)),
    "steel": ((7750, 7900), (200_000, 212_000)),
    "stainless": ((7700, 8050), (190_000, 205_000)),
    "copper": ((8900, 8960), (110_000, 135_000)),
    "brass": ((8300, 8600), (90_000, 115_000)),
    "titanium": ((4400, 4600), (100_000, 120_000)),
}


def test_the_library_is_as_wide_as_a_stockholders_rack() -> None:
    assert len(EVERY) >= 26
    assert {material.group for material in EVERY} == set(RANGES)


@pytest.mark.parametrize("material", EVERY, ids=lambda material: str(material.name))
def test_entry(material: Material) -> None:
    densities, moduli = RANGES[material.group]
    assert densities[0] <= material.density.value <= densities[1]
    assert moduli[0] <= material.elastic_modulus.value <= moduli[1]
    assert material.proof_stress.value < material.tensile_strength.value
    assert 5 <= material.elongation.value <= 60
    assert 0.28 <= material.poisson.value <= 0.37
    assert len(material.description) > 20
    assert material.temper
    assert material.form
    assert all(figure.sure in get_args(Sure) and figure.bound in get_args(Bound) for _, figure in material.figures)
    assert all(len(figure.source) > 6 and figure.sure != "maker's own" for _, figure in material.figures)
    assert all(len(radii.source) > 6 and radii.sure != "maker's own" for radii in material.minimum_radii)


@pytest.mark.parametrize("material", EVERY, ids=lambda material: str(material.name))
def test_beside_a_weld_nothing_is_stronger_than_the_bar(material: Material) -> None:
    if material.welded_strength is None or material.welded_proof_stress is None:
        assert material.weld_note, "why it is not welded must be said"
        return
    assert material.welded_proof_stress.value <= material.proof_stress.value
    assert material.welded_strength.value <= material.tensile_strength.value
    # Every aged temper of aluminium loses strength, whatever the filler.
    hardened = material.group == "aluminium" and material.temper.startswith("T")
    assert (material.welded_proof_stress.value < material.proof_stress.value) or not hardened


def test_every_material_is_found_by_each_of_its_names_and_no_two_share_one() -> None:
    spellings = [plain_name(name) for material in EVERY for name in {material.name, *material.aliases}]
    assert len(spellings) == len(set(spellings))
    for material in EVERY:
        for name in (material.name, *material.aliases):
            assert find(name, materials()) is material


def test_the_library_is_read_once_and_cannot_be_changed() -> None:
    assert materials() is materials()
    with pytest.raises(TypeError):
        materials()["oak"] = EVERY[0]  # type: ignore[index]


# Proof stress, tensile strength (MPa), elongation (per cent): the standard stands beside each row.
@pytest.mark.parametrize(
    ("name", "proof", "tensile", "elongation"),
    [
        ("6082-T6", 250, 295, 8),  # EN 755-2, bar up to 20 mm
        ("6061-T6", 240, 260, 8),  # EN 1999-1-1, Table 3.2b
        ("6061-T4", 110, 180, 15),  # EN 1999-1-1, Table 3.2b; elongation EN 755-2
        ("6060-T6", 140, 170, 8),  # EN 1999-1-1, Table 3.2b
        ("6060-T66", 160, 215, 8),  # EN 1999-1-1, Table 3.2b
        ("6063-T5", 130, 175, 8),  # EN 1999-1-1, Table 3.2b
        ("6063-T6", 160, 195, 8),  # EN 1999-1-1, Table 3.2b
        ("6063-T66", 200, 245, 8),  # EN 1999-1-1, Table 3.2b
        ("6082-T4", 110, 205, 14),  # EN 755-2
        ("5083-H111", 110, 270, 12),  # EN 1999-1-1, Table 3.2b
        ("5754-H111", 80, 180, 16),  # EN 754-2, drawn bar
        ("7020-T6", 290, 350, 10),  # EN 1999-1-1, Table 3.2b
        ("7075-T6", 480, 540, 7),  # EN 755-2, bar up to 25 mm
        ("S235", 235, 360, 26),  # EN 10025-2, Table 7
        ("S235-drawn", 355, 470, 8),  # EN 10277-2, over 5 to 10 mm
        ("S275", 275, 410, 23),  # EN 10025-2, Table 7
        ("S355", 355, 470, 22),  # EN 10025-2, Table 7
        ("E220", 220, 310, 23),  # EN 10305-3
        ("E235", 235, 340, 25),  # EN 10305-1, +N
        ("E355", 355, 490, 22),  # EN 10305-1, +N
        ("DC01", 140, 270, 28),  # EN 10130
        ("304", 190, 500, 45),  # EN 10088-3
        ("316L", 200, 500, 40),  # EN 10088-3
        ("A36", 250, 400, 20),  # ASTM A36, in suppliers' datasheets: 36 ksi, 58 ksi
        ("1018", 370, 440, 15),  # suppliers' datasheets of AISI 1018 cold drawn: 370 and 440 MPa, 15 %
        ("1020-DOM", 379, 448, 10),  # ASTM A513 type 5, stress relieved, in a supplier's datasheet: 55 and 65 ksi
        ("A500-B", 315, 400, 23),  # ASTM A500 grade B, shaped tubing, in suppliers' datasheets: 46 ksi, 58 ksi
        ("25CrMo4", 700, 900, 12),  # EN 10083-3, EN ISO 683-2, up to 16 mm
        ("4130", 435, 670, 25),  # ASM Metals Handbook, volume 1, normalised
        ("Cu-R220", 50, 220, 40),  # EN 1057; proof stress of annealed copper, handbooks
        ("Cu-R250", 150, 250, 20),  # EN 1057; proof stress EN 12449
        ("CuZn37-R300", 125, 300, 38),  # EN 1652; typical proof stress
        ("CuZn37-R370", 250, 370, 12),  # EN 12166; elongation EN 12163
        ("CuZn39Pb3", 200, 410, 8),  # EN 12164
        ("Ti-2", 275, 345, 20),  # ASTM B265
        ("Ti-3Al-2.5V-CWSR", 724, 862, 10),  # suppliers' datasheets
        ("Ti-3Al-2.5V", 483, 620, 15),  # ASTM B265
    ],
)
def test_strengths(name: str, proof: float, tensile: float, elongation: float) -> None:
    material = materials()[name]
    found = (material.proof_stress.value, material.tensile_strength.value, material.elongation.value)
    assert found == (proof, tensile, elongation)


@pytest.mark.parametrize(
    ("name", "most"),
    [
        ("6061-O", 110),  # EN 754-2
        ("6082-O", 110),  # EN 755-2
        ("DC01", 280),  # EN 10130
        ("CuZn37-R300", 180),  # EN 1652
        ("Ti-2", 450),  # ASTM B265
    ],
)
def test_soft_metal_may_yield_no_later_than_this(name: str, most: float) -> None:
    limit = materials()[name].proof_stress_maximum
    assert limit is not None
    assert (limit.value, limit.bound) == (most, "maximum")


# EN 1999-1-1:2007, Table 3.2b: strengths in the heat-affected zone (MPa) and the reduction factors printed beside them.
@pytest.mark.parametrize(
    ("name", "proof", "tensile", "proof_factor", "tensile_factor"),
    [
        ("6060-T6", 60, 100, 0.43, 0.59),
        ("6060-T66", 65, 110, 0.41, 0.51),
        ("6061-T4", 95, 150, 0.86, 0.83),
        ("6061-T6", 115, 175, 0.48, 0.67),
        ("6063-T5", 60, 100, 0.46, 0.57),
        ("6063-T6", 65, 110, 0.41, 0.56),
        ("6063-T66", 75, 130, 0.38, 0.53),
        ("6082-T4", 100, 160, 0.91, 0.78),
        ("6082-T6", 125, 185, 0.50, 0.63),
        ("5083-H111", 110, 270, 1.0, 1.0),
        ("7020-T6", 205, 280, 0.71, 0.80),
    ],
)
def test_strengths_beside_a_weld(
    name: str, proof: float, tensile: float, proof_factor: float, tensile_factor: float
) -> None:
    material = materials()[name]
    assert material.welded_proof_stress is not None
    assert material.welded_strength is not None
    assert (material.welded_proof_stress.value, material.welded_strength.value) == (proof, tensile)
    assert proof / material.proof_stress.value == pytest.approx(proof_factor, abs=0.0051)
    assert tensile / material.tensile_strength.value == pytest.approx(tensile_factor, abs=0.0051)


@pytest.mark.parametrize("name", ["7075-T6", "CuZn39Pb3", "25CrMo4"])
def test_what_no_load_carrying_frame_is_welded_from(name: str) -> None:
    assert not materials()[name].weldable


@pytest.mark.parametrize("name", ["7075-T6", "CuZn39Pb3", "6082-T6", "6061-T6", "7020-T6"])
def test_what_cracks_says_so(name: str) -> None:
    assert "racks" in materials()[name].bend_note
