"""Plans of cuts: what the saw takes, what is left out, what is told, ties."""

from __future__ import annotations

import pytest

from bentwork.parts.cutting import BarCut, BarOnSale, Length, Offcut, Saw
from bentwork.parts.cutting_plan import cut_plan


def test_the_last_piece_may_end_with_the_bar() -> None:
    """Three pieces of 332 and two cuts of 2 are 1000: a third cut has nothing to cut."""
    plan = cut_plan([Length("rung", 332.0, 3)], [BarOnSale(1000.0, 5.0)], (), Saw(2.0))
    assert plan is not None
    assert [(bar.times, bar.rest) for bar in plan.bars] == [(1, 0.0)]
    wider = cut_plan([Length("rung", 332.0, 3)], [BarOnSale(1000.0, 5.0)], (), Saw(2.5))
    assert wider is not None
    assert wider.cost == 10.0


def test_ends_are_cut_off_to_begin_with() -> None:
    plan = cut_plan([Length("rung", 332.0, 3)], [BarOnSale(1000.0, 5.0)], (), Saw(2.0, 1.0))
    assert plan is not None
    assert plan.cost == 10.0
    whole = cut_plan([Length("rung", 332.0, 3)], [BarOnSale(1001.0, 5.0)], (), Saw(2.0, 1.0))
    assert whole is not None
    assert whole.cost == 5.0
    assert whole.bars[0].spans == (("rung", 0.5, 332.5), ("rung", 334.5, 666.5), ("rung", 668.5, 1000.5))


def test_the_cheapest_mix_is_not_the_longest_bar() -> None:
    """By hand: 2 x 1400 of a 3 m bar (14.50) leave nothing for 2 x 900; a 2 m bar (9) holds those. 6 m cost 26."""
    bars = [BarOnSale(2000.0, 9.0), BarOnSale(3000.0, 14.5), BarOnSale(6000.0, 26.0)]
    plan = cut_plan([Length("leg", 1400.0, 2), Length("rung", 900.0, 2)], bars)
    assert plan is not None
    assert (plan.cost, plan.bound, plan.proven, plan.gap) == (23.5, 23.5, True, 0.0)
    assert [(bar.length, [name for name, _ in bar.cuts]) for bar in plan.bars] == [
        (3000.0, ["leg", "leg"]),
        (2000.0, ["rung", "rung"]),
    ]


def test_offcuts_are_used_before_anything_is_bought() -> None:
    plan = cut_plan([Length("rung", 300.0, 4)], [BarOnSale(3000.0, 14.5)], [Offcut(650.0), Offcut(310.0, 2)])
    assert plan is not None
    assert plan.cost == 0.0
    assert sorted((bar.length, bar.times) for bar in plan.bars) == [(310.0, 2), (650.0, 1)]
    assert not plan.bought


def test_an_offcut_longer_than_what_is_sold_holds_the_long_piece() -> None:
    plan = cut_plan([Length("keel", 3500.0)], [BarOnSale(3000.0, 14.5)], [Offcut(3600.0)])
    assert plan is not None
    assert (plan.cost, plan.too_long) == (0.0, ())
    twice = cut_plan([Length("keel", 3500.0, 2)], [BarOnSale(3000.0, 14.5)], [Offcut(3600.0)])
    assert twice is not None
    assert [length.name for length in twice.too_long] == ["keel"]


def test_of_equal_plans_the_one_with_the_longest_rest() -> None:
    """Two bars whatever is done: 600 and 600 together leave a whole 700 of the other, 600 with 300 leave 400 each."""
    plan = cut_plan([Length("a", 600.0, 2), Length("b", 300.0)], [BarOnSale(1300.0, 5.0)])
    assert plan is not None
    assert [bar.rest for bar in plan.bars] == [100.0, 1000.0]
    assert plan.rest_proven
    assert plan.longest_rest == 1000.0


def test_a_rest_is_kept_in_one_of_the_offcuts_too() -> None:
    plan = cut_plan([Length("a", 500.0)], [BarOnSale(3000.0, 14.5)], [Offcut(600.0), Offcut(2900.0)])
    assert plan is not None
    assert [bar.length for bar in plan.bars] == [600.0]


def test_too_long_pieces_are_told_and_the_rest_is_planned() -> None:
    plan = cut_plan([Length("mast", 7000.0), Length("rung", 300.0)], [BarOnSale(6000.0, 26.0)])
    assert plan is not None
    assert [length.name for length in plan.too_long] == ["mast"]
    assert plan.cost == 26.0
    nothing = cut_plan([Length("mast", 7000.0)], [BarOnSale(6000.0, 26.0)])
    assert nothing is not None
    assert (nothing.bars, nothing.cost) == ((), 0.0)


def test_without_prices_as_little_length_as_can_be() -> None:
    plan = cut_plan([Length("rung", 900.0, 4)], [BarOnSale(2000.0), BarOnSale(3000.0), BarOnSale(6000.0)])
    assert plan is not None
    assert not plan.by_price
    assert plan.cost == 4000.0
    assert all(bar.price is None for bar in plan.bars)


def test_no_bar_on_sale() -> None:
    assert cut_plan([Length("rung", 900.0)], []) is None
    assert cut_plan([Length("rung", 900.0)], [], [Offcut(800.0)]) is None
    held = cut_plan([Length("rung", 900.0)], [], [Offcut(1000.0)])
    assert held is not None
    assert held.cost == 0.0


def test_a_longer_bar_that_is_no_dearer_is_taken() -> None:
    plan = cut_plan([Length("rung", 900.0)], [BarOnSale(1000.0, 6.0), BarOnSale(2000.0, 6.0)])
    assert plan is not None
    assert plan.bars[0].length == 2000.0


def test_names_of_one_length_are_kept_apart_in_their_order() -> None:
    plan = cut_plan([Length("left", 400.0, 2), Length("right", 400.0, 2)], [BarOnSale(800.0, 3.0)])
    assert plan is not None
    assert [(bar.times, [name for name, _ in bar.cuts]) for bar in plan.bars] == [
        (1, ["left", "left"]),
        (1, ["right", "right"]),
    ]


def test_the_same_question_has_the_same_answer() -> None:
    lengths = [Length(f"p{k}", 217.3 + 61.7 * k, 4) for k in range(9)]
    bars = [BarOnSale(2000.0, 9.8), BarOnSale(3000.0, 14.5)]
    plans = [cut_plan(lengths, bars, [Offcut(700.0)], Saw(1.5, 4.0)) for _ in range(2)]
    assert plans[0] == plans[1]


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: Length("a", 0.0),
        lambda: Length("a", 1.0, 0),
        lambda: BarOnSale(float("nan")),
        lambda: BarOnSale(1000.0, -1.0),
        lambda: Offcut(-3.0),
        lambda: Offcut(3.0, 0),
        lambda: Saw(-1.0),
        lambda: Saw(1.0, float("inf")),
    ],
)
def test_what_makes_no_sense_is_refused(wrong: object) -> None:
    assert callable(wrong)
    with pytest.raises(ValueError, match=r"mm|least|price"):
        wrong()


def test_a_rest_is_never_below_nothing() -> None:
    bar = BarCut(1000.0, 5.0, False, (("a", 999.0),), 1, Saw(2.0))
    assert bar.rest == 0.0
