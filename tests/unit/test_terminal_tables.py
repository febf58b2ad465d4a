"""Tables on terminals of any width: nothing in them is cut short."""

from __future__ import annotations

import io

import pytest
from rich.console import Console

from bentwork.cli.say_table import columns

ROWS = (
    ("1", "Side rail left", "5 1/16", "57.8°", "", "56.5° 59.0°"),
    ("2", "Cross bar", "1308.7 mm", "180° end for end", "", "56.5° 59.0°"),
)
HEADS = ("step", "name", "mark", "turn the bar", "clear", "9 in 10")


def told(width: int) -> str:
    table = columns(*HEADS, left=("name",))
    for row in ROWS:
        table.add_row(*row)
    out = io.StringIO()
    Console(width=width, file=out, markup=False).print(table)
    return out.getvalue()


@pytest.mark.parametrize("width", range(16, 130))
def test_every_word_and_figure_is_there(width: int) -> None:
    out = told(width)
    assert max(map(len, out.splitlines())) <= width
    assert "…" not in out
    found = out.split()
    for cell in (cell for row in ROWS for cell in row):
        assert all(found.count(word) for word in cell.split())


def test_an_empty_column_goes_first_then_the_space_between_then_the_lines() -> None:
    heads = {width: "clear" in told(width) for width in (130, 70)}
    assert heads == {130: True, 70: False}
    assert "name Side rail left" in " ".join(told(22).split())
