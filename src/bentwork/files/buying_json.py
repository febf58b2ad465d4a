"""Buying as JSON: what to buy, how the bars are cut, what the frame weighs."""

from __future__ import annotations

from typing import Any

from bentwork.files.plan_json import FORMAT, findings_document
from bentwork.jobs.buying import Buying, Sawn
from bentwork.jobs.goods import Good
from bentwork.parts.cutting import BarCut
from bentwork.parts.weigh_in import WeighIn

__all__ = ["buying_document"]


def buying_document(bought: Buying, scales: WeighIn | None = None) -> dict[str, Any]:
    """Return what ``buy --json`` prints."""
    job = bought.job
    return {
        "format": FORMAT,
        "job": job.name,
        "version": job.version,
        "findings": findings_document(bought.findings, job.ruler),
        "goods": [_good(good) for good in bought.goods],
        "price": bought.price,
        "without_price": [good.name for good in bought.without_price],
        "mass_to_carry_kg": bought.mass_to_carry,
        "kerf_mm": job.shop.saw.kerf,
        "bar_ends_mm": job.shop.saw.ends,
        "stocks": [_sawn(one) for one in bought.sawn],
        "frame": {
            "mass_kg": bought.mass,
            "weld_mass_kg": bought.weld_mass,
            "paint_mass_kg": bought.paint_mass,
            "surface_m2": bought.surface,
            "welds": [
                {"where": weld.where, "length_mm": weld.length, "throat_mm": weld.throat, "mass_kg": weld.mass}
                for weld in bought.welds
            ],
            "parts": [{"name": name, "mass_kg": mass} for name, mass in bought.parts.items()],
        },
        "weighed": None if scales is None else _weighed(scales),
    }


def _good(good: Good) -> dict[str, Any]:
    return {
        "sort": good.sort,
        "name": good.name,
        "amount": good.amount,
        "unit": good.unit,
        "length_mm": good.length or None,
        "mass_kg": good.mass,
        "price": good.price,
    }


def _sawn(one: Sawn) -> dict[str, Any]:
    plan = one.plan
    return {
        "stock": one.wanted.stock.name,
        "lengths": [
            {"name": length.name, "length_mm": length.length, "count": length.count} for length in one.wanted.lengths
        ],
        "bars": None if plan is None else [_bar(bar) for bar in plan.bars],
        "cost": None if plan is None or not plan.by_price else plan.cost,
        "bound": None if plan is None or not plan.by_price else plan.bound,
        "proven": None if plan is None else plan.proven,
        "gap": None if plan is None else plan.gap,
        "longest_rest_mm": None if plan is None else plan.longest_rest,
    }


def _bar(bar: BarCut) -> dict[str, Any]:
    return {
        "length_mm": bar.length,
        "price": bar.price,
        "offcut": bar.offcut,
        "times": bar.times,
        "cuts": [{"name": name, "length_mm": length} for name, length in bar.cuts],
        "rest_mm": bar.rest,
    }


def _weighed(found: WeighIn) -> dict[str, Any]:
    return {
        "weighed_kg": found.weighed,
        "reckoned_kg": found.reckoned,
        "difference_kg": found.difference,
        "share": found.share,
        "agrees": found.agrees,
        "meanings": list(found.meanings),
    }
