"""What a frame carries in words."""

from __future__ import annotations

import math

from bentwork.jobs.carried_words import carries_words, gives_at_words
from bentwork.units import Ruler


def test_what_it_carries() -> None:
    assert carries_words(12.345, Ruler()) == "12.3 kg"
    assert carries_words(12.345, Ruler("in")) == "27.2 lb"  # 12.345 / 0.45359237 = 27.216
    assert carries_words(math.inf, Ruler()) == "any load"
    assert carries_words(0.0, Ruler("in")) == "nothing"


def test_under_what_it_gives() -> None:
    assert gives_at_words(12.345, Ruler("in")) == "27.2 lb"
    assert gives_at_words(math.inf, Ruler()) == "never"
    assert gives_at_words(0.0, Ruler()) == "any load"
