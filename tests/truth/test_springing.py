"""What it takes to spring a piece into place, against closed forms of curved beams."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bentwork.fitup.elastic import Stiffness, stiffness_of
from bentwork.fitup.made import ANGLE, DIRECTION, Bar, on_the_bar
from bentwork.fitup.matters import what_matters
from bentwork.fitup.onto_fixings import BY_HAND, expected_onto, spring_onto
from bentwork.fitup.scatter import scatter_of
from bentwork.fitup.spots import Spot
from bentwork.fitup.springing import flexibility, spring_together
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.stock.section import Round
from bentwork.tooling.bender import Accuracy
from tests.make import a_steel
from tests.unit.fitup.bars import stay

STIFF = stiffness_of(Round(10.0), a_steel())


def test_stiffness_of_a_round_bar() -> None:
    """E I = 210000 pi d^4/64, G J = E/2.6 pi d^4/32 with Poisson 0.3, by hand."""
    assert STIFF.bend == pytest.approx(210000 * math.pi * 1e4 / 64)
    assert STIFF.across == STIFF.bend
    assert STIFF.twist == pytest.approx(STIFF.bend * 2 / 2.6, rel=0.01)
    assert STIFF.twist_modulus == pytest.approx(math.pi * 1000 / 16)


def test_a_cut_ring_is_opened_as_the_books_say() -> None:
    """A ring cut through, forces P at the cut: along the bar 3 pi P R^3 / E I (Timoshenko, Strength of Materials II;
    from memory, and from the integral of (P R (1 - cos))^2), out of its plane P R^3 (pi / E I + 3 pi / G J)."""
    r = 100.0
    ring = BendTable((0.0, 0.0, 0.0, 0.0), (Bend(r, 120.0), Bend(r, 120.0), Bend(r, 120.0)))
    flex = flexibility(on_the_bar(ring), STIFF)
    assert flex[0, 0] == pytest.approx(3 * math.pi * r**3 / STIFF.bend, rel=1e-9)
    assert flex[2, 2] == pytest.approx(r**3 * (math.pi / STIFF.bend + 3 * math.pi / STIFF.twist), rel=1e-9)
    assert flex == pytest.approx(flex.T)


def test_an_l_shaped_bar_under_a_load_across_its_plane() -> None:
    """P a^3/3EI + P b^3/3EI + P b^2 a/GJ for a sharp corner (any book on strength of materials)."""
    a, b = 200.0, 150.0
    table = BendTable((a, b), (Bend(0.001, 90.0),))
    flex = flexibility(on_the_bar(table), STIFF)
    by_hand = (a**3 + b**3) / (3 * STIFF.bend) + b**2 * a / STIFF.twist
    assert flex[2, 2] == pytest.approx(by_hand, rel=1e-4)


def square() -> BendTable:
    return BendTable((100.0, 200.0, 200.0, 200.0, 100.0), tuple(Bend(0.01, 90.0) for _ in range(4)), closed=True)


def test_a_square_with_one_wide_corner_is_sprung_shut() -> None:
    """A closed frame of side a with one corner wide by da. By hand, for a cut in the middle of a side, sharp corners:

    released, end B is turned by da and shifted by da times its arms from that corner (100 along, 0 aside for the last
    corner). The loads that undo it follow from the 3 by 3 flexibility of the plane frame about its centre: by symmetry
    the centre is the elastic centre, where turn and shifts part: turn da = M 4a/EI, shift of the centre da (a/2) each
    way = H I_c/EI with I_c = 2 (a (a/2)^2) + 2 (a^3/12) = 2 a^3/3.
    """
    a, da = 200.0, math.radians(0.2)
    one = what_matters(on_the_bar(square()), closed=True, spots=())
    values = one.nominal.values.copy()
    values[ANGLE, 3] += math.degrees(da)
    found = spring_together(one, values, STIFF)
    force = da * (a / 2) * STIFF.bend / (2 * a**3 / 3)
    assert found.force == pytest.approx(force * math.sqrt(2.0), rel=0.01)
    # The moment is largest at the wide corner: that of the turn, and both forces with arms of a/2.
    moment = da * STIFF.bend / (4 * a) + 2 * force * a / 2
    assert found.yield_share == pytest.approx(moment / STIFF.bend_modulus / STIFF.yields_at, rel=0.03)
    assert found.strain == pytest.approx(found.yield_share * STIFF.yields_at / 210000.0)
    assert found.slacks[0].strain < found.yield_share
    assert found.slacks == tuple(sorted(found.slacks, key=lambda slack: slack.strain))


def test_nothing_is_needed_where_nothing_is_out_and_twice_as_much_for_twice() -> None:
    one = what_matters(on_the_bar(square()), closed=True, spots=())
    assert spring_together(one, one.nominal.values, STIFF).force == pytest.approx(0.0, abs=1e-6)
    forces = []
    for error in (0.01, 0.02):
        values = one.nominal.values.copy()
        values[DIRECTION, 2:] += error
        forces.append(spring_together(one, values, STIFF).force)
    assert forces[1] == pytest.approx(2 * forces[0], rel=1e-3)


def test_a_straight_bar_on_three_fixings_is_a_beam() -> None:
    """One bend of 1 degree in the middle of a bar of 400 mm is pulled straight onto three fixings in a line: the middle
    lies off by d, and P = 48 E I d / L^3 (any book)."""
    table = BendTable((200.0, 200.0), (Bend(0.01, 0.2),))
    bar = on_the_bar(table)
    values = bar.values.copy()
    straight = bar.with_values(values.copy())
    straight.values[ANGLE, 0] = 1e-9
    spots = [Spot("one", at=0.0), Spot("two", at=200.0), Spot("three", at=400.0)]
    found = spring_onto(straight, values, spots, STIFF)
    off = 200.0 * math.sin(math.radians(0.1))
    assert found.force == pytest.approx(48.0 * STIFF.bend * off / 400.0**3, rel=1e-3)
    assert found.yield_share == pytest.approx(
        found.force * 400.0 / 4.0 / STIFF.bend_modulus / STIFF.yields_at, rel=0.05
    )
    # A slot across lets it lie as it is.
    assert found.slacks[0].strain == pytest.approx(0.0, abs=1e-6)


def test_an_open_piece_has_no_ends_to_bring_together() -> None:
    one = what_matters(on_the_bar(BendTable((200.0, 200.0), (Bend(30.0, 90.0),))))
    with pytest.raises(ValueError, match="open piece"):
        spring_together(one, one.nominal.values, STIFF)
    with pytest.raises(ValueError, match="two fixings"):
        spring_onto(one.nominal, one.nominal.values, [Spot("one", at=1.0)], STIFF)
    assert isinstance(STIFF, Stiffness)
    assert np.isfinite(STIFF.modulus)


def test_a_bend_that_scatters_is_pulled_onto_three_fixings_by_the_beam_of_any_book() -> None:
    """The middle of 400 mm lies off by 100 mm times the error: P = 48 E I d / L^3, 19 of 20 within 1.96 deviations."""
    bar = on_the_bar(BendTable((200.0, 200.0), (Bend(0.01, 1e-6),)))
    spots = [Spot("one", at=0.0), Spot("two", at=200.0), Spot("three", at=400.0)]
    scatter = scatter_of(bar, Accuracy(0.2, 1e-9, 1e-9))
    found = expected_onto(bar, scatter, spots, STIFF, np.random.default_rng(1), samples=20_000)
    force = 48.0 * STIFF.bend * 100.0 * math.radians(0.2) / 400.0**3
    assert found.force_rms == pytest.approx(force, rel=1e-3)
    assert found.force == pytest.approx(1.96 * force, rel=0.03)
    assert found.slots[0].force == pytest.approx(0.0, abs=1e-3)
    assert found.strain == pytest.approx(found.yield_share * STIFF.yields_at / 210000.0)


def a_u(leg: float, base: float) -> Bar:
    return on_the_bar(BendTable((leg, base, leg), (Bend(0.01, 90.0), Bend(0.01, 90.0))))


@pytest.mark.parametrize("angle", [0.05, 3.0])
def test_a_u_is_pulled_together_at_its_ends(angle: float) -> None:
    """Two legs a on a base b: the ends part by P (2 a^3 / 3 + a^2 b) / E I (Castigliano, by hand; any book)."""
    leg, base = 150.0, 80.0
    bar = a_u(leg, base)
    spots = [Spot("left", at=0.0), Spot("right", at=bar.length)]
    found = expected_onto(
        bar, scatter_of(bar, Accuracy(angle, 1e-9, 1e-9)), spots, STIFF, np.random.default_rng(1), samples=20_000
    )
    gives = (2.0 * leg**3 / 3.0 + leg**2 * base) / STIFF.bend
    # Each bend parts the ends by its error times the leg; both are as likely.
    force = math.sqrt(2.0) * leg * math.radians(angle) / gives
    assert found.force_rms == pytest.approx(force, rel=1e-3)
    assert found.force == pytest.approx(1.96 * force, rel=0.04)
    # The bar bends most along its base: P a, as far as it does not yield.
    assert found.yield_share == pytest.approx(found.force * leg / STIFF.bend_modulus / STIFF.yields_at, rel=0.01)
    goes_on = math.erf(min(BY_HAND, found.force / found.yield_share) / force / math.sqrt(2.0))
    assert found.by_hand == pytest.approx(goes_on, abs=0.02)
    # A slot towards the other end takes all of it, in the axes that are asked for.
    assert found.slots[0].along == "y"
    assert found.slots[0].force == pytest.approx(0.0, abs=1e-2)
    turned = expected_onto(
        bar, scatter_of(bar, Accuracy(angle, 1e-9, 1e-9)), spots, STIFF, np.random.default_rng(1),
        axes=np.array([[0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [1.0, 0.0, 0.0]]),
    )  # fmt: skip
    assert turned.slots[0].along == "x"


def test_what_is_expected_is_what_each_piece_takes() -> None:
    """The same pieces one by one, each giving as it is bent itself."""
    bar = on_the_bar(stay())
    spots = [Spot("foot", at=20.0), Spot("middle", at=300.0), Spot("top", at=bar.length - 20.0)]
    scatter = scatter_of(bar, Accuracy(0.3, 0.4, 0.3))
    found = expected_onto(bar, scatter, spots, STIFF, np.random.default_rng(4), samples=200)
    errors = scatter.drawn(np.random.default_rng(4), 200)
    each = [spring_onto(bar, bar.values + errors[:, :, k], spots, STIFF) for k in range(200)]
    assert found.force == pytest.approx(float(np.quantile([one.force for one in each], 0.95)), rel=0.03)
    assert found.yield_share == pytest.approx(float(np.quantile([one.yield_share for one in each], 0.95)), rel=0.03)
