"""What is to be bought for a job: the cut list, what is used up, what is told, what it weighs."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from bentwork.door.example import example_bytes
from bentwork.errors import InputError
from bentwork.files.job_file import parse_job
from bentwork.files.test_bend_entry import entry_of
from bentwork.jobs.buying import buying, weighed
from bentwork.jobs.buying_papers import buying_subject
from bentwork.jobs.buying_words import amount_words, plan_words, sum_words
from bentwork.jobs.job import Job
from bentwork.jobs.pairs import pairs
from bentwork.jobs.work import work
from bentwork.units import Ruler
from tests.unit.jobs.test_welding_plan import TROLLEY

LADDER = """\
format = 1

[stock.tube]
section = "tube"
diameter = 20
wall = 2
material = "S235"
bar_length = 3000
price = 12.5

[piece.rail]
stock = "tube"
points = [[0, 0, 0], [1400, 0, 0]]
mirror = true

[piece.rung]
stock = "tube"
points = [[0, 500, 0], [300, 500, 0]]                # beside the rails: nothing touches, nothing is welded
count = 4
trim = 5
"""
MORE = """
[shop]
kerf = 2
bar_ends = 10
filler_price = 30
disc_price = 2.5

[paint.primer]
coverage = 8
price = 24

[paint.paint]
coverage = 10
coats = 2
loss = 0.5
"""


def a_job(text: str) -> Job:
    return parse_job(text.encode(), "ladder.toml")


def codes(text: str) -> list[str]:
    return [finding.code for finding in buying(work(a_job(text))).findings]


def test_cut_list_of_pieces() -> None:
    """Both rails and four rungs with trim on both ends; nothing is bent, so that nothing is tried."""
    (sawn,) = buying(work(a_job(LADDER))).sawn
    assert [(one.name, one.length, one.count) for one in sawn.wanted.lengths] == [("rail", 1400, 2), ("rung", 310, 4)]
    assert sawn.plan is not None
    assert (sawn.plan.cost, sawn.plan.proven) == (25.0, True)


def test_several_lengths_on_sale_and_offcuts() -> None:
    text = LADDER.replace("price = 12.5", "price = 12.5\nbars = [{ length = 6000, price = 20 }]\noffcuts = [320, 320]")
    (sawn,) = buying(work(a_job(text))).sawn
    assert sawn.plan is not None
    assert sawn.plan.cost == 20.0
    # 2 x 1400 and 2 x 310 are 3420: no 3 m bar holds them, two cost more than one of 6 m.
    assert [(bar.offcut, bar.times) for bar in sawn.plan.bars] == [(True, 2), (False, 1)]


def test_what_is_used_up() -> None:
    bought = buying(work(a_job(LADDER + MORE)))
    goods = {good.name: good for good in bought.goods}
    primer, paint = goods["primer"], goods["paint"]
    # By hand: outline 62.832 mm, 2 x 1400 + 4 x 300 = 4000 mm, 12 ends of 113.1 mm2.
    surface = (62.83185 * 4000 + 12 * 113.0973) * 1e-6
    assert bought.surface == pytest.approx(surface, rel=1e-6)
    assert primer.amount == pytest.approx(surface / 8 / 0.7, rel=1e-6)
    assert primer.price == pytest.approx(24 * primer.amount)
    assert paint.amount == pytest.approx(surface * 2 / 10 / 0.5, rel=1e-6)
    assert paint.price is None
    assert goods["abrasive discs, 115 mm"].price == pytest.approx(2 * 2.5)
    assert bought.price == pytest.approx(25.0 + (primer.price or 0.0) + 5.0)
    assert [good.name for good in bought.without_price] == ["paint", "degreaser"]


def test_mass_of_frame_and_bars() -> None:
    """Tube of 20 x 2: 113.097 mm2, 0.88782 kg a metre; 4 m are made, two bars of 3 m are carried home."""
    bought = buying(work(a_job(LADDER)))
    assert bought.mass == pytest.approx(4 * 0.887814, rel=1e-4)
    assert bought.mass_to_carry == pytest.approx(6 * 0.887814, rel=1e-4)
    assert weighed(bought, 3.55).agrees
    light = weighed(bought, 3.55 / 7850 * 2700)
    assert light.meanings[0].startswith("it is made of aluminium")


def test_what_the_finish_adds() -> None:
    """Zinc by ISO 1461 on both sides of the wall, powder by its usual thickness outside; none where none stays."""

    def added(system: str) -> float:
        return buying(work(a_job(f'{LADDER}\n[finish]\nsystem = "{system}"\n'))).paint_mass

    # by hand: tube of 20 x 2, 4000 mm of it, 12 ends of 113.1 mm2; 395 g/m2 on steel of 1.5 to 3 mm
    outside = (62.83185 * 4000 + 12 * 113.0973) * 1e-6
    assert added("galvanised") == pytest.approx(0.395 * (outside + math.pi * 16.0 * 4000 * 1e-6), rel=1e-6)
    assert added("powder") == pytest.approx(0.1 * outside, rel=1e-6)
    assert added("bare") == 0.0
    bought = buying(work(a_job(f'{LADDER}\n[finish]\nsystem = "galvanised"\n')))
    assert "more with zinc" in list(sum_words(bought))[-1]
    assert weighed(bought, bought.mass * 1.03 + bought.paint_mass).agrees
    bare = buying(work(a_job(f'{LADDER}\n[finish]\nsystem = "bare"\n')))
    assert "more with" not in list(sum_words(bare))[-1]


@pytest.mark.parametrize(
    ("metal", "filler"),
    [("S235", "for steel"), ("304", "308L"), ("316L", "316L"), ("6082-T6", "5356"), ("Ti-2", "for titanium")],
)
def test_the_filler_is_that_of_the_metal(metal: str, filler: str) -> None:
    """As ISO 14343 pairs them for stainless (from memory): steel wire in stainless rusts."""
    bought = buying(work(a_job(TROLLEY.replace('"S235"', f'"{metal}"'))))
    assert [good.name for good in bought.goods if good.sort == "filler"] == [f"filler {filler}, TIG"]


def test_the_example() -> None:
    result = work(parse_job(example_bytes(), "crate-shelf.toml"))
    bought = buying(result)
    rod, strap = bought.sawn
    assert [(one.name, one.count) for one in rod.wanted.lengths] == [
        ("loop", 1),
        ("crossbar", 3),
        ("stay", 2),
        ("test bend", 2),
    ]
    assert [(one.name, one.count) for one in strap.wanted.lengths] == [("bracket", 1), ("test bend", 2)]
    assert rod.plan is not None
    assert rod.plan.cost == pytest.approx(29.0)
    assert sum("crossbar" in weld.where for weld in bought.welds) == 6
    assert any("seam of loop" in weld.where for weld in bought.welds)
    assert not any("bracket" in weld.where for weld in bought.welds)  # that is bolted
    assert [(good.name, good.amount) for good in bought.goods if good.sort == "bolt"] == [("bolts M6, A2-70", 2)]


def test_what_was_learnt_is_not_tried_again() -> None:
    job = parse_job(example_bytes(), "crate-shelf.toml")
    lever = next(one for one in pairs(job) if one.bender == "lever")
    bend = entry_of(lever, {"pulled": "97", "left": "90"}, Ruler(), "2026-03-12")
    rod = buying(work(job, (bend,))).sawn[0]
    assert "test bend" not in [one.name for one in rod.wanted.lengths]
    asked = replace(job, shop=replace(job.shop, test_bends=3))
    rod = buying(work(asked, (bend,))).sawn[0]
    assert [one.count for one in rod.wanted.lengths if one.name == "test bend"] == [3]


def test_spares() -> None:
    with_spares = LADDER + "\n[shop]\nspares = { rung = 2 }\n"
    (sawn,) = buying(work(a_job(with_spares))).sawn
    assert [(one.name, one.count) for one in sawn.wanted.lengths][-1] == ("rung, spare", 2)
    (other,) = buying(work(a_job(with_spares)), {"rail": 1}).sawn
    assert [(one.name, one.count) for one in other.wanted.lengths][-1] == ("rail, spare", 1)


def test_what_is_told() -> None:
    assert codes(LADDER) == ["price-not-known", "kerf-not-said"]
    assert "kerf-not-said" not in codes(LADDER + MORE)
    assert "no-bar-on-sale" in codes(LADDER.replace("bar_length = 3000\nprice = 12.5\n", ""))
    assert codes(LADDER.replace("price = 12.5\n", ""))[0] == "price-not-known"
    left_out = LADDER.replace("price = 12.5", "price = 12.5\nbars = [{ length = 6000 }]")
    found = [one for one in buying(work(a_job(left_out))).findings if "left out" in one.says]
    assert len(found) == 1
    assert "6000 mm" in found[0].told(a_job(left_out).ruler)[0]


def test_a_piece_longer_than_any_bar_stops() -> None:
    short = LADDER.replace("bar_length = 3000", "bar_length = 1000")
    bought = buying(work(a_job(short)))
    assert bought.stopped
    assert bought.findings[0].code == "bar-too-short"
    (sawn,) = bought.sawn
    assert sawn.plan is not None
    assert {name for bar in sawn.plan.bars for name, _ in bar.cuts} == {"rung"}
    longer = short.replace("price = 12.5", "price = 12.5\noffcuts = [2900]")
    assert not buying(work(a_job(longer))).stopped
    assert not work(a_job(longer)).stopped  # an offcut is a bar, too


def test_in_words() -> None:
    job = a_job(LADDER + MORE)
    bought = buying(work(job))
    assert amount_words(bought.goods[0], job.ruler) == "2 × 3000 mm"
    assert plan_words(bought.sawn[0], job.ruler).startswith("Nothing cheaper is possible")
    first, _ = sum_words(bought)
    assert first.startswith("in all ")
    assert "2 lines without a price left out" in first
    subject = buying_subject(work(job), "2026-03-01")
    assert subject is not None
    assert subject.lines[0].price == "25.00"
    assert buying_subject(work(a_job("format = 1\n")), "2026-03-01") is None


@pytest.mark.parametrize(
    ("text", "where", "wanted"),
    [
        ("[shop]\nkerf = -1\n", "shop.kerf", "0 or more"),
        ("[shop]\nkerf = 900\n", "shop.kerf", "20 mm at most"),
        ("[shop]\nspares = { mast = 1 }\n", "shop.spares.mast", "name of a piece"),
        ("[shop]\nspares = { rung = -1 }\n", "shop.spares.rung", "from 0 to 100"),
        ("[shop]\nspares = { rung = 101 }\n", "shop.spares.rung", "from 0 to 100"),
        ("[shop]\nspares = { rung = 1.5 }\n", "shop.spares.rung", "from 0 to 100"),
        ("[shop]\nspares = { rung = true }\n", "shop.spares.rung", "from 0 to 100"),
        ("[shop]\nspares = 3\n", "shop.spares", "by the name of their piece"),
        ("[paint.primer]\ncoats = 2\n", "paint.primer.coverage", "m2 a litre"),
        ("[paint.primer]\ncoverage = 8\nloss = 1\n", "paint.primer.loss", "0.95"),
        ("[shop]\nsaw = 2\n", "shop.saw", "kerf"),
    ],
)
def test_wrong_keys(text: str, where: str, wanted: str) -> None:
    with pytest.raises(InputError) as error:
        a_job(LADDER + text)
    (fault,) = error.value.faults
    assert fault.where == where
    assert wanted in f"{fault.wanted} {fault.do}"
    assert fault.line is not None
    assert fault.line > 20


def test_wrong_bars() -> None:
    text = LADDER.replace("price = 12.5", "bars = [{ price = 20 }]\noffcuts = [0]")
    with pytest.raises(InputError) as error:
        a_job(text)
    assert sorted(fault.where for fault in error.value.faults) == ["stock.tube.bars[1].length", "stock.tube.offcuts[1]"]
