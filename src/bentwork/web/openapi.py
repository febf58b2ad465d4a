"""Writes the description of what the page may ask, from which the page's types are made."""

from __future__ import annotations

import json
import sys
from pathlib import Path

from bentwork.web.access import Access
from bentwork.web.app import make_app
from bentwork.web.desk import Desk
from bentwork.web.place import Place

__all__ = ["description"]


def description() -> str:
    """Return the description as JSON."""
    app = make_app(Desk(Place(Path(), Path()), Access(0)))
    return json.dumps(app.openapi(), indent=1, sort_keys=True, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    Path(sys.argv[1]).write_text(description(), encoding="utf-8")
