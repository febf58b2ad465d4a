"""A server in process, on folders of its own, and clients that are let in."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path
from typing import Any

from starlette.testclient import TestClient

from bentwork.web.access import Access, Role
from bentwork.web.app import guarded
from bentwork.web.desk import Desk
from bentwork.web.place import Place

PORT = 2399
ADDRESS = f"http://127.0.0.1:{PORT}"
EXAMPLE = files("bentwork").joinpath("data", "crate-shelf.toml").read_text("utf-8")
NO_SHOP = re.sub(r"\[shop\].*?(?=^\[)", "", EXAMPLE, flags=re.DOTALL | re.MULTILINE)
"""The example of a maker who has said nothing of the workshop yet."""


@dataclass(frozen=True)
class AtDesk:
    """A desk, and a client with the maker's own session."""

    desk: Desk
    client: TestClient

    def job(self, name: str = "crate-shelf") -> dict[str, Any]:
        """Everything about a job."""
        answer = self.client.get(f"/api/jobs/{name}")
        assert answer.status_code == 200, answer.text
        found: dict[str, Any] = answer.json()
        return found


def at_desk(folder: Path, jobs: Mapping[str, str] | None = None) -> AtDesk:
    """Return a desk with these job files, by name; with the example alone if left out."""
    place = Place(folder / "jobs", folder / "workshop")
    place.jobs.mkdir(parents=True, exist_ok=True)
    for name, text in (jobs if jobs is not None else {"crate-shelf": EXAMPLE}).items():
        place.job(name).write_text(text, encoding="utf-8")
    desk = Desk(place, Access(PORT))
    return AtDesk(desk, client_of(desk, "desk"))


def client_of(desk: Desk, role: Role | None) -> TestClient:
    """Return a client with a session of this role, or with none."""
    client = TestClient(guarded(desk), base_url=ADDRESS, raise_server_exceptions=False, follow_redirects=False)
    if role:
        client.cookies.set(desk.access.cookie, desk.access.new_session(role))
    return client
