"""Crossbars, their ends, the jig and tabs of whole jobs, from the file on."""

from __future__ import annotations

import math

import pytest

from bentwork.errors import InputError
from bentwork.files.job_file import parse_job
from bentwork.jobs.cope_told import longest_words
from bentwork.jobs.parts_papers import parts_subject
from bentwork.jobs.small_parts import SmallParts, small_parts, with_small_parts
from bentwork.jobs.small_parts_told import end_words, filing_words, set_words
from bentwork.jobs.work import Result, work
from bentwork.sheets.drawing import Label, Stroke
from bentwork.sheets.row_picture import row_picture
from bentwork.space import along, cross, scale
from bentwork.units import Ruler
from tests.desk import EXAMPLE

LOOP = """
format = 1
name = "Tool rack for a workshop wall"
units = "mm"

[stock.tube]
section = "tube"
diameter = 25
wall = 2
material = "S235"

[stock.thin]
section = "tube"
diameter = 16
wall = 1.5
material = "S235"

[stock.strap]
section = "flat"
width = 25
height = 5
material = "6082-T6"

[piece.loop]
stock = "tube"
points = [[0, 0, 0], [600, 0, 0], [600, 400, 0], [0, 400, 0]]
radius = 60
closed = true
"""


def result_of(more: str, head: str = LOOP) -> Result:
    return work(parse_job((head + more).encode(), "rack.toml"))


def parts_of(more: str) -> SmallParts:
    return small_parts(result_of(more))


def crossbar(more: str, name: str = "rung", between: str = '[["loop", 1], ["loop", 3]]') -> str:
    return f'\n[crossbar.{name}]\nstock = "thin"\nbetween = {between}\n{more}\n'


def faults_of(more: str) -> str:
    with pytest.raises(InputError) as found:
        result_of(more)
    return str(found.value)


def test_butted_crossbars_are_pieces_that_touch_both_rails() -> None:
    result = result_of(crossbar("count = 3"))
    rung = next(plan for plan in result.pieces if plan.spec.name == "rung")
    assert rung.spec.copy_names == ("rung 1", "rung 2", "rung 3")
    assert rung.length == pytest.approx(400.0 - 25.0)
    (group,) = small_parts(result).crossbars
    assert len(group.bars) == 3
    # the straight is 480 long between its bends: 120, 240, 360 from its beginning
    assert [bar.endings[0].station for bar in group.bars] == pytest.approx([120.0, 240.0, 360.0])
    assert all(one.spare == pytest.approx(0.0, abs=1e-5) for bar in group.bars for one in bar.endings)
    # tube 16 flat on tube 25: its edge stands off 12.5 - sqrt(12.5^2 - 8^2)
    assert group.first.endings[0].meeting.plain.gap == pytest.approx(12.5 - math.sqrt(92.25))


def test_coped_crossbars_reach_in_to_their_longest_point() -> None:
    (group,) = parts_of(crossbar('count = 2\nends = "coped"')).crossbars
    # longest at sqrt(12.5^2 - 8^2) from either middle line
    assert group.first.bar.length == pytest.approx(400.0 - 2.0 * math.sqrt(92.25), abs=1e-5)
    assert [one.ends for one in group.first.endings] == ["coped", "coped"]
    assert group.first.cut_as("butted") == pytest.approx(375.0)


def test_slanting_crossbars_meet_at_their_angle() -> None:
    (group,) = parts_of(crossbar('count = 1\nfrom = 100\nshift = 100\nends = "coped"')).crossbars
    assert [one.meeting.angle for one in group.first.endings] == pytest.approx([math.degrees(math.atan2(400, 100))] * 2)
    assert group.first.line_turn == pytest.approx(180.0)  # both wide angles lie on opposite sides


def test_unequal_crossbars_are_pieces_of_their_own() -> None:
    vee = """
[piece.vee]
stock = "tube"
points = [[-20, -20, 0], [500, -20, 0], [500, 80, 0], [-20, 180, 0]]
radius = 40
"""
    result = result_of(vee + crossbar("count = 2", between='[["vee", 1], ["vee", 3]]'))
    assert [plan.spec.name for plan in result.pieces] == ["loop", "vee", "rung 1", "rung 2"]
    found = small_parts(result)
    assert [len(group.bars) for group in found.crossbars] == [1, 1]
    lean = math.degrees(math.atan2(100.0, 520.0))
    assert found.crossbars[0].first.endings[1].meeting.plain.lean == pytest.approx(lean, abs=1e-6)


def test_bars_given_as_pieces_get_the_same() -> None:
    found = small_parts(work(parse_job(EXAMPLE.encode(), "crate-shelf.toml")))
    (group,) = found.crossbars
    assert (group.name, len(group.bars)) == ("crossbar", 3)
    assert group.first.cut_length == pytest.approx(288.0)
    assert {(one.onto, one.side, one.ends) for one in group.first.endings} == {
        ("loop", 1, "butted"),
        ("loop", 5, "butted"),
    }
    (row,) = found.rows
    assert row.onto == (("loop", 1), ("loop", 5))
    assert row.between == pytest.approx((88.0, 88.0))
    assert found.findings == ()


def test_a_piece_drawn_from_middle_to_middle_is_told_its_true_length() -> None:
    bar = '\n[piece.bar]\nstock = "thin"\npoints = [[300, 0, 0], [300, 400, 0]]\n'
    (group,) = parts_of(bar).crossbars
    assert group.first.endings[0].ends == "coped"
    assert group.first.cut_length == pytest.approx(400.0 - 2.0 * math.sqrt(92.25))


def test_a_slanting_piece_says_how_it_ends() -> None:
    # its mitre and its cope touch the crown in the same point: nobody can tell them apart by its length
    ends = "points = [[200, 0, 0], [500, 400, 0]]"
    bar = f'\n[piece.bar]\nstock = "thin"\n{ends}\nends = "butted"\n'
    (group,) = parts_of(bar).crossbars
    assert [one.ends for one in group.first.endings] == ["butted", "butted"]
    (group,) = parts_of(bar.replace('"butted"', '"coped"')).crossbars
    assert [one.ends for one in group.first.endings] == ["coped", "coped"]


def test_corners_are_no_crossbars_unless_the_job_says_so() -> None:
    bars = """
[piece.one]
stock = "tube"
points = [[1000, 0, 0], [1300, 0, 0]]
[piece.other]
stock = "tube"
points = [[1000, 0, 0], [1000, 300, 0]]
"""
    assert parts_of(bars).crossbars == ()
    (group,) = parts_of(bars + 'ends = "coped"\n').crossbars
    assert (group.piece, [one.onto for one in group.first.endings]) == ("other", ["one"])


def test_blocks_between_the_bars() -> None:
    found = parts_of(crossbar("count = 3") + "\n[shop]\nblocks = [50, 50, 2, 2, 1]\n")
    (row,) = found.rows
    assert row.between == pytest.approx((104.0, 104.0))
    assert [stack.blocks for stack in row.stacks] == [(50.0, 50.0, 2.0, 2.0)] * 2
    assert row.stops == pytest.approx((112.0, 112.0))
    assert found.findings == ()


def test_blocks_that_do_not_make_it() -> None:
    found = parts_of(crossbar("count = 3") + "\n[shop]\nblocks = [50, 50, 2]\n")
    (one,) = found.findings
    assert (one.code, one.level) == ("blocks-leave-gap", "note")
    assert one.lengths["left"] == pytest.approx(2.0)


def test_a_crossbar_beyond_the_straight() -> None:
    found = parts_of(crossbar("count = 2\nfrom = 470\nspacing = 30"))
    codes = [(one.code, one.level) for one in found.findings]
    assert ("end-meets-bend", "stop") in codes
    assert parts_of(crossbar("count = 2\nfrom = 440\nspacing = 30")).findings == ()


def test_a_piece_that_ends_in_a_bend() -> None:
    out = 400.0 - 60.0 + (60.0 + 12.5) * math.sqrt(0.5)  # the outside of the corner at 45 degrees
    far = f"[{600 - 60 + (60 + 12.5) * math.sqrt(0.5) + 100}, {out + 100}, 0]"
    near = f"[{600 - 60 + (60 + 12.5) * math.sqrt(0.5)}, {out}, 0]"
    found = parts_of(f'\n[piece.bar]\nstock = "thin"\npoints = [{near}, {far}]\n')
    assert [(one.code, one.level) for one in found.findings] == [("end-meets-bend", "watch")]


def test_a_long_thin_tongue() -> None:
    found = parts_of(crossbar('count = 1\nfrom = 20\nshift = 440\nends = "coped"')).findings
    assert [one.code for one in found] == ["cope-too-deep"]


BOX = """
[stock.box]
section = "square-tube"
width = 30
height = 20
wall = 2
corner_radius = 4
material = "S235"
"""


def test_square_tube_is_coped_to_round() -> None:
    # 30 wide along the rail, 20 across it: the sides stand at sqrt(12.5^2 - 10^2), the middle of the end at 12.5
    asked = crossbar('count = 2\nends = "coped"').replace('"thin"', '"box"')
    (group,) = parts_of(BOX + asked).crossbars
    ending = group.first.endings[0]
    cope = ending.meeting.cope
    across = cope.half_beside
    assert across in (pytest.approx(10.0), pytest.approx(15.0))
    assert group.first.bar.length == pytest.approx(400.0 - 2.0 * math.sqrt(max(0.0, 12.5**2 - across**2)), abs=1e-5)
    told = filing_words(ending, Ruler())
    assert "a round file or hole saw of 25 mm makes the hollow" in told
    assert "mm to" in end_words(ending, Ruler()) + longest_words(cope, Ruler())


def test_flat_bar_is_filed_to_an_edge_profile() -> None:
    (group,) = parts_of(crossbar('count = 1\nends = "coped"').replace('"thin"', '"strap"')).crossbars
    cope = group.first.endings[0].meeting.cope
    assert cope.solid
    assert cope.depth in (pytest.approx(12.5 - math.sqrt(12.5**2 - 2.5**2)), pytest.approx(12.5))


def test_round_on_square_is_sawn_flat_and_still_gets_its_template_when_asked() -> None:
    square = '\n[piece.sill]\nstock = "box"\npoints = [[0, -300, 0], [600, -300, 0]]\n'
    between = '[["loop", 1], ["sill", 1]]'
    asked = crossbar('count = 1\nends = "coped"\nshift = 60', between=between).replace('"thin"', '"peg"')
    peg = '[stock.peg]\nsection = "round"\ndiameter = 10\nmaterial = "S235"\n'
    (group,) = parts_of(BOX + peg + square + asked).crossbars
    coped = {one.onto: one for one in group.first.endings}
    assert coped["sill"].meeting.cope.plane
    assert "sawn flat" in end_words(coped["sill"], Ruler())
    assert "one flat cut does it" in filing_words(coped["sill"], Ruler())
    assert coped["loop"].meeting.cope.faces == ("round",)
    # nobody asked: a flat cut is a flat cut
    peg_on = '\n[piece.peg]\nstock = "peg"\npoints = [[300, -300, 0], [300, -100, 0]]\n'
    (group,) = parts_of(BOX + peg + square + peg_on).crossbars
    assert [one.ends for one in group.first.endings] == ["butted"]
    assert group.first.cut_length == pytest.approx(200.0 - group.first.endings[0].meeting.plain.longest)


@pytest.mark.parametrize(("rise", "level"), [(100.0, "watch"), (40.0, "watch"), (8.0, "stop")])
def test_too_flat_to_be_cut_is_told_and_still_drawn(rise: float, level: str) -> None:
    far = f"[500, {rise}, 0]"
    found = parts_of(f'\n[piece.brace]\nstock = "thin"\npoints = [[100, 0, 0], {far}]\nends = "coped"\n')
    (group,) = found.crossbars
    flat = [one for one in found.findings if one.code == "meets-too-flat"]
    assert [one.level for one in flat] == [level]
    assert "cope-too-deep" not in [one.code for one in found.findings]
    cope = group.first.endings[0].meeting.cope
    assert cope.angle == pytest.approx(math.degrees(math.atan2(rise, 400.0)))
    assert cope.depth == pytest.approx(flat[0].lengths["cut"])


def test_where_it_passes_beside_is_told() -> None:
    (group,) = parts_of(crossbar('count = 1\nends = "coped"\noff = [0, 0, 9]')).crossbars
    told = filing_words(group.first.endings[0], Ruler())
    assert "passes beside loop" in told
    assert "level with the middle of loop" in told


def test_bars_in_one_another() -> None:
    found = parts_of(crossbar("count = 1\nfrom = 100") + crossbar("count = 1\nfrom = 110", "other"))
    assert [one.code for one in found.findings] == ["crossbars-overlap"]


def test_bars_in_two_layers_are_not_in_one_another() -> None:
    """Rods of 8 at 5 over and 5 below the middle: 10 between their middles, however near they stand along the rail."""
    rod = '\n[stock.rod]\nsection = "round"\ndiameter = 8\nmaterial = "S235"\n'
    over = crossbar("count = 2\nfrom = 100\nspacing = 90\noff = [0, 0, 5]", "over").replace('"thin"', '"rod"')
    below = crossbar("count = 2\nfrom = 104\nspacing = 90\noff = [0, 0, -5]", "below").replace('"thin"', '"rod"')
    found = parts_of(rod + over + below)
    assert found.findings == ()
    assert [row.bars for row in found.rows] == [("over 1", "over 2"), ("below 1", "below 2")]
    assert [row.between for row in found.rows] == [pytest.approx((82.0,))] * 2
    level = parts_of(rod + over + below.replace("-5", "1"))  # 4 apart: they meet
    assert [one.code for one in level.findings] == ["crossbars-overlap"] * 2


def test_bars_on_either_side_of_a_rail_are_not_in_one_another() -> None:
    middle = '\n[piece.middle]\nstock = "tube"\npoints = [[100, 200, 0], [500, 200, 0]]\n'
    found = parts_of(
        middle
        + crossbar("count = 2\nfrom = 80\nspacing = 100", "one", '[["middle", 1], ["loop", 1]]')
        + crossbar("count = 2\nfrom = 84\nspacing = 100", "two", '[["middle", 1], ["loop", 3]]')
    )
    assert not [one for one in found.findings if one.code == "crossbars-overlap"]
    assert {row.bars for row in found.rows if ("middle", 1) in row.onto} == {("one 1", "one 2"), ("two 1", "two 2")}


def test_the_rail_that_runs_the_other_way_is_measured_from_its_end() -> None:
    """Side 3 of a loop begins where side 1 ends: 100 from there would set every bar out of square."""
    (row,) = parts_of(crossbar("count = 2\nfrom = 100\nspacing = 120")).rows
    assert row.onto == (("loop", 1), ("loop", 3))
    assert row.turned == (("loop", 3),)
    far = {ending.side: ending for ending in parts_of(crossbar("count = 1\nfrom = 100")).crossbars[0].first.endings}
    assert far[3].side_length - far[3].station == pytest.approx(row.middles[0])
    assert "on loop, side 3, from its end: 100, 220 mm" in set_words(row, Ruler())[0]
    (even,) = parts_of(crossbar("count = 3")).rows  # the same from either end
    assert even.turned == ()


def test_a_bar_that_stands_alone_is_told_where() -> None:
    """600 less 60 for each bend leave 480 of side 3; 100 from the beginning of side 1 are 380 from that of side 3."""
    result = result_of(crossbar("count = 1\nfrom = 100"))
    lines = [line for text in parts_subject(result, "today").texts for line in text.lines]
    assert sum("its middle 100 mm from the beginning of that straight" in line for line in lines) == 1
    assert sum("its middle 380 mm from the beginning of that straight" in line for line in lines) == 1
    assert small_parts(result).rows_told == ()
    pair = result_of(crossbar("count = 1\nfrom = 100") + crossbar("count = 1\nfrom = 100\nshift = 40", "slant"))
    assert len(small_parts(pair).rows_told) == 2  # two on a rail: the room between them is told


def test_a_row_is_drawn_to_scale() -> None:
    result = result_of(crossbar("count = 2\nfrom = 100\nspacing = 120") + "\n[shop]\nblocks = [100]\n")
    (drawn,) = (text.picture for text in parts_subject(result, "today").texts if text.picture is not None)
    assert drawn.length == pytest.approx(480.0)
    assert [(low, high) for _, low, high in drawn.bars] == [pytest.approx((92.0, 108.0)), pytest.approx((212.0, 228.0))]
    assert (drawn.tape, drawn.rooms) == (("100", "220"), ("104 mm",))
    picture = row_picture(drawn, 180.0)
    words = {item.text: item.at for item in picture.items if isinstance(item, Label)}
    assert set(words) == {"rung 1", "rung 2", "100", "220", "104 mm"}
    assert words["220"][0] - words["100"][0] == pytest.approx(120.0 * (180.0 - 4.8) / 480.0)
    points = [point for item in picture.items if isinstance(item, Stroke) for point in item.points]
    assert all(0.0 <= x <= picture.width and 0.0 <= y <= picture.height for x, y in points)


def test_a_tongue_is_laid_to_what_makes_it() -> None:
    """At 77 degrees it is the offset: to meet more squarely would not help."""
    box = '\n[stock.box]\nsection = "square"\nwidth = 14\nheight = 14\nmaterial = "S235"\n'
    text = box + crossbar('count = 1\nends = "coped"\nshift = 90\noff = [0, 0, 7]').replace('"thin"', '"box"')
    (deep,) = (one for one in parts_of(text).findings if one.code == "cope-too-deep")
    _, why, do = deep.told(Ruler())
    assert "7 mm beside" in why
    assert "squarely" not in do
    (flat,) = (
        one
        for one in parts_of(crossbar('count = 1\nfrom = 20\nshift = 440\nends = "coped"')).findings
        if one.code == "cope-too-deep"
    )
    assert "squarely" in flat.told(Ruler())[2]


def test_a_cope_that_reaches_beside() -> None:
    found = parts_of(crossbar('count = 1\nends = "coped"\noff = [0, 0, 9]')).findings
    assert "cope-beside-bar" in [one.code for one in found]


TAB = """
[tab.foot]
piece = "loop"
at = [[150, -35, 0], [450, -35, 0], [300, 435, 0]]
axis = [0, 0, 1]
stock = "strap"
"""


def test_equal_tabs_are_cut_from_one_pattern() -> None:
    found = parts_of(TAB + 'hole = "M6"\n')
    (pattern,) = found.tabs
    assert [tab.name for tab in pattern.tabs] == ["foot 1", "foot 2", "foot 3"]
    assert pattern.tab.hole == 6.6
    assert (pattern.gang.count, pattern.gang.together, pattern.gang.thickness) == (3, 3, 15.0)
    assert [(tab.side, round(tab.station, 3)) for tab in pattern.tabs] == [(1, 90.0), (1, 390.0), (3, 240.0)]
    assert found.findings == ()


def test_a_thread_in_aluminium_beside_a_weld_is_too_short() -> None:
    (one,) = parts_of(TAB + 'thread = "M6"\n').findings
    assert one.code == "thread-too-short"
    assert "softened by the weld" in one.why
    bolted = parts_of(TAB + 'thread = "M4"\nwelded = false\n')
    assert bolted.findings == ()
    assert bolted.tabs[0].drill == 3.3


def test_a_hole_too_near_the_edge() -> None:
    (one,) = parts_of(TAB + 'hole = "M6"\nend = 7\n').findings
    assert (one.code, one.lengths["near"]) == ("hole-close-to-edge", 7.0)


@pytest.mark.parametrize(
    "where",
    [
        "at = [300, 0, 40]\naxis = [0, 0, 1]",
        "at = [-30, -30, 0]\naxis = [0, 0, 1]",
        "at = [300, 3, 0]\naxis = [0, 0, 1]",
    ],
)
def test_a_tab_that_misses_its_bar(where: str) -> None:
    found = parts_of(f'\n[tab.foot]\npiece = "loop"\n{where}\nstock = "strap"\nhole = 6\n')
    assert [(one.code, one.level) for one in found.findings] == [("tab-misses-bar", "stop")]
    assert found.tabs == ()


def test_a_tab_at_a_fixing_takes_its_piece_its_bolt_and_its_place() -> None:
    fixing = """
[fixing.wall]
piece = "loop"
at = [300, 0, 0]
along = [0, 0, 1]
bolt = { size = "M8" }
[tab.ear]
fixing = "wall"
off = [0, -40, 0]
stock = "strap"
"""
    (pattern,) = parts_of(fixing).tabs
    assert pattern.tab.hole == 9.0  # ISO 273, medium
    assert pattern.tab.foot == pytest.approx((300.0, 0.0, 0.0))


def test_what_there_is_to_say_is_among_the_findings_of_the_job() -> None:
    result = result_of(crossbar("count = 2\nfrom = 470\nspacing = 30"))
    assert not result.stopped
    assert with_small_parts(result).stopped


@pytest.mark.parametrize(
    ("more", "says"),
    [
        (crossbar("count = 2", between='[["lop", 1], ["loop", 3]]'), 'Did you mean "loop"?'),
        (crossbar("count = 2", between='[["loop", 1], ["loop", 5]]'), "from 1 to 4"),
        (crossbar("count = 2", between='[["loop", 1]]'), "two sides of pieces"),
        (crossbar("count = 2", between='[["loop", 1], ["loop", 1]]'), "cross there"),
        (crossbar(""), "how many there are, or the spacing"),
        (crossbar("count = 2\nends = 'welded'"), '"butted" or "coped"'),
        (crossbar("count = 2", "loop"), "a name that no piece has"),
        (crossbar("count = 3\nspacing = 10\nfrom = 0\nto = 0"), "do not go together"),
        (crossbar("count = 2\nspacin = 3"), "spacing"),
        (TAB, "hole"),
        (TAB + 'hole = "M6"\nthread = "M6"\n', "either a hole or a thread"),
        (TAB + 'thread = "M7"\n', "a thread"),
        (TAB + 'hole = "M6"\nthickness = 3\n', "no thickness beside stock"),
        (TAB.replace('axis = [0, 0, 1]', "") + 'hole = "M6"\n', "direction of its bolt"),
        (TAB.replace('"loop"', '"lop"') + 'hole = "M6"\n', 'Did you mean "loop"?'),
        ("\n[shop]\nblocks = [0]\n", "a length above 0"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told(more: str, says: str) -> None:
    assert says in faults_of(more)


@pytest.mark.parametrize("end", [0, 1])
def test_the_curve_of_a_cope_lies_on_both_bars_in_space(end: int) -> None:
    """The wrap, put round the bar by its line 0 and its turns, ends on the surface of the bar it sits on: all round."""
    (group,) = parts_of(crossbar('count = 1\nfrom = 100\nshift = 220\nends = "coped"\noff = [0, 0, 3]')).crossbars
    bar, ending = group.first.bar, group.first.endings[end]
    cope, met = ending.meeting.cope, ending.meeting
    place, into = bar.line.start.origin, bar.line.start.tangent
    if ending.end == "B":
        place, into = bar.line.end.origin, scale(into, -1.0)
    near = along(place, into, -met.drawn)
    side = cross(met.reference, into)  # anticlockwise, looking at the end
    rail = 0.0 if ending.side == 1 else 400.0
    for turn in range(0, 360, 15):
        c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
        reach = cope.outer(cope.place_at(turn))
        spot = along(along(along(near, into, reach), met.reference, 8.0 * c), side, 8.0 * s)
        assert math.hypot(spot[1] - rail, spot[2]) == pytest.approx(12.5)
    # TOP: the turn at which the bar's surface is highest
    top = group.first.tops[end]
    assert top is not None
    c, s = math.cos(math.radians(top)), math.sin(math.radians(top))
    assert c * met.reference[2] + s * side[2] == pytest.approx(1.0)


def test_the_line_0_of_one_end_is_found_at_the_other() -> None:
    (group,) = parts_of(crossbar('count = 1\nfrom = 100\nshift = 220\nends = "coped"\noff = [0, 0, 3]')).crossbars
    a, b = (ending.meeting.reference for ending in group.first.endings)
    into = scale(group.first.bar.line.start.tangent, -1.0)
    turn = math.radians(group.first.line_turn or 0.0)
    side = cross(b, into)
    found = along(scale(b, math.cos(turn)), side, math.sin(turn))
    assert found == pytest.approx(a)


HOOPED = """
[piece.near]
stock = "tube"
points = [[0, -200, 0], [0, 200, 0]]

[piece.far]
stock = "tube"
points = {far}

[piece.hoop]
stock = "thin"
points = [[0, 0, 0], [0, 0, 300], [500, 0, 300], [500, 0, 0]]
radius = 60
{more}
"""
HEAD_ALONE = LOOP[: LOOP.index("[piece.loop]")]


def hooped(more: str = "", far: str = "[[500, -200, 0], [500, 200, 0]]") -> Result:
    return result_of(HOOPED.format(more=more, far=far), HEAD_ALONE)


def test_a_bent_piece_that_is_drawn_into_bars_is_coped_after_bending() -> None:
    found = small_parts(hooped())
    assert found.crossbars == ()
    assert found.rows == ()
    (group,) = found.bent
    assert [(one.end, one.onto, one.ends) for one in group.first.endings] == [
        ("A", "near", "coped"),
        ("B", "far", "coped"),
    ]
    text = parts_subject(hooped(), "").texts[0]
    assert text.facts.endswith("cut its ends after bending")
    # 16 on 25: the longest points lie sqrt(12.5^2 - 8^2) = 9.6 before the middle of the rail.
    assert "longest point of end A 9.6 mm before, of end B 9.6 mm before the end" in text.lines[0]
    assert [wrap.end for wrap in parts_subject(hooped(), "").wraps] == ["A", "B"]


def test_the_line_along_a_bent_bar_keeps_its_place_round_its_bends() -> None:
    """The hoop lies in a plane square to both rails: what looks along them at end A does so at end B."""
    (group,) = small_parts(hooped()).bent
    assert group.first.line_turn == pytest.approx(0.0, abs=1e-6)
    (turned,) = small_parts(hooped(far="[[500, 200, 0], [500, -200, 0]]")).bent
    assert turned.first.line_turn == pytest.approx(180.0, abs=1e-6)


def test_a_bent_end_laid_against_a_bar_is_not_cut_unless_it_is_asked_for() -> None:
    """The middle of the leg passes 14 beside that of a rail of 25: it lies against it."""
    shifted = [[0, 14, 0], [0, 14, 300], [500, 14, 300], [500, 14, 60]]
    text = HOOPED.replace("[[0, 0, 0], [0, 0, 300], [500, 0, 300], [500, 0, 0]]", str(shifted))
    rails = text.replace("points = [[0, -200, 0], [0, 200, 0]]", "points = [[-200, 0, 0], [200, 0, 0]]")
    far = "[[900, 0, 0], [900, 90, 0]]"
    assert small_parts(result_of(rails.format(more="", far=far), HEAD_ALONE)).bent == ()
    (group,) = small_parts(result_of(rails.format(more='ends = "coped"', far=far), HEAD_ALONE)).bent
    assert group.first.endings[0].meeting.offset == pytest.approx(14.0)


def test_ends_that_are_asked_for_and_meet_nothing_are_told() -> None:
    text = HOOPED.replace("300], [500, 0, 0]]", "300], [500, 0, 120]]").replace(
        "[[0, 0, 0], [0, 0, 300]", "[[0, 0, 120], [0, 0, 300]"
    )
    found = small_parts(
        result_of(text.format(more='ends = "coped"', far="[[500, -200, 0], [500, 200, 0]]"), HEAD_ALONE)
    )
    (told,) = [one for one in found.findings if one.code == "ends-meet-nothing"]
    assert (told.level, told.piece, told.says) == ("watch", "hoop", "No end of hoop meets another bar.")
    assert not [one for one in small_parts(hooped('ends = "coped"')).findings if one.code == "ends-meet-nothing"]


def test_a_closed_piece_has_no_ends_to_cut() -> None:
    with pytest.raises(InputError) as caught:
        result_of("", LOOP + 'ends = "coped"\n')
    (fault,) = caught.value.faults
    assert (fault.found, fault.wanted) == ('"coped"', "no ends, because the piece is closed")
    assert fault.where.endswith("ends")
    assert fault.line is not None
    assert fault.do == "Take it out: its two ends meet in the seam."
