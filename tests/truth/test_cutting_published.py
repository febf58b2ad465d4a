"""Cutting against published instances and the optima known for them.

- V. Chvátal, Linear Programming (1983), chapter 13: raws of 100, finals of 45, 36, 31 and 14; the same numbers are the
  model ``cutstock`` of the GAMS model library, whose best is 453 raws (both from memory).
- E. Falkenauer's uniform instances of bin packing, 120 items in bins of 150, as ``binpack1.txt`` of the OR-Library
  (J. E. Beasley) gives them, each with the best number of bins known: u120_00 to u120_04 and u120_08. A bin is a bar.
"""

from __future__ import annotations

from collections import Counter

import pytest

from bentwork.parts.cutting import BarOnSale, Length, Saw
from bentwork.parts.cutting_plan import cut_plan

U120: dict[str, tuple[int, str]] = {
    "u120_00": (
        48,
        "42 69 67 57 93 90 38 36 45 42 33 79 27 57 44 84 86 92 46 38 85 33 82 73 49 70 59 23 57 72 74 69 33"
        " 42 28 46 30 64 29 74 41 49 55 98 80 32 25 38 82 30 35 39 57 84 62 50 55 27 30 36 20 78 47 26 45 41"
        " 58 98 91 96 73 84 37 93 91 43 73 85 81 79 71 80 76 83 41 78 70 23 42 87 43 84 60 55 49 78 73 62 36"
        " 44 94 69 32 96 70 84 58 78 25 80 58 66 83 24 98 60 42 43 43 39",
    ),
    "u120_01": (
        49,
        "97 57 81 62 75 81 23 43 50 38 60 58 70 88 36 90 37 45 45 39 44 53 70 24 82 81 47 97 35 65 74 68 49"
        " 55 52 94 95 29 99 20 22 25 49 46 98 59 98 60 23 72 33 98 80 95 78 57 67 53 47 53 36 38 92 30 80 32"
        " 97 39 80 72 55 41 60 67 53 65 95 20 66 78 98 47 100 85 53 53 67 27 22 61 43 52 76 64 61 29 30 46 79"
        " 66 27 79 98 90 22 75 57 67 36 70 99 48 43 45 71 100 88 48 27 39",
    ),
    "u120_02": (
        46,
        "38 100 60 42 20 69 24 23 92 32 84 36 65 84 34 68 64 33 69 27 47 21 85 88 59 61 50 53 37 75 64 84 74"
        " 57 83 28 31 97 61 36 46 37 96 80 53 51 68 90 64 81 66 67 80 37 92 67 64 31 94 45 80 28 76 29 64 38"
        " 48 40 29 44 81 35 51 48 67 24 46 38 76 22 30 67 45 41 29 41 79 21 25 90 62 34 73 50 79 66 59 42 90"
        " 79 70 66 80 35 62 98 97 37 32 75 91 91 48 26 23 32 100 46 29 26",
    ),
    "u120_03": (
        49,
        "29 26 83 82 92 95 87 63 57 100 63 65 81 46 42 95 90 80 53 27 84 40 22 97 20 73 63 95 46 42 47 40 26"
        " 88 49 24 92 87 68 95 34 82 84 43 54 73 66 32 62 48 99 90 86 28 25 25 89 67 96 35 33 70 40 59 32 94"
        " 34 86 35 45 25 76 80 42 91 44 91 97 60 29 45 37 61 54 78 56 74 74 45 21 96 37 75 100 58 84 85 56 54"
        " 71 52 79 43 35 27 70 31 47 35 26 30 97 90 80 58 60 73 46 71 39",
    ),
    "u120_04": (
        50,
        "42 98 27 21 71 71 78 76 57 24 91 84 35 25 77 96 97 89 30 86 81 39 75 66 85 36 60 56 50 75 75 37 87"
        " 95 21 99 42 57 31 37 42 40 69 91 45 97 84 90 52 43 68 53 37 65 79 73 92 87 20 20 73 42 52 20 24 76"
        " 71 72 21 21 82 92 78 87 50 41 31 73 89 59 88 40 71 69 45 57 49 68 84 32 69 77 92 98 57 39 32 23 99"
        " 91 48 21 70 43 73 69 65 57 67 28 84 42 61 92 82 34 74 55 60 69",
    ),
    "u120_08": (
        50,
        "100 22 25 51 95 58 97 30 79 23 53 80 20 65 64 21 26 100 81 98 70 85 92 97 86 71 91 29 63 34 67 23 33"
        " 89 94 47 100 37 40 58 73 39 49 79 54 57 98 69 67 49 38 34 96 27 92 82 69 45 69 20 75 97 51 70 29 91"
        " 98 77 48 45 43 61 36 82 89 94 26 35 58 58 57 46 44 91 49 52 65 42 33 60 37 57 91 52 95 84 72 75 89"
        " 81 67 74 87 60 32 76 85 59 62 39 64 52 88 45 29 88 85 54 40 57",
    ),
}


def test_chvatal() -> None:
    finals = ((45, 97), (36, 610), (31, 395), (14, 211))
    plan = cut_plan([Length(str(width), width, count) for width, count in finals], [BarOnSale(100.0, 1.0)])
    assert plan is not None
    assert sum(bar.times for bar in plan.bars) == 453
    assert plan.proven
    assert Counter(name for bar in plan.bars for name, _ in bar.cuts * bar.times) == {str(w): n for w, n in finals}


@pytest.mark.parametrize("name", U120)
def test_bin_packing(name: str) -> None:
    bins, words = U120[name]
    items = Counter(int(word) for word in words.split())
    assert sum(items.values()) == 120
    plan = cut_plan([Length(str(size), size, count) for size, count in items.items()], [BarOnSale(150.0, 1.0)])
    assert plan is not None
    assert sum(bar.times for bar in plan.bars) == bins
    assert plan.proven
    assert all(bar.used <= 150.0 for bar in plan.bars)


def test_a_kerf_is_a_longer_piece_in_a_longer_bar() -> None:
    """Every piece shortened by the kerf and every bar too: the same packing (the last cut needs no room)."""
    _, words = U120["u120_02"]
    items = Counter(int(word) for word in words.split())
    kerf = 2.5
    plan = cut_plan(
        [Length(str(size), size - kerf, count) for size, count in items.items()],
        [BarOnSale(150.0 - kerf, 1.0)],
        (),
        Saw(kerf),
    )
    assert plan is not None
    assert (plan.cost, plan.proven) == (46.0, True)
