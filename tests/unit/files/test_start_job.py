"""A wish that cannot be made is answered from the corners alone: the same answer as reading every file would give."""

from __future__ import annotations

import random
from typing import Any

import pytest

from bentwork.errors import InputError
from bentwork.files import start_job as asked
from bentwork.files.job_file import parse_job
from bentwork.files.start_job import Wish, start_job
from bentwork.piece import misfits
from bentwork.piece.shapes import SHAPES


def wishes(count: int) -> list[Wish]:
    """Shapes of any size by chance, most of them too small for their bends."""
    chance, found = random.Random(11), list[Wish]()
    while len(found) < count:
        shape = chance.choice([one for one in SHAPES.values() if not one.own_radius])
        sizes: dict[str, str | None] = {
            one.name: f"{chance.randint(20, 150)} mm" for one in shape.dimensions if one.kind == "length"
        }
        units = chance.choice(["mm", "mm", "in"])
        radius = chance.choice([None, f"{chance.randint(30, 200)} mm"])
        found.append(Wish("x", shape.name, sizes, None, radius, "6082-T6", units))
    return found


def answer(wish: Wish) -> Any:  # noqa: ANN401 - a text, or the faults
    try:
        return start_job(wish)
    except InputError as error:
        return error.faults


def test_a_refusal_from_the_corners_is_that_of_reading_every_file(monkeypatch: pytest.MonkeyPatch) -> None:
    read: list[int] = []

    def counted(*given: Any) -> Any:  # noqa: ANN401 - whatever it takes and gives
        read.append(1)
        return parse_job(*given)

    monkeypatch.setattr(misfits, "least_shift", lambda corners, side: None)  # no matter here, and it takes its time
    monkeypatch.setattr(asked, "parse_job", counted)
    quick = [answer(wish) for wish in wishes(25)]
    few = len(read)
    monkeypatch.setattr(asked, "_clearly_tight", lambda new: False)
    assert quick == [answer(wish) for wish in wishes(25)]
    assert sum(not isinstance(one, str) for one in quick) > 12
    assert 3 * few < len(read) - few
