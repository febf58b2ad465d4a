"""The order of welds against distortion, tacks, what metals want of the welder."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations

import pytest

from bentwork.files.catalogue import materials
from bentwork.parts.weld_metal import advice_for
from bentwork.parts.welding import WeldPlace, order_of, tacks_for
from bentwork.stock.material import joinable

METALS = materials()


def ladder(*, seam: bool = True) -> list[WeldPlace]:
    """A ladder of three rungs between two rails, welded left and right, and a seam far out."""
    rungs = [
        WeldPlace(f"rung {k} {side}", (100.0 * k, y, 0.0), 37.7, 4.0)
        for k in (1, 2, 3)
        for side, y in (("left", 150.0), ("right", -150.0))
    ]
    return [*rungs, *([WeldPlace("seam", (390.0, 150.0, 0.0), 37.7, 4.0, seam=True)] if seam else [])]


def names(welds: list[WeldPlace]) -> list[str]:
    return [welds[k].name for k in order_of(welds)]


def test_from_the_middle_outwards_and_on_the_other_side() -> None:
    found = names(ladder(seam=False))
    assert {*found[:2]} == {"rung 2 left", "rung 2 right"}
    # of the four outer ones the farthest from the weld before comes next: diagonally across, then across, ...
    assert found[2].split()[2] != found[1].split()[2]
    ends = [name.rsplit(" ", 1) for name in found[2:]]
    assert ends[0][0] != ends[1][0]
    assert ends[0][1] != ends[1][1]


def test_seams_come_first() -> None:
    assert names(ladder())[0] == "seam"


def test_every_weld_once_and_the_same_however_they_are_numbered() -> None:
    welds = ladder()[:5]
    told = {tuple(names(list(order))) for order in permutations(welds)}
    assert len(told) == 1
    assert sorted(next(iter(told))) == sorted(weld.name for weld in welds)


def test_nothing_and_one() -> None:
    assert order_of([]) == ()
    assert order_of(ladder()[:1]) == (0,)


@pytest.mark.parametrize(
    ("length", "count", "turns"),
    [
        (37.7, 2, (0.0, 180.0)),
        (80.0, 2, (0.0, 180.0)),
        (80.1, 4, (0.0, 180.0, 90.0, 270.0)),  # three would do: each has its opposite
        (200.0, 6, (0.0, 180.0, 60.0, 240.0, 120.0, 300.0)),
    ],
)
def test_tacks_round_a_bar(length: float, count: int, turns: tuple[float, ...]) -> None:
    tacks = tacks_for(WeldPlace("one", (0.0, 0.0, 0.0), length, 3.0))
    assert tacks.count == count
    assert tacks.turns == pytest.approx(turns)
    assert tacks.apart == pytest.approx(length / count)
    assert tacks.apart <= 40.0  # our rule: common practice, no source


def test_tacks_have_a_size() -> None:
    weld = WeldPlace("one", (0.0, 0.0, 0.0), 60.0, 1.0)
    assert tacks_for(weld).length == 5.0
    assert tacks_for(replace(weld, throat=3.0)).length == 9.0
    assert tacks_for(replace(weld, throat=8.0)).length == 15.0


def test_two_fillets_are_tacked_at_their_ends() -> None:
    weld = WeldPlace("one", (0.0, 0.0, 0.0), 80.0, 3.0, "pair")
    assert (tacks_for(weld).count, tacks_for(weld).apart) == (4, 40.0)
    assert tacks_for(replace(weld, length=40.0)).count == 2  # 20 mm a side: no room for two of 9


@pytest.mark.parametrize(
    ("one", "other", "reckoned", "filler"),
    [
        # G. Mathers, The welding of aluminium and its alloys, Tables 3.2 and 3.3 (seen): 6xxx 4043 or 5356, 5xxx to
        # 6xxx 5356, 7020 5356; not 4043 where there is more than 2 % magnesium
        ("6082-T6", "6082-T6", "5356", "5356"),
        ("6082-T6", "6082-T6", "4043", "4043"),
        ("6061-T6", "5083-H111", "5356", "5356"),
        ("5754-H111", "6082-T6", "4043", "5356"),
        ("7020-T6", "7020-T6", "5356", "5356"),
        # ISO 14341, ISO 14343 (from memory)
        ("S235", "S355", "5356", "3Si1"),
        ("304", "304", "5356", "308L"),
        ("304", "316L", "5356", "316L"),
        ("S235", "304", "5356", "309L"),
    ],
)
def test_fillers(one: str, other: str, reckoned: str, filler: str) -> None:
    told = advice_for(METALS[one], METALS[other], reckoned)
    assert told is not None
    assert filler in told.filler
    assert bool(told.doubt) == (reckoned == "4043" and filler == "5356")


def test_how_warm() -> None:
    # a filler maker's table, seen: not hardening 120 and 120, hardening 120 and 100, 7xxx 100 and 80 degrees C
    found = {name: advice_for(METALS[name], METALS[name]) for name in ("5083-H111", "6082-T6", "7020-T6", "S235")}
    told = {name: one and (one.most_preheat, one.interpass) for name, one in found.items()}
    assert told["5083-H111"] == (120.0, 120.0)
    assert told["6082-T6"] == (120.0, 100.0)
    assert told["7020-T6"] == (100.0, 80.0)
    assert told["S235"] == (None, 250.0)  # EN 1011-2 (from memory)


def test_what_is_not_welded() -> None:
    assert not joinable(METALS["S235"], METALS["6082-T6"])
    assert joinable(METALS["S235"], METALS["304"])
    assert advice_for(METALS["S235"], METALS["6082-T6"]) is None
    assert advice_for(METALS["7075-T6"], METALS["7075-T6"]) is None
