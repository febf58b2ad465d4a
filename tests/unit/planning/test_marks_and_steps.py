"""Marks, steps, and what bar and bender allow."""

from __future__ import annotations

import pytest

from bentwork.bending.known import Known, known
from bentwork.bending.set_up import SetUp
from bentwork.files.catalogue import materials
from bentwork.findings import CODES, Finding, by_weight, has_stop
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.planning.limits import bar_findings, bender_findings, needed
from bentwork.planning.marks import marks_for
from bentwork.planning.steps import as_drawn
from bentwork.stock.bar import Stock
from bentwork.stock.section import Round
from bentwork.tooling.bender import Accuracy, Bender, Follower, Hook, Needs
from bentwork.units import Ruler

TABLE = BendTable((100.0, 80.0, 60.0), (Bend(50.0, 90.0), Bend(50.0, 60.0, -90.0)))
LEVER = Bender("lever", "wrap", 50.0, springback=1.05)
ROD = Stock("rod", Round(12.0), materials()["6082-T6"], 300.0)


def on(bender: Bender) -> Known:
    return known(SetUp(ROD.section, ROD.material, bender))


def codes(findings: tuple[Finding, ...]) -> list[str]:
    return [finding.code for finding in findings]


def test_a_die_is_set_to_the_start_on_the_held_side() -> None:
    first, _ = marks_for(TABLE)
    assert first.lined_up(LEVER, "A") == first.start
    assert first.lined_up(LEVER, "B") == first.end
    assert first.lined_up(None, "A") == first.start


def test_a_punch_is_set_to_the_centre() -> None:
    first, _ = marks_for(TABLE)
    for kind in ("ram", "vee"):
        assert first.lined_up(Bender("press", kind, 50.0), "B") == first.centre
    assert first.lined_up(Bender("press", "ram", 50.0, mark_at="start"), "A") == first.start


def test_steps_as_drawn() -> None:
    one, two = as_drawn(TABLE, marks_for(TABLE), LEVER, "vise", on(LEVER))
    assert (one.turn, one.held, one.mounting) == (0.0, "A", "vise")
    assert (one.bend_to, one.springback) == pytest.approx((94.5, 4.5))
    assert two.turn == 90.0  # the piece's bend plane goes -90 about the bar, so the bar is turned +90 to bring it back
    assert two.bend_to == pytest.approx(63.0)


def test_half_a_turn_has_one_sign() -> None:
    table = BendTable((10.0, 10.0, 10.0), (Bend(50.0, 90.0), Bend(50.0, 90.0, 180.0)))
    assert as_drawn(table, marks_for(table), LEVER)[1].turn == 180.0


def test_without_a_bender_bends_are_pulled_as_drawn() -> None:
    one, _ = as_drawn(TABLE, marks_for(TABLE), None)
    assert (one.bend_to, one.springback, one.moment, one.least) == (90.0, 0.0, None, None)


def test_a_bar_too_short_says_by_how_much() -> None:
    assert not bar_findings(300.0, ROD)
    (finding,) = bar_findings(312.5, ROD)
    assert finding.level == "stop"
    assert "12.5 mm too little" in finding.told(Ruler())[1]


def test_what_a_bender_cannot_do_or_is_not_known_of_it() -> None:
    steps = as_drawn(TABLE, marks_for(TABLE), LEVER, None, on(LEVER))
    assert bender_findings(TABLE, steps, LEVER) == ()
    small = Bender("small", "wrap", 40.0, max_angle=90.0, springback=1.05)
    steps = as_drawn(TABLE, marks_for(TABLE), small, None, on(small))
    found = bender_findings(TABLE, steps, small)
    assert codes(found) == ["bend-beyond-tool", "other-radius", "other-radius"]
    assert found[0].level == "stop"
    assert codes(bender_findings(TABLE, steps, None)) == ["no-bender"]
    assert bender_findings(BendTable((10.0,)), (), None) == ()


def test_a_reach_that_nobody_has_said_is_no_stop() -> None:
    turn = BendTable((100.0, 100.0), (Bend(50.0, 180.0),))
    bender = Bender("lever", "wrap", 50.0)
    (finding,) = bender_findings(turn, as_drawn(turn, marks_for(turn), bender, None, on(bender)), bender)
    assert (finding.level, finding.code) == ("watch", "bend-beyond-tool")
    near = BendTable((100.0, 100.0), (Bend(50.0, 88.0),))
    bender = Bender("lever", "wrap", 50.0, max_angle=98.0)  # the handbook's likeliest pull is 96.6, its highest 101.3
    (finding,) = bender_findings(near, as_drawn(near, marks_for(near), bender, None, on(bender)), bender)
    assert (finding.level, "perhaps" in finding.why) == ("watch", True)


@pytest.mark.parametrize(
    ("straights", "trim", "says"),
    [
        ((60.0, 35.0, 60.0), 0.0, []),
        ((60.0, 34.9, 60.0), 0.0, ["between bends 1 and 2"]),
        ((59.0, 35.0, 60.0), 1.0, []),
        ((58.9, 35.0, 40.0), 1.0, ["at end A", "at end B"]),
    ],
)
def test_straights_too_short_in_any_order(straights: tuple[float, ...], trim: float, says: list[str]) -> None:
    needs = Needs(straight_held=42.0, straight_free=35.0, end_held=65.0, end_free=60.0)
    bender = Bender("lever", "wrap", 50.0, springback=1.05, needs=needs)
    table = BendTable(straights, TABLE.bends)
    found = bender_findings(table, (), bender, trim)
    assert [finding.says for finding in found] == [f"The straight {where} is too short for lever." for where in says]
    assert {finding.level for finding in found} <= {"stop"}


def test_needs_that_nobody_has_said_follow_from_hook_and_follower() -> None:
    bender = Bender(
        "lever",
        "wrap",
        50.0,
        hook=Hook(12.0, 30.0, 16.0, 30.0),
        follower=Follower("shoe", 20.0, 22.0, length=40.0, width=15.0),
    )
    between, ends = needed(bender)
    assert (between.held, between.free) == (42.0, 42.0)
    assert (ends.held, ends.free) == (42.0, 42.0)


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
