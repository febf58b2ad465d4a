"""Findings and tables on the terminal: plain words, colour only where it is wanted."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from typing import TYPE_CHECKING

from bentwork.findings import Finding
from bentwork.units import Ruler

if TYPE_CHECKING:
    from rich.console import Console

__all__ = ["console", "findings", "tally"]

_STYLES = {"stop": "bold red", "watch": "yellow", "note": "cyan"}


def console() -> Console:
    """Return the console; where nobody looks (a pipe, a file) lines are not folded to a screen's width."""
    from rich.console import Console

    seen = sys.stdout.isatty()
    return Console(highlight=False, markup=False, width=None if seen else 120, soft_wrap=not seen)


def findings(found: Iterable[Finding], ruler: Ruler, out: Console) -> None:
    """Print findings, one paragraph each."""
    from rich.text import Text

    for finding in found:
        says, why, do = finding.told(ruler)
        place = f"{finding.piece}: " if finding.piece else ""
        line = Text(f"{finding.level:<5}", style=_STYLES[finding.level])
        out.print(line + Text(f"  {place}{says}", style=""))
        for part in (why, do):
            if part:
                out.print(Text(f"       {part}"))


def tally(found: Iterable[Finding]) -> str:
    """Count findings: ``1 stop, 2 watch, no notes``."""
    levels = [finding.level for finding in found]
    words = [f"{levels.count(level)} {level}" for level in ("stop", "watch", "note") if level in levels]
    return ", ".join(words) or "nothing to say against it"
