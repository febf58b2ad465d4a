"""Where crossbars stand along a straight."""

from __future__ import annotations

import pytest

from bentwork.parts.spread import spread


@pytest.mark.parametrize(
    ("asked", "places"),
    [
        ({"count": 3}, (100.0, 200.0, 300.0)),
        ({"count": 3, "first": 50.0, "last": 50.0}, (50.0, 200.0, 350.0)),
        ({"count": 2, "first": 100.0}, (100.0, 300.0)),
        ({"count": 1, "first": 120.0}, (120.0,)),
        ({"count": 1, "last": 120.0}, (280.0,)),
        ({"count": 3, "spacing": 80.0}, (120.0, 200.0, 280.0)),
        ({"spacing": 150.0, "first": 20.0}, (20.0, 170.0, 320.0)),
        ({"spacing": 100.0, "first": 50.0, "last": 50.0}, (50.0, 150.0, 250.0, 350.0)),
        ({"spacing": 110.0, "first": 50.0, "last": 50.0}, (50.0, 150.0, 250.0, 350.0)),
        ({"count": 2, "spacing": 100.0, "last": 30.0}, (270.0, 370.0)),
        ({"spacing": 900.0}, (200.0,)),
    ],
)
def test_places(asked: dict[str, float], places: tuple[float, ...]) -> None:
    assert spread(400.0, **asked) == pytest.approx(places)  # type: ignore[arg-type]


def test_what_is_not_said_or_at_odds() -> None:
    with pytest.raises(ValueError, match="how many"):
        spread(400.0)
    with pytest.raises(ValueError, match="do not go together"):
        spread(400.0, 3, 100.0, 10.0, 10.0)
