from __future__ import annotations

import pytest

from bentwork.files.catalogue import materials
from bentwork.stock.entry import material_from_mapping
from bentwork.stock.library import NotFound, find, near, plain_name
from bentwork.stock.material import Material


def a_material(name: str, *aliases: str) -> Material:
    numbers = {
        "elastic_modulus": 70000,
        "proof_stress": 100,
        "tensile_strength": 200,
        "elongation": 10,
        "density": 2700,
    }
    return material_from_mapping(name, {**numbers, "aliases": list(aliases)})


LIBRARY = {
    material.name: material
    for material in (
        a_material("6082-T4", "EN AW-6082-T4"),
        a_material("6082-T6", "EN AW-6082-T6", "HE30-TF"),
        a_material("6061-T6", "EN AW-6061-T6"),
        a_material("S235", "S235JR", "1.0038"),
        a_material("drawn S235", "S235JRC+C"),
    )
}


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("6082-T6", "6082-T6"),
        ("6082 t6", "6082-T6"),
        ("6082T6", "6082-T6"),
        ("6082–T6", "6082-T6"),  # a dash, as word processors make it
        ("en aw 6082-t6", "6082-T6"),
        ("  s235jr ", "S235"),
        ("1.0038", "S235"),
        ("s235jrc+c", "drawn S235"),
    ],
)
def test_capitals_blanks_and_hyphens_do_not_matter(typed: str, name: str) -> None:
    assert find(typed, LIBRARY) is LIBRARY[name]


def test_an_alloy_number_alone_is_answered_with_its_tempers() -> None:
    assert find("6082", LIBRARY) == NotFound("6082", ("6082-T4", "6082-T6"))


def test_a_slip_is_answered_with_the_nearest_names_best_first() -> None:
    missed = find("6028-T6", LIBRARY)
    assert isinstance(missed, NotFound)
    assert missed.near[0] == "6082-T6"
    assert near("EN AW-6016-T6", LIBRARY)[0] == "6061-T6"
    assert near("HE30TE", LIBRARY) == ("6082-T6",)


def test_no_more_names_than_wanted_and_each_but_once() -> None:
    assert near("60", LIBRARY, n=2) == ("6082-T4", "6082-T6")
    assert len(set(near("6082-T", LIBRARY, n=9))) == len(near("6082-T", LIBRARY, n=9))


@pytest.mark.parametrize("typed", ["", " - ", "oak"])
def test_what_is_like_nothing_has_no_neighbours(typed: str) -> None:
    assert find(typed, LIBRARY) == NotFound(typed, ())


def test_an_empty_library_has_nothing() -> None:
    assert find("S235", {}) == NotFound("S235", ())


def test_a_name_is_never_hidden_by_an_alias_of_another() -> None:
    first, second = a_material("rail", "S 235"), a_material("S235")
    assert find("S235", {"rail": first, "S235": second}) is second


def test_plain_name() -> None:
    assert plain_name("EN AW-6082 / T6") == "enaw6082t6"


@pytest.mark.parametrize(
    ("said", "offered"),
    [
        ("mild steel", {"S235", "S235-drawn", "A36"}),
        ("Stainless Steel", {"304", "316L"}),
        ("stainless", {"304", "316L"}),
        ("chromoly", {"25CrMo4", "4130"}),
        ("aluminum", {"6060-T6", "6060-T66", "6061-T4"}),
    ],
)
def test_what_makers_say_is_answered_with_what_the_library_has(said: str, offered: set[str]) -> None:
    found = find(said, materials())
    assert isinstance(found, NotFound)
    assert set(found.near) == offered
