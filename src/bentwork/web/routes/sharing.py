"""Sharing with a phone: the maker turns it on and off at the desk; a phone comes in with the word of the QR code."""

from __future__ import annotations

import re

import segno
from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from bentwork.web.desk import AtDesk, Desk
from bentwork.web.lan import addresses
from bentwork.web.sharing import Sharing
from bentwork.web.wire import Faults
from bentwork.web.wire_sharing import AddressOut, DeviceOut, NewWord, PairingOut, SharingOut, StartSharing

__all__ = ["pairing_router", "router"]

router = APIRouter(tags=["sharing"], prefix="/sharing", responses={422: {"model": Faults}})
pairing_router = APIRouter(include_in_schema=False)

_USED_UP = """<!doctype html>
<html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>Bentwork</title>
<h1>This code is used up or too old.</h1>
<p>Ask for a new one at the computer (To the bench, Let another device in), and scan that.</p></html>
"""
_QUIET = 4  # modules round the code: ISO/IEC 18004
_COOKIE_LASTS = 12 * 3600
_KINDS = (("iPad", "iPad"), ("iPhone", "iPhone"), ("Android", "Android"), ("Mobile", "phone"))


@router.get("")
def read_sharing(desk: AtDesk) -> SharingOut:
    """Return how sharing stands."""
    return _out(desk)


@router.post("/start")
def start_sharing(desk: AtDesk, asked: StartSharing) -> SharingOut:
    """Let phones in the maker's network reach the bench."""
    desk.sharing.start(asked.address)
    desk.sharing.new_word(asked.to)
    return _out(desk)


@router.post("/word")
def new_word(desk: AtDesk, asked: NewWord) -> SharingOut:
    """Return a word for one more device."""
    desk.sharing.new_word(asked.to)
    return _out(desk)


@router.post("/stop")
def stop_sharing(desk: AtDesk) -> SharingOut:
    """Close the door, and send every device away."""
    desk.sharing.stop()
    return _out(desk)


@router.post("/devices/{number}/send-away")
def send_away(desk: AtDesk, number: int) -> SharingOut:
    """Send one device away."""
    desk.sharing.send_away(number)
    return _out(desk)


@pairing_router.get("/pair")
def pair(desk: AtDesk, request: Request, word: str = "") -> Response:
    """Let a phone in that brings the word of the QR code, and show it the bench."""
    kind = request.headers.get("user-agent", "")
    says = next((name for sign, name in _KINDS if sign in kind), "computer")
    paired = desk.sharing.pair(word[:200], says, request.client.host if request.client else "")
    if paired is None:
        return HTMLResponse(_USED_UP, 401)
    session, to = paired
    answer = RedirectResponse(to, 303)
    answer.set_cookie(desk.access.cookie, session, max_age=_COOKIE_LASTS, httponly=True, samesite="strict", path="/")
    return answer


def _out(desk: Desk) -> SharingOut:
    sharing = desk.sharing
    return SharingOut(
        on=bool(sharing.address),
        address=sharing.address,
        port=sharing.port,
        addresses=[AddressOut(address=one, says=_network(one)) for one in addresses()],
        devices=[
            DeviceOut(number=one.number, says=one.says, address=one.address, since=one.since) for one in sharing.devices
        ],
        pairing=_pairing(sharing),
        wrong_words=sharing.wrong_words,
    )


def _pairing(sharing: Sharing) -> PairingOut | None:
    pairing = sharing.pairing()
    if pairing is None:
        return None
    address = f"http://{sharing.address}:{sharing.port}/pair?word={pairing.word}"
    code = segno.make(address, error="m", micro=False)
    rows = [bytes(row) for row in code.matrix]
    path = "".join(
        f"M{run.start() + _QUIET} {y + _QUIET}h{run.end() - run.start()}v1h-{run.end() - run.start()}z"
        for y, row in enumerate(rows)
        for run in re.finditer(rb"\x01+", row)
    )
    return PairingOut(
        address=address,
        seconds_left=sharing.seconds_left(pairing),
        size=len(rows) + 2 * _QUIET,
        path=path,
    )


def _network(address: str) -> str:
    """Say which network an address is likely to be of (RFC 1918, RFC 6598)."""
    first, second = (int(part) for part in address.split(".")[:2])
    if first == 192 and second == 168:
        return "home or workshop network"
    if first == 172 and 16 <= second < 32:
        return "private network, often of a program on this computer"
    if first == 100:
        return "private network over the internet"
    return "private network"
