"""Steps of a finish by metal, vents in closed tubes, metals that corrode one another."""

from __future__ import annotations

import pytest

from bentwork.parts.finishing import Care, SheetSystem, steps_for, suits
from bentwork.parts.metals_touch import corrodes, metal_of_bolt
from bentwork.parts.vents import vent_for
from bentwork.stock.material import Group
from bentwork.stock.section import Round, SquareTube, Tube

SYSTEMS: tuple[SheetSystem, ...] = ("bare", "paint", "powder", "anodised", "galvanised")


def words(group: Group, system: SheetSystem, *, two_pack: bool = False) -> str:
    return " ".join(step.words for step in steps_for(group, system, two_pack=two_pack))


def test_aluminium_is_etched_before_it_is_primed() -> None:
    told = words("aluminium", "paint")
    places = [told.index(word) for word in ("Degrease", "Key it", "Etch primer", "Prime:", "Paint:")]
    assert places == sorted(places)
    assert "Etch primer" not in words("steel", "paint")


def test_steel_is_blasted() -> None:
    assert "Sa 2 1/2" in words("steel", "paint")  # ISO 8501-1
    assert "zinc phosphate" in words("steel", "paint")


def test_galvanised_steel_keeps_its_zinc() -> None:
    told = " ".join(step.words for step in steps_for("steel", "paint", zinc=True))
    assert "mordant" in told
    assert "Sa 2 1/2" not in told


def cares(group: Group, system: SheetSystem, *, two_pack: bool = False) -> set[Care]:
    return {care for step in steps_for(group, system, two_pack=two_pack) for care in step.care}


def test_care_where_it_is_wanted() -> None:
    assert "two-pack" not in cares("steel", "paint")
    assert "two-pack" in cares("steel", "paint", two_pack=True)
    assert "dust" in cares("aluminium", "paint")
    assert "oven" in cares("aluminium", "powder")
    assert "bath" in cares("steel", "galvanised")


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("group", ["aluminium", "steel", "stainless", "copper", "brass", "titanium"])
def test_a_metal_has_steps_where_it_takes_the_finish(group: Group, system: SheetSystem) -> None:
    assert bool(steps_for(group, system)) == suits(system, group)


def test_what_takes_what() -> None:
    assert suits("anodised", "aluminium")
    assert not suits("anodised", "steel")
    assert suits("galvanised", "steel")
    assert not suits("galvanised", "aluminium")


def test_vents() -> None:
    tube = Tube(25.0, 2.0)
    assert vent_for("rail", Round(12.0), "oven") is None
    oven = vent_for("rail", tube, "oven")
    assert oven is not None
    assert (oven.holes, oven.diameter) == (1, 3.0)
    # galvanizers' public guides, seen: a quarter of the diagonal, 10 mm at least, one at each end
    bath = vent_for("rail", tube, "zinc bath")
    assert bath is not None
    assert (bath.holes, bath.diameter) == (2, 10.0)
    large = vent_for("post", SquareTube(60.0, 60.0, 3.0), "zinc bath")
    assert large is not None
    assert large.diameter == pytest.approx(60.0 * 2.0**0.5 / 4.0)
    thin = vent_for("wire", Tube(6.0, 1.0), "welding")
    assert thin is not None
    assert thin.diameter == 2.0  # half its bore


def test_the_less_noble_metal_corrodes() -> None:
    # galvanic series in sea water (from memory): aluminium, steel, brass and copper, stainless
    assert corrodes("aluminium", "steel") == "aluminium"
    assert corrodes("stainless", "aluminium") == "aluminium"
    assert corrodes("stainless", "steel") == "steel"
    assert corrodes("steel", "steel") is None
    assert corrodes("other", "steel") is None
    assert metal_of_bolt("A2-70") == "stainless"
    assert metal_of_bolt("8.8") == "steel"
