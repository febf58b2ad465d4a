"""Shapes of sharing: where, with which devices, and the code that lets one more in."""

from __future__ import annotations

from pydantic import Field

from bentwork.web.wire import Wire

__all__ = ["AddressOut", "DeviceOut", "NewWord", "PairingOut", "SharingOut", "StartSharing"]

_To = Field(max_length=600, pattern=r"^/bench/[A-Za-z0-9%._~/!'()*-]+$")


class AddressOut(Wire):
    """An address of this machine in a private network."""

    address: str
    says: str


class DeviceOut(Wire):
    """A device that was paired."""

    number: int
    says: str
    address: str
    since: float = Field(description="seconds since 1970")


class PairingOut(Wire):
    """A word that lets one device in, once: as an address, and as the dark squares of a QR code."""

    address: str
    seconds_left: float
    size: int = Field(description="modules across, with the quiet zone")
    path: str = Field(description="the dark modules, as data of an SVG path")


class SharingOut(Wire):
    """How sharing stands."""

    on: bool
    address: str
    port: int
    addresses: list[AddressOut]
    devices: list[DeviceOut]
    pairing: PairingOut | None
    wrong_words: int


class StartSharing(Wire):
    """Open the door at one of this machine's addresses, with a word for the first device."""

    address: str = Field(max_length=60)
    to: str = _To


class NewWord(Wire):
    """A word for one more device."""

    to: str = _To
