"""Advice as the page gives it: without the commands of the terminal, for which it has buttons and sections."""

from __future__ import annotations

import re

__all__ = ["on_the_page"]

_COMMAND = re.compile(r" \(bentwork [^()]*\)|: bentwork [^.]*(?=\.)")


def on_the_page(advice: str) -> str:
    """Return advice without the command that it names in brackets or behind a colon."""
    return _COMMAND.sub("", advice)
