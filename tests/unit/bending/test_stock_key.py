"""The key of a kind of bar: the same for the same bar, and the section comes back out of it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bentwork.bending.stock_key import StockKey, section_from_text, section_text
from bentwork.errors import InputError
from bentwork.stock.section import Flat, Round, Section, Square, SquareTube, Tube

SIZE = st.floats(0.5, 500.0)


def sections() -> st.SearchStrategy[Section]:
    return st.one_of(
        st.builds(Round, SIZE),
        SIZE.flatmap(lambda d: st.builds(Tube, st.just(d), st.floats(0.1, 0.49).map(lambda part: part * d))),
        st.builds(Square, SIZE, SIZE),
        SIZE.flatmap(lambda w: st.builds(SquareTube, st.just(w), st.just(w), st.just(w * 0.1), st.floats(0, w * 0.2))),
        SIZE.flatmap(lambda w: st.builds(Flat, st.just(w), st.floats(0.1, 1.0).map(lambda part: part * w))),
    )


@pytest.mark.parametrize(
    ("section", "text"),
    [
        (Round(12.0), "round 12 6082-T6"),
        (Tube(25.4, 1.651), "tube 25.4x1.651 6082-T6"),
        (Square(20.0, 30.0), "square 20x30 6082-T6"),
        (SquareTube(40.0, 20.0, 2.0, 3.5), "square-tube 40x20x2x3.5 6082-T6"),
        (SquareTube(40.0, 20.0, 2.0), "square-tube 40x20x2x0 6082-T6"),
        (Flat(25.0, 3.0), "flat 25x3 6082-T6"),
        (Round(100.0), "round 100 6082-T6"),
    ],
)
def test_the_key_is_readable(section: Section, text: str) -> None:
    assert str(StockKey(section, "6082-T6")) == text


@given(sections())
def test_the_section_comes_back(section: Section) -> None:
    key = StockKey(section, "S235")
    assert section_from_text(section_text(key.section)) == key.section
    assert key.section.kind == section.kind
    assert abs(key.section.area - section.area) <= 1e-5 * section.area + 1e-3


def test_the_noise_of_inches_makes_no_other_bar() -> None:
    noisy = StockKey(Round(0.1 * 3 * 25.4), "S235")
    assert 0.1 * 3 * 25.4 != 7.62
    assert noisy == StockKey(Round(7.62), "S235")


def test_a_64th_of_an_inch_is_kept_whole() -> None:
    assert StockKey(Round(25.4 / 64), "S235").section == Round(0.396875)


def test_blanks_in_a_material_are_one_blank() -> None:
    assert StockKey(Round(12.0), "  EN  AW-6082 ") == StockKey(Round(12.0), "EN AW-6082")


def test_another_size_or_material_is_another_bar() -> None:
    keys = {str(StockKey(Round(d), m)) for d in (12.0, 12.5) for m in ("6082-T6", "6082-T4")}
    assert len(keys) == 4


def test_a_bar_without_material_has_no_key() -> None:
    with pytest.raises(InputError, match="material: found nothing"):
        StockKey(Round(12.0), " ")


@pytest.mark.parametrize("text", ["", "round", "round 12x1", "tube 12", "tube 12x6", "rail 12", "round x", "round nan"])
def test_what_is_no_section_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"section|size|wall|float"):
        section_from_text(text)
