"""One stock in other sections and metals, as it goes over the wire; each with what taking it changes in the file."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from bentwork.jobs.job import Job
from bentwork.jobs.what_if import Try, WhatIf, stock_keys
from bentwork.sheets.stock_words import section_words
from bentwork.units import Ruler
from bentwork.web.wire import Change
from bentwork.web.wire_carry import TriesOut, TryOut

__all__ = ["no_tries", "tries_out", "written"]

_SIZES = ("diameter", "width", "height", "wall", "corner_radius")


def no_tries(sum_of_file: str) -> TriesOut:
    """Return the answer where the frame cannot be reckoned."""
    return TriesOut(sum=sum_of_file, stock="", stocks=[], pieces=[], wanted_kg=0.0, tries=[])


def tries_out(sum_of_file: str, data: Mapping[str, Any], job: Job, found: WhatIf) -> TriesOut:
    """Return the tries.

    Args:
        sum_of_file: of the job's text.
        data: of the job file, to say what taking one changes in it.
        job: of the tries.
        found: the tries.
    """
    return TriesOut(
        sum=sum_of_file,
        stock=found.stock.name,
        stocks=list(dict.fromkeys(spec.stock for spec in job.pieces)),
        pieces=list(found.pieces),
        wanted_kg=found.mass,
        tries=[_try(one, found, data, job.ruler) for one in found.tries],
    )


def _try(one: Try, all_of: WhatIf, data: Mapping[str, Any], ruler: Ruler) -> TryOut:
    found, bender = one.found, one.found.bender
    variant = found.variant
    carries = found.payload * all_of.mass if math.isfinite(found.payload) else 1e6
    radius = f", bends of {ruler.length(variant.radius)}" if variant.radius is not None else ""
    return TryOut(
        says=f"{section_words(variant.section, ruler)}, {variant.material.name}{radius}",
        mass_kg=found.mass,
        mass=ruler.mass(found.mass),
        carries_kg=carries,
        carries=ruler.load(carries) if carries < 1e6 else "any load",
        enough=found.payload >= 1.0,
        moves=ruler.length(found.moves),
        lever="" if bender.lever_force is None else ruler.force(bender.lever_force),
        springback="" if bender.springback is None else f"{bender.springback:.1f}°",
        springback_from=bender.known_from,
        bends=one.bends,
        price="" if bender.price is None else f"{bender.price:.2f}",
        best=one.best,
        now=one.now,
        about=[finding.told(ruler)[0] for finding in one.about],
        changes=[] if one.now else _changes(one, all_of, data, ruler),
    )


def _changes(one: Try, all_of: WhatIf, data: Mapping[str, Any], ruler: Ruler) -> list[Change]:
    """Return what makes the job's stock this one; none where the file does not describe it."""
    name = all_of.stock.name
    table = data.get("stock", {}).get(name)
    if not isinstance(table, Mapping):
        return []
    keys = stock_keys(one.found.variant.section, one.found.variant.material)
    changes = [
        Change(path=["stock", name, key], value=written(value, ruler))
        for key, value in keys.items()
        if table.get(key) != value
    ]
    gone = [key for key in _SIZES if key in table and key not in keys]
    if (changes or gone) and "price" in table:
        gone.append("price")  # it was that of another bar
    changes += [Change(path=["stock", name, key], how="remove") for key in gone]
    if one.found.variant.radius is not None:
        radius = written(one.found.variant.radius, ruler)
        pieces = [piece for piece in all_of.pieces if "points" in data.get("piece", {}).get(piece, {})]
        bent = [piece for piece in pieces if len(data["piece"][piece]["points"]) > 2]
        changes += [Change(path=["piece", piece, "radius"], value=radius) for piece in bent]
    return changes


def written(value: str | float, ruler: Ruler) -> str | float:
    """Return a value as it is written into the file: sizes are mm, whatever its units."""
    if isinstance(value, str):
        return value
    plain = int(value) if value == int(value) else value
    return plain if ruler.units == "mm" else f"{plain:g} mm"
