"""A material as it is written down: a table of the library, or ``[material.NAME]`` in the maker's own file.

A number is written plainly, or as a table of its own: ``{ value = 250, source = "EN 755-2", sure = "from memory" }``.
For plain numbers the ``source``, ``sure`` and ``bound`` of the whole table hold; without them it is the maker's.
"""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from typing import Any, cast, get_args

from bentwork.errors import Fault, InputError
from bentwork.stock.material import (
    MOST_ELASTIC,
    MOST_HARDENING,
    Bound,
    Figure,
    Group,
    Material,
    MeasuredTo,
    Multiple,
    RadiusRange,
    Sure,
)

__all__ = ["USUAL_POISSON", "material_from_mapping"]

USUAL_POISSON: Mapping[Group, float] = {
    "aluminium": 0.33,  # handbooks; EN 1999-1-1, 3.2.5, rounds to 0.3
    "steel": 0.30,  # EN 1993-1-1, 3.2.6
    "stainless": 0.30,  # EN 1993-1-4, 2.1.3
    "copper": 0.34,
    "brass": 0.35,
    "titanium": 0.34,
    "other": 0.30,
}
"""Poisson's ratio where none is given, by group; from memory."""

_NUMBERS = ("elastic_modulus", "proof_stress", "tensile_strength", "elongation", "density")
_OPTIONAL = ("poisson", "proof_stress_maximum", "welded_proof_stress", "welded_strength")
_TEXTS = ("description", "weld_note", "bend_note", "temper", "form")
_OTHER = ("group", "source", "sure", "bound", "aliases", "minimum_radii")
_NOT_STRENGTHS = ("elastic_modulus", "density", "poisson")
_WANTED: Mapping[str, tuple[float, float, str]] = {
    "elastic_modulus": (1_000.0, 500_000.0, "MPa, such as 70000 (70 GPa is 70000 MPa)"),
    "proof_stress": (1.0, 4_000.0, "MPa, such as 250"),
    "proof_stress_maximum": (1.0, 4_000.0, "MPa, such as 280"),
    "tensile_strength": (1.0, 4_000.0, "MPa, such as 295"),
    "welded_proof_stress": (1.0, 4_000.0, "MPa, such as 125"),
    "welded_strength": (1.0, 4_000.0, "MPa, such as 185"),
    "elongation": (1.0, 100.0, "per cent, such as 8 (0.08 is 8 per cent)"),
    "density": (500.0, 25_000.0, "kg/m3, such as 2700 (2.7 g/cm3 is 2700 kg/m3)"),
    "poisson": (0.05, 0.49, "a ratio between 0.05 and 0.49, such as 0.33"),
}
"""Least and greatest believable value, and what is wanted, for every number."""


def material_from_mapping(name: str, mapping: Mapping[str, Any], where: str = "") -> Material:
    """Return the material that a table describes.

    Args:
        name: of the material.
        mapping: the table; ``elastic_modulus``, ``proof_stress`` and ``tensile_strength`` in MPa, ``elongation`` in per
            cent and ``density`` in kg/m3 must be there, all else may be left out.
        where: what the table is called in its file; ``material.NAME`` when left out.

    Raises:
        InputError: something is wrong; it carries every fault found, not only the first.
    """
    reader = _Reader(where or f"material.{name}", mapping)
    material = reader.material(name)
    if material is None or reader.faults:
        raise InputError(f"material {name}", reader.faults)
    return material


class _Reader:
    """Reads one table and gathers what is wrong with it."""

    def __init__(self, where: str, mapping: Mapping[str, Any]) -> None:
        self.where = where
        self.mapping = mapping
        self.faults: list[Fault] = []
        self.source = self.text("source") or "the maker's own figure"
        self.sure = cast(Sure, self.choice("sure", mapping, get_args(Sure), "maker's own"))
        self.bound = cast(Bound, self.choice("bound", mapping, get_args(Bound), "minimum"))

    def material(self, name: str) -> Material | None:
        """Return the material, or None when there are faults."""
        self.unknown_keys("", self.mapping, (*_NUMBERS, *_OPTIONAL, *_TEXTS, *_OTHER))
        group = cast(Group, self.choice("group", self.mapping, get_args(Group), "other"))
        texts = {key: self.text(key) for key in _TEXTS}
        aliases = self.aliases()
        radii = self.radii()
        figures = {key: self.figure(key) for key in (*_NUMBERS, *_OPTIONAL)}
        self.compare(figures)
        needed = {key: figure for key in _NUMBERS if (figure := figures[key]) is not None}
        if self.faults or len(needed) < len(_NUMBERS):
            return None
        usual = Figure(USUAL_POISSON[group], f"usual for {group}", "from memory")
        return Material(
            name=name,
            group=group,
            description=texts["description"],
            elastic_modulus=needed["elastic_modulus"],
            proof_stress=needed["proof_stress"],
            tensile_strength=needed["tensile_strength"],
            elongation=needed["elongation"],
            density=needed["density"],
            poisson=figures["poisson"] or usual,
            proof_stress_maximum=figures["proof_stress_maximum"],
            welded_proof_stress=figures["welded_proof_stress"],
            welded_strength=figures["welded_strength"],
            weld_note=texts["weld_note"],
            bend_note=texts["bend_note"],
            temper=texts["temper"],
            form=texts["form"],
            minimum_radii=radii,
            aliases=aliases,
        )

    def fault(self, key: str, found: str, wanted: str) -> None:
        self.faults.append(Fault(f"{self.where}.{key}", found, wanted))

    def unknown_keys(self, inside: str, table: Mapping[str, Any], known: tuple[str, ...]) -> None:
        for key in table:
            if key not in known:
                close = difflib.get_close_matches(str(key), known, n=1)
                self.fault(f"{inside}{key}", "a key that means nothing here", close[0] if close else ", ".join(known))

    def choice(
        self, key: str, table: Mapping[str, Any], choices: tuple[str, ...], default: str = "", inside: str = ""
    ) -> str:
        value = table.get(key, default)
        if value in choices:
            return str(value)
        self.fault(f"{inside}{key}", repr(value) if key in table else "nothing", "one of: " + ", ".join(choices))
        return default or choices[0]

    def text(self, key: str) -> str:
        value = self.mapping.get(key, "")
        if not isinstance(value, str):
            self.fault(key, repr(value), "text in quotes")
            return ""
        return value.strip()

    def aliases(self) -> tuple[str, ...]:
        value = self.mapping.get("aliases", [])
        if not isinstance(value, list) or not all(isinstance(item, str) and item.strip() for item in value):
            self.fault("aliases", repr(value), 'a list of names, such as ["EN AW-6082-T6"]')
            return ()
        return tuple(str(item) for item in value)

    def figure(self, key: str) -> Figure | None:
        raw = self.mapping.get(key)
        if raw is None:
            if key in _NUMBERS:
                self.fault(key, "nothing", _WANTED[key][2])
            return None
        table: Mapping[str, Any] = raw if isinstance(raw, Mapping) else {"value": raw}
        self.unknown_keys(f"{key}.", table, ("value", "source", "sure", "bound"))
        value = self.number(key, table.get("value"))
        source = self.origin(f"{key}.", table)
        usual = "maximum" if key == "proof_stress_maximum" else "typical" if key in _NOT_STRENGTHS else self.bound
        sure = cast(Sure, self.choice("sure", table, get_args(Sure), self.sure, f"{key}."))
        bound = cast(Bound, self.choice("bound", table, get_args(Bound), usual, f"{key}."))
        return None if value is None else Figure(value, source, sure, bound)

    def origin(self, inside: str, table: Mapping[str, Any]) -> str:
        source = table.get("source", self.source)
        if isinstance(source, str) and source.strip():
            return source.strip()
        self.fault(f"{inside}source", repr(source), "the standard, datasheet or person it comes from")
        return self.source

    def number(self, key: str, value: object) -> float | None:
        least, most, wanted = _WANTED[key]
        if isinstance(value, bool) or not isinstance(value, int | float):
            self.fault(key, repr(value), wanted)
            return None
        if not least <= value <= most:
            self.fault(key, f"{value:g}", wanted)
            return None
        return float(value)

    def compare(self, figures: Mapping[str, Figure | None]) -> None:
        pairs = (
            ("proof_stress", "tensile_strength"),
            ("proof_stress", "proof_stress_maximum"),
            ("welded_proof_stress", "welded_strength"),
            ("welded_proof_stress", "proof_stress"),
            ("welded_strength", "tensile_strength"),
        )
        for low, high in pairs:
            below, above = figures[low], figures[high]
            if below and above and below.value > above.value:
                self.fault(low, f"{below.value:g}", f"no more than {high}, which is {above.value:g}")
        modulus, proof, strength = (figures[key] for key in ("elastic_modulus", "proof_stress", "tensile_strength"))
        if proof and strength and strength.value > MOST_HARDENING * proof.value:
            least = f"at least a {MOST_HARDENING:g}th of tensile_strength, which is {strength.value:g}"
            self.fault("proof_stress", f"{proof.value:g}", f"{least}: no metal hardens more")
        if proof and modulus and proof.value > MOST_ELASTIC * modulus.value:
            most = f"no more than {100.0 * MOST_ELASTIC:g} % of elastic_modulus, which is {modulus.value:g}"
            self.fault("proof_stress", f"{proof.value:g}", f"{most}: no metal springs back from more")
        for key, other in (("welded_proof_stress", "welded_strength"), ("welded_strength", "welded_proof_stress")):
            if key in self.mapping and other not in self.mapping:
                self.fault(other, "nothing", f"{_WANTED[other][2]}, since {key} is given")

    def radii(self) -> tuple[RadiusRange, ...]:
        raw = self.mapping.get("minimum_radii", [])
        if not isinstance(raw, list) or not all(isinstance(item, Mapping) for item in raw):
            self.fault("minimum_radii", repr(raw), "a list of tables with low, high, of, measured_to, source and sure")
            return ()
        read = (self.radius_range(f"minimum_radii.{number}.", item) for number, item in enumerate(raw, start=1))
        return tuple(one for one in read if one is not None)

    def radius_range(self, inside: str, table: Mapping[str, Any]) -> RadiusRange | None:
        self.unknown_keys(inside, table, ("low", "high", "of", "measured_to", "source", "sure"))
        of = cast(Multiple, self.choice("of", table, get_args(Multiple), inside=inside))
        measured_to = cast(MeasuredTo, self.choice("measured_to", table, get_args(MeasuredTo), inside=inside))
        sure = cast(Sure, self.choice("sure", table, get_args(Sure), self.sure, inside))
        source = self.origin(inside, table)
        ends = [table.get("low"), table.get("high")]
        low, high = (float(end) if isinstance(end, int | float) and not isinstance(end, bool) else -1.0 for end in ends)
        if not 0.0 <= low <= high <= 100.0 or high == 0.0:
            self.fault(f"{inside}low", f"{ends[0]!r} to {ends[1]!r}", "multiples, such as low = 3 and high = 4")
            return None
        return RadiusRange(low, high, of, measured_to, source, sure)
