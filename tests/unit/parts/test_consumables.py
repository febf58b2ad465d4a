"""Filler, paint, abrasive against figures worked out by hand; the frame on the scales."""

from __future__ import annotations

import pytest

from bentwork.parts.consumables import USUAL_COATS, Coat, Weld, abrasive_discs, degreaser, filler_to_buy
from bentwork.parts.weigh_in import weigh_in


def test_weld_metal() -> None:
    """A metre with a throat of 3 in steel: 9 mm2 x 1000 mm x 7.85e-6 kg/mm3 = 70.7 g, a fifth on top 84.8 g."""
    weld = Weld("a and b", 1000.0, 3.0, 7850.0)
    assert weld.mass == pytest.approx(0.08478)
    assert filler_to_buy([weld, weld], "TIG") == pytest.approx(2 * 0.08478 / 0.8)
    assert filler_to_buy([weld], "MIG") < filler_to_buy([weld], "TIG")
    assert filler_to_buy([], "MIG") == 0.0


def test_paint() -> None:
    """Two coats on 2 m2 at 10 m2 a litre are 0.4 litres; with a fifth lost 0.5."""
    assert Coat("paint", 10.0, 2, 0.2).litres(2.0) == pytest.approx(0.5)
    assert Coat("paint", 10.0, 2, 0.0).dry_mass(2.0) == pytest.approx(0.4 * 0.85)
    assert [coat.said for coat in USUAL_COATS] == [False, False]


def test_abrasive() -> None:
    assert [abrasive_discs(surface) for surface in (0.0, 0.01, 0.25, 0.26, 1.0)] == [0, 1, 1, 2, 4]
    assert degreaser(2.0) == pytest.approx(0.2)


@pytest.mark.parametrize("wrong", [(0.0, 1, 0.3), (8.0, 0, 0.3), (8.0, 1, 1.0), (float("nan"), 1, 0.3)])
def test_a_coat_that_makes_no_sense(wrong: tuple[float, int, float]) -> None:
    with pytest.raises(ValueError, match=r"covers|share|coat"):
        Coat("primer", *wrong)


PARTS = {"loop": 0.58, "crossbar 1": 0.09, "crossbar 2": 0.09, "stay 1": 0.12, "stay 2": 0.12}
OTHERS = {"steel": 7850.0 / 2700.0}


def test_a_frame_that_weighs_what_it_should() -> None:
    found = weigh_in(1.03, PARTS, welds=0.02, paint=0.03, densities=OTHERS)
    assert found.agrees
    assert found.difference == pytest.approx(0.01)
    assert found.share == pytest.approx(0.01 / 1.02)


def test_paint_makes_it_heavier_and_never_lighter() -> None:
    reckoned = sum(PARTS.values())
    assert weigh_in(reckoned + 0.07, PARTS, welds=0.0, paint=0.03, densities={}).agrees
    assert not weigh_in(reckoned - 0.07, PARTS, welds=0.0, paint=0.03, densities={}).agrees


def test_a_missing_piece_is_guessed() -> None:
    found = weigh_in(0.90, PARTS, welds=0.02, paint=0.0, densities=OTHERS)
    assert found.meanings[0] == "stay 1, 0.12 kg, is missing on the scales"
    assert sum("stay" in one for one in found.meanings) == 1  # both weigh the same
    assert any("thinner" in one for one in found.meanings)


def test_another_metal_is_guessed() -> None:
    found = weigh_in(2.9, PARTS, welds=0.0, paint=0.0, densities=OTHERS)
    assert found.meanings[0].startswith("it is made of steel")
    assert any("thicker" in one for one in found.meanings)


def test_more_than_one_piece_missing() -> None:
    found = weigh_in(0.2, PARTS, welds=0.0, paint=0.0, densities={})
    assert found.meanings[0] == "more than one piece is missing on the scales"


def test_nothing_is_not_weighed() -> None:
    with pytest.raises(ValueError, match="weighs something"):
        weigh_in(0.0, PARTS, welds=0.0, paint=0.0, densities={})
