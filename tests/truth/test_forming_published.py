"""What published experiments and the trade say of springback, as trends and ranges.

No measured springback angle of bar or tube could be read in public text: of the papers below only abstracts were
seen, without their figures. So no angle here is a measurement; two rules of the trade stand in for the size of it, and
one radius that a maker measured stands at the end.
"""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from bentwork.files.catalogue import materials
from bentwork.forming.die_bend import Arms, die_bends
from bentwork.forming.hardening import Law, law_of
from bentwork.forming.moment import Bar
from bentwork.forming.prediction import Prediction, predict
from bentwork.stock.section import Flat, Round, Section, SquareTube, Tube


def bent(section: Section, name: str, radius: float, angle: float = 90.0, free_arm: float = 0.0) -> Prediction:
    found = predict(section, materials()[name], "easy", radius, angle, free_arm=free_arm)
    assert isinstance(found, Prediction)
    return found


def overbend(section: Section, law: Law, radius: float, angle: float = 90.0) -> float:
    return die_bends(Bar(section, law), radius)[0].pull(angle) - angle


def test_springback_rises_linearly_with_the_angle_and_with_the_relative_radius() -> None:
    # Li, Shi, Yang, Tian, Trans. Nonferrous Met. Soc. China 22 (2012) s357: 6061-T4 tube 50.8 x 0.889 (abstract).
    tube, law = Tube(50.8, 0.889), law_of(materials()["6061-T4"])
    at = [overbend(tube, law, 2 * 50.8, angle) for angle in (30.0, 60.0, 90.0, 120.0)]
    assert [b - a for a, b in itertools.pairwise(at)] == pytest.approx([at[0]] * 3, rel=1e-9)
    by_radius = [overbend(tube, law, times * 50.8) for times in (1.5, 2.0, 3.0)]
    assert by_radius == sorted(by_radius)


def test_springback_in_the_soft_state_is_about_half() -> None:
    # Ma, Welo, Wan, J. Manuf. Processes 67 (2021) 503: 6xxx tube bent soon after solution treatment springs back about
    # 50 % less than after natural ageing (abstract). Freshly treated metal yields at about half; from memory.
    aged = law_of(materials()["6061-T4"])
    fresh, tube = aged.scaled(0.5), Tube(60, 3)
    assert overbend(tube, fresh, 180.0) / overbend(tube, aged, 180.0) == pytest.approx(0.5, abs=0.05)


def test_signs_of_the_material_effects() -> None:
    # Jiang et al., Materials and Design 31 (2010) 2001: Ti-3Al-2.5V class tube, up with angle, yield stress and K, down
    # with E and n (abstract).
    tube, law = Tube(14, 1.35), Law(105_000.0, 950.0, 0.08)
    base = overbend(tube, law, 28.0)
    assert overbend(tube, law, 28.0, 120.0) > base
    assert overbend(tube, law.scaled(1.1), 28.0) > base
    assert overbend(tube, replace(law, strength=1000.0), 28.0) > base
    assert overbend(tube, replace(law, modulus=115_000.0), 28.0) < base
    assert overbend(tube, replace(law, exponent=0.12), 28.0) < base


def test_springback_of_square_tube_grows_with_the_radius_it_is_bent_to() -> None:
    # Kut, Stachowicz, Pasowicz, Materials 14 (2021) 3814: 6060 tubes 21.5 x 1.8 and 25 x 2.5, pure moment (abstract;
    # the coefficients could not be read). Left out here: flattening lowers the second moment in tight bends.
    law = law_of(materials()["6060-T66"])
    for tube in (SquareTube(21.5, 21.5, 1.8), SquareTube(25, 25, 2.5)):
        ratios = [die_bends(Bar(tube, law), radius)[0].ratio for radius in (60.0, 100.0, 200.0, 400.0)]
        assert ratios == sorted(ratios, reverse=True)
        assert 0.5 < ratios[-1] < ratios[0] < 1.0


@pytest.mark.parametrize(
    ("section", "name", "radius"),
    [
        (Tube(25, 2), "6060-T66", 75.0),
        (Tube(20, 2), "6082-T6", 60.0),
        (Tube(16, 1.5), "E220", 48.0),
        (Tube(22, 1.5), "Ti-3Al-2.5V-CWSR", 66.0),
    ],
)
def test_overbend_of_tube_in_the_trade(section: Section, name: str, radius: float) -> None:
    # Trade notes on rotary draw bending: 3 to 8 % of the angle, 2.7 to 7.2 degrees on 90 (common practice). Minimum
    # yield without hardening gives 0.9 to 5.9 %; what is predicted must reach into the range of the trade.
    found = bent(section, name, radius)
    assert found.low - 90.0 < 7.2
    assert found.high - 90.0 > 2.7


@pytest.mark.parametrize(
    ("name", "low", "high"),
    [("S235", 1.5, 2.0), ("S235-drawn", 2.0, 4.0), ("304", 2.0, 4.0), ("6061-T6", 4.0, 6.0), ("6061-O", 1.0, 1.0)],
)
def test_overbend_of_solid_bar_in_the_trade(name: str, low: float, high: float) -> None:
    # Cold, per 90 degrees, radius of 3 to 5 diameters: common practice, first guesses only.
    tight, wide = (bent(Round(10), name, times * 10.0) for times in (3.0, 5.0))
    assert tight.low - 90.0 < high
    assert wide.high - 90.0 > low


@pytest.mark.parametrize(
    ("section", "name"), [(Tube(15, 0.7), "Cu-R250"), (Tube(12, 1), "304"), (Tube(10, 1), "Cu-R220")]
)
def test_compensation_on_hand_tube_benders(section: Section, name: str) -> None:
    # A maker of hand tube benders says to expect 1 to 3 degrees (its manual, as quoted; no angle, size or metal given).
    found = bent(section, name, 4.0 * section.depth(), free_arm=20.0)
    assert found.low - 90.0 < 3.0
    assert found.high - 90.0 > 1.0
    assert 1.0 < found.springback < 4.5


@pytest.mark.parametrize(
    ("thickness", "inside", "parted"),
    [(1.57, 19.05, -0.063), (3.0, 15.0, 0.086), (3.0, 6.0, 0.373)],
)
def test_rule_of_press_brakes(thickness: float, inside: float, parted: float) -> None:
    # Trade rule for wide sheet of 60 ksi (414 MPa) strength: degrees = punch radius/(0.9 thickness)/2 on 90 (a column
    # in a fabricators' journal works the first row: 6.74 degrees). It is a rule, not a measurement. Mild steel of that
    # strength, the library's S235 times 414/360, comes within a tenth of it for wide bends; in tight ones, which a
    # V-block squeezes and this model does not, it springs back over a third more. The last column is what was found.
    rule = inside / (0.9 * thickness) / 2
    law = law_of(materials()["S235"]).scaled(414 / 360)
    assert overbend(Flat(100, thickness), law, inside + thickness / 2) / rule - 1 == pytest.approx(parted, abs=0.005)


def test_the_fixed_part_of_springback_comes_from_the_legs() -> None:
    # Benders with controls keep a fixed and a proportional part of springback, found by bending two angles (a maker's
    # note). The model has both: the ratio, and what the legs beside the die do.
    bar = Bar(Round(10), law_of(materials()["6082-T6"]))
    plain, legs = (die_bends(bar, 40.0, (1.0,), arms)[0] for arms in (Arms(), Arms(30.0, 60.0)))
    extra = [legs.pull(angle) - plain.pull(angle) for angle in (30.0, 60.0, 120.0)]
    assert extra == pytest.approx([extra[0]] * 3, abs=1e-9)
    assert extra[0] > 1.0


@pytest.mark.parametrize("name", ["S235", "E220", "S355"])
def test_the_one_measured_radius_that_could_be_read_lies_beyond_the_model(name: str) -> None:
    """Steel tube 1 by 1/2 by 0.062 in, bent the easy way on a die of 2.5 in: its maker measured "around 3 in" inside.

    A question in a machinists' forum ("die sizing for rectangular tubing bend", seen). The model says 2.57 to 2.61 in:
    it takes the bar to lie on the die, and this one probably did not. What is stated in docs/validation.md stands here.
    """
    die = 63.5 + 6.35
    found = bent(SquareTube(25.4, 12.7, 1.57, 2.4), name, die)
    inside = (found.relaxed_radius - 6.35) / 25.4
    assert 2.55 < inside < 2.62
