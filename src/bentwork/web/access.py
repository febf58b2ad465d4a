"""Who may ask what: the maker's own browser everything, a paired phone only what the bench needs."""

from __future__ import annotations

import hmac
import secrets
from dataclasses import dataclass, field
from typing import Literal

__all__ = ["Access", "Role"]

Role = Literal["desk", "bench"]
"""``desk``: the maker's own browser on this machine. ``bench``: a phone or tablet that was paired."""


@dataclass(slots=True)
class Access:
    """The words that let somebody in, made anew each time the server starts.

    Args:
        port: that the server listens on.
        hosts: names and addresses under which it may be asked, each with its port.
        word: in the address that is opened on this machine.
        shared: addresses in the network, each with its port, that phones may come in by; no desk is let in there.
        sessions: what a browser carries in its cookie, and the role it has.
    """

    port: int
    hosts: set[str] = field(default_factory=set)
    shared: set[str] = field(default_factory=set)
    word: str = field(default_factory=lambda: secrets.token_urlsafe(24))
    sessions: dict[str, Role] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.hosts |= {f"{name}:{self.port}" for name in ("127.0.0.1", "localhost", "[::1]")}

    @property
    def cookie(self) -> str:
        """Name of the cookie; browsers keep cookies by host alone, so the port is in the name."""
        return f"bentwork-{self.port}"

    def enter(self, word: str) -> str | None:
        """Return a new session for the word of the address; None where the word is wrong."""
        return self.new_session("desk") if hmac.compare_digest(word.encode(), self.word.encode()) else None

    def new_session(self, role: Role) -> str:
        """Return what the cookie of a new session holds."""
        session = secrets.token_urlsafe(32)
        self.sessions[session] = role
        return session

    def role_of(self, session: str | None) -> Role | None:
        """Return the role of a session; None for one that is not known."""
        return self.sessions.get(session) if session else None
