"""What each metal wants of the welder: filler by the two metals, how warm it may get, how it is cleaned.

Sources: fillers of aluminium G. Mathers, The welding of aluminium and its alloys, Tables 3.2 and 3.3 (seen in a public
extract) and a filler maker's guide (seen); EN 1011-4 and ISO 18273 name the same (from memory). Temperatures of
aluminium a filler maker's table (seen). Fillers of steel ISO 14341 and ISO 636, of stainless ISO 14343 (from memory);
temperatures of steel EN 1011-2, of stainless EN 1011-3 (from memory). Words are common practice, no source.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from bentwork.stock.material import Material, joinable

__all__ = ["Advice", "advice_for"]

_STEELS = ("steel", "stainless")


@dataclass(frozen=True, slots=True)
class Advice:
    """What two metals want of the welder.

    Args:
        metals: of which it is told.
        filler: which.
        why: that one, and from where it is known.
        preheat: how warm before it is welded.
        most_preheat: never warmer before, degrees C; None where nothing is said.
        interpass: never warmer when the next run begins, degrees C; None where nothing is said.
        clean: before it is welded.
        short: the filler as it is asked for over the counter.
        doubt: what speaks against the filler that the strength is reckoned with; empty for nothing.
    """

    metals: str
    filler: str
    why: str
    preheat: str
    most_preheat: float | None
    interpass: float | None
    clean: str
    short: str
    doubt: str = ""


def advice_for(one: Material, other: Material, filler: str = "5356") -> Advice | None:
    """Return what two metals want; None where they are not welded to one another, or nothing is known of them.

    Args:
        one: of the two.
        other: of the two; the same for bars of one metal.
        filler: that the strength of aluminium welds is reckoned with.
    """
    if not joinable(one, other) or not (one.weldable and other.weldable):
        return None
    metals = " to ".join(dict.fromkeys((one.name, other.name)))
    if one.group == "aluminium":
        return _aluminium(metals, one, other, filler)
    if one.group in _STEELS:
        return _steel(metals, one, other)
    return None


def _series(material: Material) -> str:
    found = re.match(r"\d{4}", material.name)
    return found.group() if found else ""


def _aluminium(metals: str, one: Material, other: Material, filler: str) -> Advice:
    series = {_series(one), _series(other)}
    kinds = {name[:1] for name in series}
    doubt = ""
    if filler == "4043" and any(name.startswith(("5", "7")) for name in series):
        doubt = "4043 makes welds of alloys with more than 2 % magnesium brittle (Mathers, beside Table 3.3, seen)."
        why = "4043 makes brittle welds here (Mathers, beside Table 3.3, seen)"
        filler = "5356"
    elif filler == "4043":
        why = "flows well and cracks least (Mathers, Table 3.3, seen); its fillets shear sooner, and it anodises black"
    else:
        why = (
            "its fillets are the stronger ones and it anodises bright; not above <65 °C|150 °F> in use (a guide, seen)"
        )
        if "6082" in series or "6061" in series:
            why += "; where ends of welds crack, 4043 cracks less (Mathers, Table 3.3, seen)"
    seven = "7" in kinds
    hardened = bool(kinds & {"2", "6", "7"})
    return Advice(
        metals,
        "AlMg5Cr (5356), ISO 18273: ER5356, TIG rod or MIG wire"
        if filler == "5356"
        else "AlSi5 (4043), ISO 18273: ER4043, TIG rod or MIG wire",
        why,
        "none is needed on thin bar; warm it by hand to <60 °C|140 °F> only to drive damp off",
        100.0 if seven else 120.0,
        80.0 if seven else 100.0 if hardened else 120.0,
        "degrease with acetone and let it dry, then brush the skin off with a stainless brush that touches nothing "
        "else; weld within hours",
        filler,
        doubt,
    )


def _steel(metals: str, one: Material, other: Material) -> Advice:
    groups = {one.group, other.group}
    clean = "grind mill scale, rust, paint and zinc off, <20 mm|3/4 in> on each side of the weld; degrease"
    if groups == {"steel"}:
        carbon = any(name in material.name for material in (one, other) for name in ("CrMo", "4130", "E355", "355"))
        preheat = (
            "none up to <3 mm|1/8 in> of wall; thicker, warm to <150 °C|300 °F> and let it cool slowly under a blanket"
            if any(name in material.name for material in (one, other) for name in ("CrMo", "4130"))
            else "none on bars up to <20 mm|3/4 in>; warm it by hand when it is below <5 °C|40 °F> or damp"
        )
        why = (
            "matches plain structural steel"
            if not carbon
            else "softer than the bar, which keeps the weld from cracking"
        )
        filler = "G 42 4 M21 3Si1 (ISO 14341), MIG wire <0.8 mm|0.030 in>; W 42 5 3Si1 (ISO 636), TIG rod"
        return Advice(metals, filler, f"{why} (from memory)", preheat, None, 250.0, clean, "for steel")
    clean = "degrease; brush with a stainless brush that has not touched steel; keep grinding dust of steel away"
    if groups == {"stainless"}:
        moly = any("316" in material.name for material in (one, other))
        filler = "19 12 3 L (316L), ISO 14343" if moly else "19 9 L (308L), ISO 14343"
        short = "316L" if moly else "308L"
        return Advice(metals, filler, "matches the bar (from memory)", "none", None, 150.0, clean, short)
    why = "rich enough to stay tough when it is thinned by the steel (from memory)"
    return Advice(metals, "23 12 L (309L), ISO 14343", why, "none", None, 150.0, clean, "309L")
