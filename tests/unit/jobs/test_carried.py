"""What the frame of a job carries: against formulas of any textbook, and the example that comes with Bentwork."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import partial

import pytest

from bentwork.carry.changes import next_sizes
from bentwork.door.example import example_bytes
from bentwork.errors import InputError
from bentwork.files.catalogue import materials
from bentwork.files.job_file import parse_job
from bentwork.files.test_bend_entry import entry_of
from bentwork.jobs.carried import Carried, carried, frame_of, helps, is_reckoned, proof, with_carried
from bentwork.jobs.carried_words import help_words
from bentwork.jobs.job import Job
from bentwork.jobs.pairs import pairs
from bentwork.jobs.scene import body_mesh, scene
from bentwork.jobs.usual_sizes import usual_sections
from bentwork.jobs.what_if import stock_keys, what_if
from bentwork.jobs.whole import whole
from bentwork.jobs.work import work
from bentwork.stock.section import Flat, Round, SquareTube, Tube
from bentwork.units import Ruler

CANTILEVER = """\
format = 1

[stock.rod]
section = "round"
diameter = 12
material = "S235"

[piece.arm]
stock = "rod"
points = [[0, 0, 0], [200, 0, 0]]

[payload]
mass = 4
centre = [200, 0, 0]
on = ["arm"]
at = [[200, 0, 0]]

[fixing.wall]
piece = "arm"
at = [0, 0, 0]
held = "fixed"
"""


def job(text: str = CANTILEVER) -> Job:
    return parse_job(text.encode(), "arm.toml")


def example() -> Job:
    return parse_job(example_bytes(), "crate-shelf.toml")


def of(one: Job, mass: float | None = None) -> Carried:
    found = carried(work(one), mass)
    assert found is not None
    return found


def codes(found: Carried) -> dict[str, str]:
    return {finding.code: finding.level for finding in found.findings}


def test_a_cantilever_by_hand() -> None:
    # S235: 235 MPa, gamma 1.0 (EN 1993-1-1). W = pi d^3/32. 1.5 (m g L + w L^2/2) = 235 W.
    found = of(job())
    density, modulus = 7850e-9, math.pi * 12**3 / 32
    weight = density * math.pi * 36 * 9.80665
    by_hand = (235 * modulus / 1.5 - weight * 200**2 / 2) / (9.80665 * 200)
    assert found.verdict.carries == pytest.approx(by_hand, rel=2e-3)
    # At the end: m g L^3/3EI + w L^4/8EI, shear 0.2 % besides.
    ei = 210000 * math.pi * 12**4 / 64
    sag = (4 * 9.80665 * 200**3 / 3 + weight * 200**4 / 8) / ei
    assert found.verdict.sags[0].mm == pytest.approx(sag, rel=5e-3)


def test_another_payload_is_tried_and_what_it_carries_stays() -> None:
    found, more = of(job()), of(job(), 9.0)
    assert more.verdict.carries == pytest.approx(found.verdict.carries, rel=1e-6), "linear in the payload"
    assert more.structure.borne is not None
    assert more.structure.borne.payload.mass == 9.0
    heavy = of(job(), 400.0)
    assert codes(heavy)["carries-too-little"] == "stop"
    assert heavy.stopped
    assert of(job()).verdict is found.verdict, "kept"
    renamed = of(job('name = "Arm"\n' + CANTILEVER))
    assert renamed.verdict is found.verdict, "kept: nothing that it depends on has changed"
    assert renamed.job.name == "Arm"


def test_a_job_that_says_nothing_of_a_load_is_not_reckoned() -> None:
    result = work(job(CANTILEVER.split("[payload]")[0]))
    assert carried(result) is None
    assert with_carried(result) is result


def test_what_is_not_said_is_told() -> None:
    assert codes(of(job()))["use-not-said"] == "watch"
    assert "use-not-said" not in codes(of(job(CANTILEVER + '\n[load]\nuse = "house"\n')))
    own = of(job(CANTILEVER + '\n[load]\ncases = [{ name = "twice", down = 2 }]\n'))
    assert "use-not-said" not in codes(own)
    assert [case.name for case in own.cases] == ["twice"]
    assert own.verdict.sags[0].mm == pytest.approx(2 * of(job()).verdict.sags[0].mm, rel=1e-9)


def test_for_a_cycle_the_standard_has_the_word() -> None:
    text = CANTILEVER + '\n[load]\nuse = "cycle"\n'
    assert codes(of(job(text)))["loads-not-at-hand"] == "stop"
    found = of(job(text + 'cases = [{ name = "by the standard", down = 3 }]\n'))
    assert codes(found)["loads-not-at-hand"] == "watch"
    assert found.verdict.analysed is not None


def test_leaning_can_be_left_out() -> None:
    text = CANTILEVER + '\n[load]\nuse = "house"\n'
    assert any(case.kind == "leaning" for case in of(job(text)).cases)
    none = of(job(text + "leaning = 0\n"))
    assert not any(case.kind == "leaning" for case in none.cases)
    assert any(case.kind == "corner" for case in none.cases)


def test_pieces_that_stand_nowhere_are_told() -> None:
    twice = of(job(CANTILEVER.replace("[payload]", "count = 2\n\n[payload]")))
    assert codes(twice)["not-in-the-frame"] == "watch"
    assert len(twice.structure.bars) == 1
    handed = of(job(CANTILEVER.replace("[payload]", "mirror = true\n\n[payload]")))
    assert codes(handed)["not-in-the-frame"] == "watch"
    assert [bar.name for bar in handed.structure.bars] == ["arm left"]


def test_copies_stand_where_the_job_says_and_go_by_the_names_of_the_scene() -> None:
    bars, told = frame_of(work(example()))
    assert [bar.name for bar in bars] == [
        "loop",
        "crossbar 1",
        "crossbar 2",
        "crossbar 3",
        "stay right",
        "stay left",
        "bracket",
    ]
    assert not told
    right, left = bars[4].line, bars[5].line
    assert right.start.origin == pytest.approx((330, 8, -8))
    assert left.start.origin == pytest.approx((330, 292, -8))


def test_the_example_carries_its_crate_and_nothing_stops_it() -> None:
    found = of(example())
    assert not found.stopped
    assert found.verdict.carries > 12.0
    assert codes(found) == {
        "shakes-with-the-road": "watch",
        "joints-to-confirm": "note",
        "carries": "note",
        "estimate-only": "note",
        "fatigue": "note",
    }
    assert found.lasting[0].km > 500
    assert len(found.cases) == 9
    assert helps(found)[0].gain > 0.05
    tested = proof(found)
    assert tested is not None
    assert tested.proves
    assert tested.mass == pytest.approx(1.25 * 2.5 * 12.0), "a quarter more than the kerb of a hand cart, 2.5 g"


def test_no_road_shakes_what_stands_in_a_house() -> None:
    def shaken(use: str) -> bool:
        text = example_bytes().decode().replace('use = "hand cart"', f'use = "{use}"')
        return "shakes-with-the-road" in codes(
            of(parse_job(text.replace('road = "rough road"\n', "").encode(), "x.toml"))
        )

    assert [shaken(use) for use in ("hand cart", "house", "boat")] == [True, False, False]


def test_findings_join_those_of_the_job() -> None:
    result = work(example())
    both = with_carried(result)
    assert {f.code for f in both.findings} >= {"carries", "springback-from-handbook"}
    levels = [finding.level for finding in both.findings]
    assert levels == sorted(levels, key=["stop", "watch", "note"].index)


def test_a_frame_that_can_move_is_told_and_nothing_else_is_known() -> None:
    found = of(job(CANTILEVER.replace('held = "fixed"', 'held = "pinned"')))
    assert codes(found)["frame-can-move"] == "stop"
    assert found.verdict.motions
    assert helps(found) == ()
    assert proof(found) is None
    assert what_if(work(job()), found, materials()) is None


def test_what_if_says_what_reckoning_the_changed_job_says() -> None:
    result = work(job())
    found = what_if(result, of(job()), materials())
    assert found is not None
    assert found.pieces == ("arm",)
    assert sum(one.now for one in found.tries) == 1
    now = next(one for one in found.tries if one.now)
    assert now.found.payload * found.mass == pytest.approx(of(job()).verdict.carries, rel=1e-3)
    tube = next(
        one
        for one in found.tries
        if one.found.variant.section == Tube(15, 1.5) and one.found.variant.material.name == "S355"
    )
    text = CANTILEVER.replace('"round"', '"tube"').replace("diameter = 12", "diameter = 15\nwall = 1.5")
    other = of(job(text.replace("S235", "S355")))
    assert tube.found.payload * found.mass == pytest.approx(other.verdict.carries, rel=1e-3)
    assert tube.found.mass == pytest.approx(other.structure.mass)
    assert tube.found.bender.bends is None, "nothing is bent"


def test_the_best_of_what_if_do_not_buckle() -> None:
    # A thin post of 1.2 m with the payload on top: Euler's load comes before the metal gives.
    post = CANTILEVER.replace("[[0, 0, 0], [200, 0, 0]]", "[[0, 0, 0], [0, 0, 1200]]").replace("mass = 4", "mass = 2")
    post = post.replace("[200, 0, 0]", "[0, 0, 1200]")
    found = what_if(work(job(post)), of(job(post)), materials())
    assert found is not None
    best = [one for one in found.tries if one.best]
    assert best
    for one in best:
        variant = one.found.variant
        keys = stock_keys(variant.section, variant.material)
        rod = "".join(f"{key} = {value!r}\n".replace("'", '"') for key, value in keys.items())
        text = post.replace('section = "round"\ndiameter = 12\nmaterial = "S235"\n', rod)
        other = of(job(text))
        assert other.verdict.first_to_give[0].what == "buckling"
        assert one.found.payload * found.mass == pytest.approx(other.verdict.carries, rel=1e-3)
        assert other.verdict.carries >= found.mass
    assert not any(one.best for one in found.tries if one.found.payload < 1.0)


def test_what_if_at_the_bender() -> None:
    result = work(example())
    found = what_if(result, of(example()), materials(), radii=(60.0, 400.0))
    assert found is not None
    assert found.stock.name == "rod"
    now = next(one for one in found.tries if one.now)
    lever = max(step.lever_force or 0.0 for plan in result.pieces[:3] for step in plan.steps)
    assert now.found.bender.lever_force == pytest.approx(lever), "as the plan says"
    assert now.found.bender.price is not None
    radii = {one.found.variant.radius for one in found.tries}
    assert radii == {None, 60.0}, "400 mm do not fit between the corners"
    thick = [one for one in found.tries if one.found.variant.section == Round(20.0)]
    assert all(one.found.bender.bends is False for one in thick if one.found.variant.material.name == "S355")
    assert any("groove-does-not-fit" in [f.code for f in one.about] for one in thick)
    enough = [one.found.mass for one in found.tries if one.found.payload >= 1.0]
    assert enough == sorted(enough), "the lightest that carries it first"


def test_a_bar_of_another_stock_of_the_job_has_its_price() -> None:
    tube = '\n[stock.tube]\nsection = "tube"\ndiameter = 16\nwall = 1.5\nmaterial = "6082-T6"\n'
    tube += "bar_length = 6000\nprice = 24\n"
    job = parse_job(example_bytes() + tube.encode(), "crate-shelf.toml")
    found = what_if(work(job), of(job), materials())
    assert found is not None
    priced = {one.found.variant.section: one.found.bender.price for one in found.tries if one.found.bender.price}
    assert set(priced) == {Round(12.0), Tube(16.0, 1.5)}
    # 14.50 for 3 m of the one, 24.00 for 6 m of the other.
    assert priced[Tube(16.0, 1.5)] / priced[Round(12.0)] == pytest.approx((24.0 / 6.0) / (14.5 / 3.0))


def test_a_fixing_in_the_hole_of_a_tab_is_held_by_it() -> None:
    text = example_bytes().decode().replace("at = [160, 292, -326]\nheld", "at = [175, 292, -340]\nheld")
    tab = '\n[tab.foot]\npiece = "stay left"\nat = [175, 292, -340]\naxis = [0, 1, 0]\n'
    tab += 'thickness = 5\nhole = "M6"\nmaterial = "6082-T6"\n'
    bare, tabbed = (of(parse_job(one.encode(), "crate-shelf.toml")) for one in (text, text + tab))
    assert "fixing-beside-bar" in [one.code for one in bare.findings]
    assert "fixing-beside-bar" not in [one.code for one in tabbed.findings]
    (said,) = (one for one in tabbed.findings if one.code == "held-by-tab")
    assert said.says == "Fixing left foot is held by tab foot."
    assert "its bolt" in said.why, "the M6 that goes through it"
    limits = tabbed.verdict.limits
    assert limits is not None
    assert {"tab foot beside its weld", "the weld of tab foot"} <= {one.where for one in limits.found}
    assert 1000.0 * (tabbed.structure.mass - bare.structure.mass) == pytest.approx(7.3, abs=0.3), "27.9 by 19.5 by 5 mm"
    result = work(parse_job((text + tab).encode(), "crate-shelf.toml"))
    last = scene(result)[-1]
    assert (last.name, last.piece, last.runs) == ("tab foot", "stay", ())
    assert last.body is not None
    assert body_mesh(last.body).open_edges == 0


def test_welds_and_bolts_count_in_what_if_as_in_the_job() -> None:
    thin = '\n[joint.thin]\npieces = ["loop", "crossbar"]\nmade = "welded"\nthroat = 1\n'
    shelf = parse_job(example_bytes() + thin.encode(), "crate-shelf.toml")
    found = what_if(work(shelf), of(shelf), materials())
    assert found is not None
    tried = [one for one in found.tries if one.found.variant.section in (Round(10.0), Round(12.0), Tube(16.0, 1.0))]
    first = set()
    for one in tried:
        variant = one.found.variant
        rod = replace(shelf.stocks["rod"], section=variant.section, material=variant.material)
        limits = of(replace(shelf, stocks={**shelf.stocks, "rod": rod})).verdict.limits
        assert limits is not None
        gives = next(limit for limit in limits.found if limit.what != "buckling")
        first.add(gives.what)
        # A moment between two places looked at is up to 0.3 % higher.
        assert one.found.payload == pytest.approx(gives.payload, rel=4e-3), one.found.variant
    assert len(tried) == 3 * 6
    assert first == {"metal", "weld"}, "some of them would carry more if welds were not looked at"


def test_a_bolt_too_small_for_it_counts_in_what_if() -> None:
    text = example_bytes().decode().replace('size = "M6", grade = "A2-70", hole = 0', 'size = "M3", thickness = 0.05')
    small = parse_job(text.encode(), "crate-shelf.toml")
    about = of(small)
    found = what_if(work(small), about, materials())
    assert found is not None
    assert about.verdict.first_to_give[0].what == "bolt"
    now = next(one for one in found.tries if one.now)
    assert now.found.payload * found.mass == pytest.approx(about.verdict.carries, rel=1e-3)


def test_own_test_bends_tell_the_springback_of_their_bar_and_of_no_other() -> None:
    shelf = example()
    lever = next(one for one in pairs(shelf) if one.bender == "lever")
    made = [entry_of(lever, {"pulled": p, "left": q}, Ruler(), "2026-03-12") for p, q in (("97", "90"), ("64.6", "60"))]
    handbook, learnt = (what_if(work(shelf, bends), of(shelf), materials()) for bends in ((), made))
    assert handbook is not None
    assert learnt is not None
    plan = next(plan for plan in work(shelf, made).pieces if plan.spec.name == "loop")
    for one in learnt.tries:
        old = next(other for other in handbook.tries if other.found.variant == one.found.variant)
        own = one.found.variant.section == Round(12.0) and one.found.variant.material.name == "6082-T6"
        assert own == one.now
        assert one.found.bender.known_from == ("test bends" if own else "handbook")
        assert (one.found.bender.springback == old.found.bender.springback) is not own
    now = next(one for one in learnt.tries if one.now)
    assert now.found.bender.springback == pytest.approx(max(step.springback for step in plan.steps), abs=0.2)


def test_what_a_job_says_of_springback_is_of_its_own_bar() -> None:
    text = example_bytes().decode().replace("radius = 50 ", "springback = 1.2\nradius = 50 ")
    shelf = parse_job(text.encode(), "crate-shelf.toml")
    found = what_if(work(shelf), of(shelf), materials())
    plain = what_if(work(example()), of(example()), materials())
    assert found is not None
    assert plain is not None
    for one, other in zip(found.tries, plain.tries, strict=True):
        assert one.found.bender.known_from == ("job" if one.now else "handbook")
        assert (one.found.bender.springback == other.found.bender.springback) is not one.now


def test_metals_that_cannot_be_welded_to_the_rest_are_not_tried() -> None:
    shelf = example()
    metals = what_if(work(shelf), of(shelf), materials())
    assert metals is not None
    assert {one.found.variant.material.group for one in metals.tries} == {"aluminium", "steel", "stainless"}
    welded = replace(shelf, load=replace(shelf.load, joints=()))  # the steel bracket is then taken for welded
    found = of(welded)
    assert codes(found)["not-to-be-welded"] == "stop"
    assert what_if(work(welded), found, materials()) is None


def test_a_stock_that_nothing_is_made_of() -> None:
    with pytest.raises(InputError, match="rod"):
        what_if(work(job()), of(job()), materials(), "strap")


@pytest.mark.parametrize("section", [Round(12), Tube(16, 1.5), SquareTube(20, 20, 2), Flat(30, 4), Tube(31, 3)])
def test_usual_sections_have_the_one_there_is_among_them(section: Round | Tube | SquareTube | Flat) -> None:
    found = usual_sections(section)
    assert section in found
    assert len(set(found)) == len(found) > 5


def test_a_maker_of_inches_is_told_inches() -> None:
    # Sizes that a shop of inches sells: eighths across, walls of 0.049, 0.065 and 0.083 in; ounces, not grams.
    for one in usual_sections(Tube(25.4, 1.651), "in"):
        assert isinstance(one, Round | Tube)
        assert one.diameter / 25.4 * 8 == pytest.approx(round(one.diameter / 25.4 * 8))
    (told,) = (bigger for words, bigger in next_sizes(Flat(38.1, 3.175), "in") if bigger.depth("hard") == 38.1)
    assert told.depth("easy") / 25.4 == pytest.approx(3 / 16)
    inches = job(
        CANTILEVER.replace("format = 1", 'format = 1\nunits = "in"').replace("[200,", "[20,").replace("12", "0.5")
    )
    best = helps(of(inches))[0]
    assert help_words(best, inches.ruler).startswith("arm of round 5/8 in: +")
    assert help_words(best, inches.ruler).endswith((" oz", " lb"))
    assert " mm: +" in help_words(best, Ruler())


def test_keys_of_a_stock_are_those_of_its_table() -> None:
    steel = materials()["S235"]
    assert stock_keys(Tube(16, 1.5), steel) == {"section": "tube", "diameter": 16, "wall": 1.5, "material": "S235"}
    assert stock_keys(Flat(30, 4), steel) == {"section": "flat", "width": 30, "height": 4, "material": "S235"}
    assert "corner_radius" not in stock_keys(SquareTube(20, 20, 2), steel)


def test_whoever_no_longer_waits_ends_it_at_the_next_step_and_nothing_half_done_is_kept() -> None:
    class NobodyWaitsError(Exception):
        pass

    result = work(job(CANTILEVER.replace("mass = 4", "mass = 4.321")))  # reckoned by no other test
    steps: list[int] = []

    def after(many: int) -> None:
        steps.append(many)
        if len(steps) == many:
            raise NobodyWaitsError

    for many in range(1, 6):
        steps.clear()
        with pytest.raises(NobodyWaitsError):
            whole(result, partial(after, many))
        assert not is_reckoned(result)
    whole(result)
    assert is_reckoned(result)
