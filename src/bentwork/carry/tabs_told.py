"""What there is to say of tabs that hold a fixing: where it holds, and how much of plate, weld and bolt is used."""

from __future__ import annotations

from bentwork.carry.limits import Limit, Limits
from bentwork.carry.structure import Structure
from bentwork.findings import Finding

__all__ = ["tab_findings"]

_NO_BOLT = "Its bolt is not reckoned: say which it is, at the fixing, or the thread at the tab."


def tab_findings(structure: Structure, limits: Limits) -> tuple[Finding, ...]:
    """Say of every fixing in the hole of a tab what it uses of the tab; over the limit the verdict stops the job."""
    found = []
    for held in structure.fixings:
        if held.tab is None:
            continue
        tab, bar = structure.tabs[held.tab].tab, structure.bars[held.bar]
        bolt = tab.holding(held.fixing.bolt)
        parts = [one for one in limits.found if _is_of(one, tab.name, held.fixing.name)]
        used = ", ".join(f"{_named(one)} {one.use:.0%} ({one.case})" for one in sorted(parts, key=lambda one: -one.use))
        found.append(
            Finding(
                "note",
                "held-by-tab",
                f"Fixing {held.fixing.name} is held by tab {tab.name}.",
                f"It holds in the middle of the hole, {{reach}} off {bar.name}; used, safety counted in: {used}.",
                "Check that the tab has these sizes when it is made." if bolt is not None else _NO_BOLT,
                piece=bar.of,
                lengths={"reach": tab.reach},
                at=tab.hole,
            )
        )
    return tuple(found)


def _is_of(one: Limit, tab: str, fixing: str) -> bool:
    own = (f"the weld of tab {tab}", f"the bolt of fixing {fixing} in tab {tab}")
    return one.where.startswith(f"tab {tab} ") or one.where in own


def _named(one: Limit) -> str:
    return {"metal": "the plate", "weld": "its weld", "bolt": "its bolt", "buckling": ""}[one.what]
