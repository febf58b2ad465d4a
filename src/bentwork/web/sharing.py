"""Sharing with a phone: a second door in the maker's own network, opened only when told to, and one-time words."""

from __future__ import annotations

import hmac
import secrets
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Protocol

from bentwork.errors import Fault, InputError
from bentwork.web.access import Access
from bentwork.web.lan import addresses

__all__ = ["MOST_TRIES", "WORD_LASTS", "Device", "Doors", "Pairing", "Sharing"]

WORD_LASTS = 300.0
"""Seconds that a pairing word is good for."""

MOST_TRIES = 20
"""Wrong words that are listened to before the right one is withdrawn. It has 128 bits: no number of tries finds it, but
somebody who tries is somebody the maker should hear of."""

_MOST_DEVICES = 12


class Doors(Protocol):
    """What listens."""

    def open(self, address: str) -> int:
        """Listen on an address of this machine, and return the port."""

    def close(self, address: str) -> None:
        """Listen there no longer, and break off what goes on."""


@dataclass(frozen=True, slots=True)
class Pairing:
    """A word that lets one device in, once.

    Args:
        word: in the address that the QR code holds.
        ends: when it is good no longer, by the clock that ``Sharing`` was given.
        to: page that the device sees first.
    """

    word: str
    ends: float
    to: str


@dataclass(slots=True)
class Device:
    """A device that was paired.

    Args:
        number: that it is called by on the page.
        session: what its cookie holds.
        says: what it seems to be.
        address: it came from.
        since: when, seconds since 1970.
    """

    number: int
    session: str
    says: str
    address: str
    since: float


@dataclass(slots=True)
class _State:
    address: str = ""
    port: int = 0
    pairing: Pairing | None = None
    wrong: int = 0
    devices: list[Device] = field(default_factory=list)
    paired: int = 0


class Sharing:
    """Whether and where phones may come in. One at a time may change it.

    Args:
        access: who may ask what.
        clock: seconds that only grow.
    """

    def __init__(self, access: Access, clock: Callable[[], float] = time.monotonic) -> None:
        self._access = access
        self._clock = clock
        self._lock = threading.Lock()
        self._state = _State()
        self.doors: Doors | None = None

    @property
    def address(self) -> str:
        """The address that is listened on; empty while nothing is shared."""
        return self._state.address

    @property
    def port(self) -> int:
        """The port there."""
        return self._state.port

    @property
    def devices(self) -> tuple[Device, ...]:
        """The devices that were paired and not sent away."""
        return tuple(self._state.devices)

    @property
    def wrong_words(self) -> int:
        """How many wrong words were tried since the last one was given out."""
        return self._state.wrong

    def pairing(self) -> Pairing | None:
        """Return the word that is good now; None where there is none."""
        with self._lock:
            return self._good()

    def seconds_left(self, pairing: Pairing) -> float:
        """Return for how long a word is still good."""
        return max(0.0, pairing.ends - self._clock())

    def start(self, address: str) -> None:
        """Open the door at one of this machine's addresses; one that is open elsewhere is closed.

        Raises:
            InputError: it is no address of this machine in a private network, or nobody can listen there.
        """
        known = addresses()
        if address not in known:
            wanted = f"one of this machine's own: {', '.join(known) or 'it is in no network'}"
            raise InputError("sharing", [Fault("address", repr(address[:60]), wanted)])
        with self._lock:
            if self._state.address == address:
                return
            self._stop()
            if self.doors is None:
                raise InputError("sharing", [Fault("server", "none that can share", "bentwork open")])
            self._state.port = self.doors.open(address)
            self._state.address = address
            self._access.shared.add(f"{address}:{self._state.port}")

    def stop(self) -> None:
        """Close the door, and send every device away."""
        with self._lock:
            self._stop()

    def new_word(self, to: str) -> Pairing:
        """Return a new word; the one before is good no longer.

        Args:
            to: page of the bench that the device sees first.

        Raises:
            InputError: nothing is shared.
        """
        with self._lock:
            if not self._state.address:
                raise InputError("sharing", [Fault("sharing", "off", "sharing that is turned on")])
            self._state.wrong = 0
            self._state.pairing = Pairing(secrets.token_urlsafe(16), self._clock() + WORD_LASTS, to)
            return self._state.pairing

    def pair(self, word: str, says: str, address: str) -> tuple[str, str] | None:
        """Let a device in, and return its session and its page; None where the word is not good.

        Args:
            word: that it brought.
            says: what it seems to be.
            address: it came from.
        """
        with self._lock:
            state, pairing = self._state, self._good()
            right = hmac.compare_digest(
                word.encode(), (pairing.word if pairing else secrets.token_urlsafe(16)).encode()
            )
            if pairing is None or not right:
                state.wrong += 1
                if state.wrong >= MOST_TRIES:
                    state.pairing = None
                return None
            state.pairing, state.wrong = None, 0
            while len(state.devices) >= _MOST_DEVICES:
                self._access.sessions.pop(state.devices.pop(0).session, None)
            session = self._access.new_session("bench")
            state.paired += 1
            state.devices.append(Device(state.paired, session, says, address, time.time()))
            return session, pairing.to

    def send_away(self, number: int) -> None:
        """End the session of a device; one that is gone already is no fault."""
        with self._lock:
            for device in [one for one in self._state.devices if one.number == number]:
                self._access.sessions.pop(device.session, None)
                self._state.devices.remove(device)

    def _good(self) -> Pairing | None:
        pairing = self._state.pairing
        return pairing if pairing is not None and self._clock() < pairing.ends else None

    def _stop(self) -> None:
        for device in self._state.devices:
            self._access.sessions.pop(device.session, None)
        if self._state.address:
            self._access.shared.discard(f"{self._state.address}:{self._state.port}")
            if self.doors is not None:
                self.doors.close(self._state.address)
        self._state = _State(paired=self._state.paired)
