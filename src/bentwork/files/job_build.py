"""From the data of a job file to the job: tables are read, names are looked up, all that is wrong is told at once."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Mapping
from functools import partial
from typing import Any, TypeVar

from bentwork.files.catalogue import materials
from bentwork.files.job_build_bender import bender_from, mounting_from
from bentwork.files.job_build_carry import Reading, directions_of, fixing_from, joint_from, load_from
from bentwork.files.job_build_crossbar import Made, crossbar_from
from bentwork.files.job_build_finish import finish_from
from bentwork.files.job_build_measured import measured_from
from bentwork.files.job_build_piece import piece_from, tolerance_from
from bentwork.files.job_build_shop import paint_from, shop_from
from bentwork.files.job_build_stay import StayReading, keepout_from, opening_from, stays_from
from bentwork.files.job_build_stock import material_from, stock_from
from bentwork.files.job_build_tab import TabReading, tab_from
from bentwork.files.job_check import check, given_keys
from bentwork.files.job_faults import Faults
from bentwork.files.job_model import JobTable, ToleranceTable
from bentwork.files.job_model_shop import ShopTable
from bentwork.files.job_names import Built, named_tables
from bentwork.files.owned import Owned
from bentwork.fitup.tolerance import Tolerance
from bentwork.jobs.job import Job, PieceSpec
from bentwork.jobs.modelled import ModelReader
from bentwork.jobs.surveyed import survey_of
from bentwork.units import Ruler

__all__ = ["FORMAT", "build"]

FORMAT = 1
"""The form of job files that is read and written."""

T = TypeVar("T")


def build(
    text: str,
    data: Mapping[str, Any],
    source: str,
    usual_name: str,
    digest: str,
    owned: Owned | None = None,
    models: ModelReader | None = None,
) -> Job:
    """Return the job.

    Args:
        text: of the file.
        data: what ``tomllib`` read from it.
        source: name of the file.
        usual_name: what the job is called when it does not say.
        digest: of the file's bytes, in hexadecimal.
        owned: what the maker's workshop owns; a job may name it without describing it.
        models: reads bars of CAD models; without it a job may not name any.

    Raises:
        InputError: something is wrong; it carries every fault, by line.
    """
    faults = Faults(text, data)
    _check_format(data, faults)
    if faults.count and "format" in data:
        faults.raise_if_any(source)  # of another format nothing else can be said
    head = check(JobTable, (), data, "mm", faults)
    ruler = Ruler(head.units, head.fraction)
    tables = _Tables(head, data, faults)
    owned = owned or Owned()
    own = _with(tables.built("material", partial(material_from, faults=faults)), owned.own_materials())
    known = {**materials(), **_whole(own)}
    stocks = tables.built("stock", partial(stock_from, own=own, library=materials, ruler=ruler, faults=faults))
    stocks = _with(stocks, owned.stocks_named(tables.named("stock", "piece", "crossbar", "tab", "stay"), known))
    benders = tables.built("bender", partial(bender_from, own=own, library=materials, ruler=ruler, faults=faults))
    benders = _with(benders, owned.benders_named(tables.named("bender", "piece", "mounting", "stay")))
    mountings = tables.built("mounting", partial(mounting_from, benders=benders, units=ruler.units, faults=faults))
    allowed = check(ToleranceTable, ("tolerance",), head.tolerance, ruler.units, faults)
    tolerance = tolerance_from(allowed, Tolerance())
    reading = partial(
        piece_from,
        stocks=stocks,
        benders=benders,
        ruler=ruler,
        faults=faults,
        models=models,
        tolerance=tolerance,
    )
    pieces = tables.built("piece", reading)
    bars_of = partial(crossbar_from, pieces=pieces, stocks=stocks, units=ruler.units, faults=faults)
    crossbars = tables.built("crossbar", bars_of)
    pieces = _with_crossbars(pieces, crossbars)
    directions = directions_of(head.load, Reading.of(pieces, ruler.units, Faults(text, data)))
    survey = measured_from(head.measured, directions, ruler.units, faults)
    outs = tables.built("keepout", partial(keepout_from, units=ruler.units, faults=faults))
    openings = tables.built("opening", partial(opening_from, units=ruler.units, faults=faults))
    stay_reading = StayReading(
        Reading.of(pieces, ruler.units, faults),
        stocks,
        benders,
        survey_of(survey) if survey is not None and survey.spots else None,
        [*_whole(outs).values()],
    )
    stays, as_pieces = stays_from(tables.tables("stay"), pieces, stay_reading)
    pieces = None if pieces is None else {**pieces, **as_pieces}
    carrying = Reading.of(pieces, ruler.units, faults)
    fixings = tables.built("fixing", partial(fixing_from, reading=carrying))
    joints = tables.built("joint", partial(joint_from, reading=carrying))
    tab_reading = TabReading(carrying, stocks, fixings, own, materials)
    tabs = tables.built("tab", partial(tab_from, reading=tab_reading))
    shop = check(ShopTable, ("shop",), head.shop, ruler.units, faults)
    paints = tables.built("paint", partial(paint_from, units=ruler.units, faults=faults))
    buying = shop_from(shop, [*_whole(paints).values()], pieces, faults)
    finish = finish_from(head.finish, stocks, ruler.units, faults)
    load = load_from(head.load, head.payload, [*_whole(fixings).values()], [*_whole(joints).values()], carrying)
    faults.raise_if_any(source)
    return Job(
        name=head.name or usual_name,
        ruler=ruler,
        stocks={name: owned.with_offcuts(stock) for name, stock in _whole(stocks).items()},
        benders=_whole(benders),
        mountings=_whole(mountings),
        pieces=tuple(_whole(pieces).values()),
        materials=tuple(known.values()),
        load=load,
        crossbars=tuple(made.asked for made in _whole(crossbars).values()),
        tabs=tuple(_whole(tabs).values()),
        blocks=shop.blocks,
        shop=buying,
        survey=survey,
        stays=stays,
        keepouts=tuple(_whole(outs).values()),
        openings=tuple(_whole(openings).values()),
        finish=finish,
        version=_version(digest, _whole(pieces).values()),
    )


def _version(digest: str, pieces: Iterable[PieceSpec]) -> str:
    """Return the short code of a job: another one when a model that it takes bars from is another."""
    models = sorted({piece.modelled.code for piece in pieces if piece.modelled})
    return hashlib.sha256(" ".join([digest, *models]).encode()).hexdigest()[:6] if models else digest[:6]


def _check_format(data: Mapping[str, Any], faults: Faults) -> None:
    form = data.get("format")
    if "format" not in data and "format" in given_keys(JobTable, data):
        return  # mistyped
    if "format" not in data:
        faults.add(("format",), f"format = {FORMAT}", f"Add the line format = {FORMAT} at the top of the file.")
    elif isinstance(form, bool) or not isinstance(form, int) or form < FORMAT:
        faults.add(("format",), f"{FORMAT}", f"Write format = {FORMAT}.")
    elif form > FORMAT:
        faults.add(("format",), f"{FORMAT}", "This file is of a newer version: it takes a newer Bentwork to read it.")


class _Tables:
    def __init__(self, head: JobTable, data: Mapping[str, Any], faults: Faults) -> None:
        self.head, self.data, self.faults = head, data, faults
        self.given = given_keys(JobTable, data)

    def built(self, sort: str, make: Callable[[str, Mapping[str, Any]], T | None]) -> Built[T] | None:
        """Make everything of one sort; None when its tables as a whole are wrong, which has been told."""
        tables = getattr(self.head, sort)
        if sort in self.given and not tables and self.data.get(sort) != {}:
            return None
        named = named_tables(sort, tables, self.faults)
        return {name: None if table is None else make(name, table) for name, table in named}

    def tables(self, sort: str) -> dict[str, Mapping[str, Any] | None]:
        """Return the tables of one sort as they are, by name; None for what is no table, which is told."""
        return dict(named_tables(sort, getattr(self.head, sort), self.faults))

    def named(self, sort: str, *by: str) -> set[str]:
        """Return what pieces or mountings name of one sort."""
        tables = (table for one in by for table in getattr(self.head, one).values() if isinstance(table, Mapping))
        return {name for table in tables if isinstance(name := table.get(sort), str)}


def _with(built: Built[T] | None, owned: Mapping[str, T | None]) -> Built[T] | None:
    """Return things of the job file, and those of the workshop that it does not describe itself."""
    return None if built is None else {**owned, **built}


def _with_crossbars(pieces: Built[PieceSpec] | None, crossbars: Built[Made] | None) -> Built[PieceSpec] | None:
    """Return the pieces with those that crossbars become; a crossbar that is wrong keeps its name known."""
    if pieces is None or crossbars is None:
        return pieces
    found: dict[str, PieceSpec | None] = dict(pieces)
    for name, made in crossbars.items():
        found |= {name: None} if made is None else {spec.name: spec for spec in made.specs}
    return found


def _whole(built: Built[T] | None) -> Mapping[str, T]:
    """Return what was made, when nothing is wrong."""
    return {name: thing for name, thing in (built or {}).items() if thing is not None}
