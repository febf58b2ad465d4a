"""Test bends: what is known of every bar of a job on its bender, entering one, striking one out."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from fastapi import APIRouter, Response

from bentwork.bending.test_bend import TestBend
from bentwork.errors import Fault, InputError
from bentwork.files.svg import svg_bytes
from bentwork.files.test_bend_entry import entry_of
from bentwork.jobs.known_words import HOW_TO_READ
from bentwork.jobs.pairs import pair_of, pairs
from bentwork.sheets.cautions import AT_THE_TEST_BEND
from bentwork.sheets.test_bend_picture import test_bend_picture
from bentwork.web.as_file import file_answer
from bentwork.web.desk import AtDesk, Desk
from bentwork.web.known_out import known_out
from bentwork.web.wire import Faults
from bentwork.web.wire_test_bends import EntryIn, MeantIn, StrikeTestBendIn, TestBendsOut
from bentwork.workshop.place import has_workshop
from bentwork.workshop.store import open_workshop

__all__ = ["router"]

router = APIRouter(tags=["test bends"], responses={422: {"model": Faults}, 503: {"model": Faults}})


@router.get("/jobs/{name}/test-bends")
def list_test_bends(desk: AtDesk, name: str) -> TestBendsOut:
    """Return what is known of every bar of the job on its bender."""
    return _known(desk, name)


@router.post("/jobs/{name}/test-bends")
def enter_test_bend(desk: AtDesk, name: str, asked: EntryIn) -> TestBendsOut:
    """Keep a test bend, and return what is known since; what is wrong with one is told all at once."""
    job, _ = desk.room.read(desk.jobs.read(name))
    pair = pair_of(job, asked.stock, asked.bender, asked.way)
    given = {key: typed for key, typed in asked.given.items() if typed.strip()}
    entry = entry_of(pair, given, job.ruler, date.today().isoformat())
    with open_workshop(desk.place.workshop) as workshop:
        kept = workshop.test_bends.add(entry, asked.entry_id)
    return _known(desk, name, kept.id)


@router.post("/jobs/{name}/test-bends/{number}/strike")
def strike_out(desk: AtDesk, name: str, number: int, asked: StrikeTestBendIn) -> TestBendsOut:
    """Strike out a wrong test bend; it stays readable, and counts no more."""
    with open_workshop(desk.place.workshop) as workshop:
        workshop.test_bends.strike_out(number, asked.because, date.today().isoformat())
    return _known(desk, name)


@router.post("/jobs/{name}/test-bends/{number}/sure")
def read_twice(desk: AtDesk, name: str, number: int) -> TestBendsOut:
    """Let an odd test bend count: the maker says that it was read twice, and is right."""
    with open_workshop(desk.place.workshop) as workshop:
        workshop.test_bends.read_twice(number, date.today().isoformat())
    return _known(desk, name)


@router.post("/jobs/{name}/test-bends/{number}/meant")
def take_as_meant(desk: AtDesk, name: str, number: int, asked: MeantIn) -> TestBendsOut:
    """Keep a test bend anew with the angles that were meant, and strike out the misread one; both stay readable."""
    with open_workshop(desk.place.workshop) as workshop:
        read = next((bend for bend in workshop.test_bends.all(struck=True) if bend.id == number), None)
        if read is None:
            raise InputError("test bend", [Fault("number", str(number), "the number of a test bend that was kept")])
        meant = replace(
            read,
            id=None,
            struck=False,
            struck_because="",
            sure=False,
            pulled_deg=asked.pulled_deg,
            left_deg=asked.left_deg,
        )
        kept = workshop.test_bends.add(meant, asked.entry_id)
        if not read.struck:
            because = f"misread: {asked.pulled_deg:g}° pulled, {asked.left_deg:g}° left was meant"
            workshop.test_bends.strike_out(number, because, date.today().isoformat())
    return _known(desk, name, kept.id)


@router.get("/test-bend-picture/{to}", response_class=Response)
def picture(to: str) -> Response:
    """Return the drawing of which length is which; legs to where their ``outside`` or their ``middle`` meets."""
    drawing = test_bend_picture(to_middle=to == "middle")
    return file_answer(svg_bytes(drawing, "What to measure of a test bend"), "test-bend.svg", "inline")


def _known(desk: Desk, name: str, kept: int | None = None) -> TestBendsOut:
    at = desk.jobs.read(name)
    job, _ = desk.room.read(at)
    bends = _all_bends(desk)
    return TestBendsOut(
        sum=at.sum,
        today=date.today().isoformat(),
        unit=job.ruler.units,
        cautions=list(AT_THE_TEST_BEND),
        how=HOW_TO_READ,
        pairs=[known_out(job, pair, bends) for pair in pairs(job)],
        kept=kept,
    )


def _all_bends(desk: Desk) -> tuple[TestBend, ...]:
    if not has_workshop(desk.place.workshop):
        return ()
    with open_workshop(desk.place.workshop) as workshop:
        return workshop.test_bends.all(struck=True)
