"""Marks, steps, and what bar and bender allow."""

from __future__ import annotations

import pytest

from bentwork.files.catalogue import materials
from bentwork.findings import CODES, Finding, by_weight, has_stop
from bentwork.forming.springback import pull_for
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.planning.limits import bar_findings, bender_findings
from bentwork.planning.marks import marks_for
from bentwork.planning.steps import as_drawn, mark_to_line_up
from bentwork.stock.bar import Stock
from bentwork.stock.section import Round
from bentwork.tooling.bender import Accuracy, Bender
from bentwork.units import Ruler

TABLE = BendTable((100.0, 80.0, 60.0), (Bend(50.0, 90.0), Bend(50.0, 60.0, -90.0)))
LEVER = Bender("lever", "wrap", 50.0, springback=1.05)
ROD = Stock("rod", Round(12.0), materials()["6082-T6"], 300.0)


def codes(findings: tuple[Finding, ...]) -> list[str]:
    return [finding.code for finding in findings]


def test_a_die_is_set_to_the_start_on_the_held_side() -> None:
    first, _ = marks_for(TABLE)
    assert mark_to_line_up(first, LEVER, "A") == first.start
    assert mark_to_line_up(first, LEVER, "B") == first.end
    assert mark_to_line_up(first, None, "A") == first.start


def test_a_punch_is_set_to_the_centre() -> None:
    first, _ = marks_for(TABLE)
    for kind in ("ram", "vee"):
        assert mark_to_line_up(first, Bender("press", kind, 50.0), "B") == first.centre
    assert mark_to_line_up(first, Bender("press", "ram", 50.0, mark_at="start"), "A") == first.start


def test_steps_as_drawn() -> None:
    one, two = as_drawn(TABLE, marks_for(TABLE), LEVER, "vise")
    assert (one.turn, one.held, one.mounting) == (0.0, "A", "vise")
    assert (one.bend_to, one.springback) == pytest.approx((94.5, 4.5))
    assert two.turn == 90.0  # the piece's bend plane goes -90 about the bar, so the bar is turned +90 to bring it back
    assert two.bend_to == pytest.approx(63.0)


def test_half_a_turn_has_one_sign() -> None:
    table = BendTable((10.0, 10.0, 10.0), (Bend(50.0, 90.0), Bend(50.0, 90.0, 180.0)))
    assert as_drawn(table, marks_for(table), LEVER)[1].turn == 180.0


def test_springback_is_never_below_one() -> None:
    assert pull_for(90.0, None).bend_to == 90.0
    with pytest.raises(ValueError, match="1 or more"):
        pull_for(90.0, 0.98)


def test_a_bar_too_short_says_by_how_much() -> None:
    assert not bar_findings(300.0, ROD)
    (finding,) = bar_findings(312.5, ROD)
    assert finding.level == "stop"
    assert "12.5 mm too little" in finding.told(Ruler())[1]


def test_what_a_bender_cannot_do_or_is_not_known_of_it() -> None:
    steps = as_drawn(TABLE, marks_for(TABLE), LEVER)
    assert bender_findings(TABLE, steps, LEVER) == ()
    small = Bender("small", "wrap", 40.0, max_angle=90.0, springback=1.05)
    steps = as_drawn(TABLE, marks_for(TABLE), small)
    assert codes(bender_findings(TABLE, steps, small)) == ["bend-beyond-tool", "other-radius", "other-radius"]
    unknown = Bender("new", "wrap", 50.0)
    assert codes(bender_findings(TABLE, as_drawn(TABLE, marks_for(TABLE), unknown), unknown)) == ["springback-unknown"]
    assert codes(bender_findings(TABLE, steps, None)) == ["no-bender"]
    assert bender_findings(BendTable((10.0,)), (), None) == ()


def test_the_hand_of_the_maker() -> None:
    assert LEVER.scatter == Accuracy(1.0, 1.5, 0.7)
    assert Bender("mine", "wrap", 50.0, accuracy=Accuracy(0.5, 1.0, 0.3)).scatter.angle == 0.5


def test_findings_are_sorted_by_weight_and_keep_their_order() -> None:
    def of(level: str, code: str) -> Finding:
        return Finding(level, code, "x")  # type: ignore[arg-type]  # a plain word is easier to read here

    mixed = (
        of("note", "order-unchecked"),
        of("stop", "bar-too-short"),
        of("watch", "other-radius"),
        of("stop", "ends-apart"),
    )
    assert codes(by_weight(mixed)) == ["bar-too-short", "ends-apart", "other-radius", "order-unchecked"]
    assert has_stop(mixed)
    assert not has_stop(mixed[:1])
    with pytest.raises(ValueError, match="no finding is called"):
        Finding("stop", "made-up", "x")


def test_every_code_has_a_meaning() -> None:
    assert all(meaning.endswith(".") for meaning in CODES.values())
