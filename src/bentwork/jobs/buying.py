"""From a result to what is to be bought for it: bars and their cuts, filler, paint, bolts; and what it weighs."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from bentwork.findings import Finding, by_weight, has_stop
from bentwork.jobs.buying_told import cutting_findings, price_findings
from bentwork.jobs.consumed import coats_of, finish_mass, surface, welds_of
from bentwork.jobs.cut_list import Wanted, cut_list
from bentwork.jobs.goods import Good
from bentwork.jobs.job import Job
from bentwork.jobs.kept import Kept
from bentwork.jobs.small_parts import SmallParts, small_parts
from bentwork.jobs.welding import frame_structure
from bentwork.jobs.work import Result
from bentwork.parts.consumables import Weld, abrasive_discs, degreaser, filler_to_buy
from bentwork.parts.cutting import BarOnSale, CuttingPlan, Offcut
from bentwork.parts.cutting_plan import cut_plan
from bentwork.parts.weigh_in import WeighIn, weigh_in

__all__ = ["Buying", "Sawn", "buying", "weighed"]


@dataclass(frozen=True, slots=True)
class Sawn:
    """What is cut from one stock.

    Args:
        wanted: what has to be cut.
        plan: of the cuts; None where no bar is on sale as far as the job says.
    """

    wanted: Wanted
    plan: CuttingPlan | None


@dataclass(frozen=True, slots=True)
class Buying:
    """Everything that is to be bought, and what the frame weighs.

    Args:
        job: what was asked for.
        sawn: stock by stock.
        goods: to buy, a line each.
        welds: of the frame.
        surface: that is cleaned and painted, m2.
        parts: mass of every finished piece and tab, kg, by its name.
        paint_mass: what paint, powder or zinc adds, kg.
        findings: what there is to say about it, by weight.
    """

    job: Job
    sawn: tuple[Sawn, ...]
    goods: tuple[Good, ...]
    welds: tuple[Weld, ...]
    surface: float
    parts: Mapping[str, float]
    paint_mass: float
    findings: tuple[Finding, ...]

    @property
    def price(self) -> float:
        """Of everything whose price is known."""
        return math.fsum(good.price for good in self.goods if good.price is not None)

    @property
    def without_price(self) -> tuple[Good, ...]:
        """What has no price as far as the job says."""
        return tuple(good for good in self.goods if good.price is None)

    @property
    def mass_to_carry(self) -> float:
        """Of the bars that are bought, kg."""
        return math.fsum(good.mass for good in self.goods if good.sort == "bar" and good.mass is not None)

    @property
    def weld_mass(self) -> float:
        """Of the weld metal, kg."""
        return math.fsum(weld.mass for weld in self.welds)

    @property
    def mass(self) -> float:
        """Of the finished frame without its coat and bolts, kg."""
        return math.fsum(self.parts.values()) + self.weld_mass

    @property
    def stopped(self) -> bool:
        """Whether anything about it will not work."""
        return has_stop(self.findings)


_bought: Kept[Buying] = Kept(16)


def buying(result: Result, spares: Mapping[str, int] | None = None) -> Buying:
    """Return what is to be bought for a job.

    Args:
        result: of the job.
        spares: lengths to cut beyond what is made, by the name of their piece; None for what the job says.
    """
    job = result.job
    extra = dict(job.shop.spares if spares is None else spares)
    lengths = tuple((plan.cut_length, plan.more_bar, plan.makes) for plan in result.pieces)
    learnt = tuple(plan.what.source if plan.what else "" for plan in result.pieces)
    own = (tuple(job.stocks.values()), job.shop, job.finish)
    return _bought.of(
        (job.name, job.version, lengths, learnt, own, tuple(sorted(extra.items()))),
        lambda _: _bought_for(result, extra),
    )


def _bought_for(result: Result, spares: Mapping[str, int]) -> Buying:
    job, small = result.job, small_parts(result)
    sawn = tuple(Sawn(wanted, _plan(wanted, job)) for wanted in cut_list(result, small, spares))
    welds, outside = welds_of(result, frame_structure(result), small), surface(result, small)
    goods = (*_bars(sawn), *_used_up(job, welds, outside), *_bolts(job), *_bits(job, small, sawn))
    found = [*(told for one in sawn for told in cutting_findings(one.wanted, one.plan)), *price_findings(goods, job)]
    added = finish_mass(result, small)
    return Buying(job, sawn, goods, welds, outside, _parts(result, small), added, by_weight(found))


def _plan(wanted: Wanted, job: Job) -> CuttingPlan | None:
    stock = wanted.stock
    sale = [BarOnSale(length, price) for length, price in stock.on_sale]
    # A length without a price cannot be weighed against one that has a price; where none has one, the shortest counts.
    priced = [bar for bar in sale if bar.price is not None]
    offcuts = [Offcut(length, count) for length, count in sorted(Counter(stock.offcuts).items())]
    return cut_plan(wanted.lengths, priced or sale, offcuts, job.shop.saw)


def _bars(sawn: tuple[Sawn, ...]) -> Iterator[Good]:
    for one in sawn:
        if one.plan is None:
            continue
        stock, counts = one.wanted.stock, Counter[tuple[float, float | None]]()
        for bar in one.plan.bought:
            counts[(bar.length, bar.price)] += bar.times
        for (length, price), count in sorted(counts.items(), key=lambda item: -item[0][0]):
            yield Good(
                "bar",
                stock.name,
                count,
                "bars",
                length=length,
                mass=stock.mass(length) * count,
                price=None if price is None else price * count,
                why=f"{stock.material.name}",
            )


def _used_up(job: Job, welds: tuple[Weld, ...], outside: float) -> Iterator[Good]:
    process = job.load.rules.welding
    fillers: dict[str, list[Weld]] = {}
    for weld in welds:
        fillers.setdefault(weld.filler, []).append(weld)
    for name, mine in fillers.items():
        mass, price = filler_to_buy(mine, process), job.shop.filler_price
        run = math.fsum(weld.length for weld in mine)
        yield Good(
            "filler",
            f"filler {name}, {process}",
            mass,
            "kg",
            length=run,
            mass=mass,
            price=None if price is None else price * mass,
            why="{length} of weld",
        )
    if job.finish.system in _AWAY:
        yield Good("paint", _AWAY[job.finish.system], outside, "m²", why="done by a trade shop: ask its price")
    ruler = job.ruler
    for coat in coats_of(job):
        litres = coat.litres(outside)
        coats = f"{coat.coats} coat{'s' if coat.coats > 1 else ''} on {ruler.surface(outside)}"
        reach = f"{ruler.coverage(coat.coverage)}, {coat.loss:.0%} lost"
        usual = "" if coat.said else ": usual figures; the tin says its own"
        price = None if coat.price is None else coat.price * litres
        yield Good("paint", coat.name, litres, "l", price=price, why=f"{coats}, {reach}{usual}")
    discs, each = abrasive_discs(outside), job.shop.disc_price
    price = None if each is None else each * discs
    yield Good(
        "abrasive",
        ruler.usual("abrasive discs, <115 mm|4 1/2 in>"),
        discs,
        "",
        price=price,
        why=ruler.usual("one for <0.25 m²|2.7 sq ft>, usual on thin bar"),
    )
    wash = ruler.usual("<0.1 litres a square metre|a pint on 50 sq ft>")
    yield Good("abrasive", "degreaser", degreaser(outside), "l", why=wash)


def _bolts(job: Job) -> Iterator[Good]:
    """Return the bolts of joints and fixings; how long they are is measured at the frame."""
    counts = Counter[str]()
    for fixing in job.load.fixings:
        if fixing.bolt is not None:
            counts[f"M{fixing.bolt.size:g}, {fixing.bolt.grade}"] += fixing.bolts
    for joint in job.load.joints:
        if joint.bolt is not None:
            counts[f"M{joint.bolt.size:g}, {joint.bolt.grade}"] += joint.bolts
    for name, count in sorted(counts.items()):
        yield Good("bolt", f"bolts {name}", count, "", why="with washers and nuts; measure how long they must be")


def _bits(job: Job, small: SmallParts, sawn: tuple[Sawn, ...]) -> Iterator[Good]:
    """Return the blanks of tabs that no stock of the job gives."""
    cut = {length.name for one in sawn for length in one.wanted.lengths}
    for pattern in small.tabs:
        if pattern.name in cut:
            continue
        length, width, thickness = pattern.tab.blank
        sizes = " × ".join(job.ruler.length(size) for size in (width, thickness))
        yield Good(
            "bit",
            f"{pattern.name}: flat {sizes}, {pattern.material.name}",
            len(pattern.tabs),
            "",
            length=length,
            mass=pattern.mass * len(pattern.tabs),
            why="no stock of the job is this flat",
        )


def _parts(result: Result, small: SmallParts) -> dict[str, float]:
    found: dict[str, float] = {}
    for plan in result.pieces:
        for number in range(1, plan.makes + 1):
            found[plan.spec.name if plan.makes == 1 else f"{plan.spec.name} {number}"] = plan.mass
    for pattern in small.tabs:
        for made in pattern.tabs:
            found[made.name] = pattern.mass
    return found


def weighed(bought: Buying, mass: float) -> WeighIn:
    """Return what a weight on the scales says of the frame.

    Args:
        bought: for the frame.
        mass: on the scales, kg.
    """
    densities = {plan.wanted.stock.material.density.value for plan in bought.sawn}
    others = {}
    if len(densities) == 1:
        others = {name: value / next(iter(densities)) for name, value in _METALS.items()}
        others = {name: ratio for name, ratio in others.items() if abs(ratio - 1.0) > 0.2}
    return weigh_in(
        mass, bought.parts, welds=bought.weld_mass, paint=bought.paint_mass, densities=others, ruler=bought.job.ruler
    )


_AWAY = {"powder": "powder coating", "anodised": "anodising", "galvanised": "hot-dip galvanising"}
_METALS = {"aluminium": 2700.0, "steel": 7850.0}  # kg/m3; EN 1999-1-1, 3.2.5 and EN 1993-1-1, 3.2.6 (from memory)
