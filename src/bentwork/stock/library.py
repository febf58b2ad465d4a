"""Finding a material by the name a maker types, and saying what comes near when there is none."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from bentwork.stock.material import Material

__all__ = ["NotFound", "find", "near", "other_tempers", "plain_name"]

_SPOKEN = {"aluminum": "aluminium", "alloy": "aluminium", "chromoly": "chrome", "inox": "stainless"}
"""What makers say, and the word for it in the library."""
_TEMPER = re.compile(r"-(O|[FHTW]\d+|R\d+|drawn|CWSR)$")  # as the library's names end


@dataclass(frozen=True, slots=True)
class NotFound:
    """No material of this name.

    Args:
        asked: the name that was asked for.
        near: names of the materials that come nearest, best first; may be empty.
    """

    asked: str
    near: tuple[str, ...]


def plain_name(name: str) -> str:
    """Return a name without what makers write differently: capitals, blanks, hyphens and dashes, underscores."""
    return "".join(letter for letter in name.casefold() if not letter.isspace() and letter not in "-_‐–−/")


def find(name: str, library: Mapping[str, Material]) -> Material | NotFound:
    """Return the material of this name or alias; capitals, blanks and hyphens do not matter.

    An alloy number alone, such as ``6082``, is nobody's name: its tempers differ in strength, so all are offered.
    """
    wanted = plain_name(name)
    for spelling, material in _spellings(library):
        if spelling == wanted:
            return material
    return NotFound(name, near(name, library))


def near(name: str, library: Mapping[str, Material], n: int = 3) -> tuple[str, ...]:
    """Return the names of up to ``n`` materials that come nearest to this name, best first.

    Names that begin with what was typed come first, in the library's order; then materials whose group or description
    has every word of it ("mild steel", "stainless"); then what ``difflib`` finds similar.
    """
    wanted = plain_name(name)
    spellings = list(_spellings(library))
    found = [material.name for spelling, material in spellings if wanted and spelling.startswith(wanted)]
    words = {_SPOKEN.get(word, word) for word in re.findall(r"[a-z]+", name.casefold())}
    found += [material.name for material in library.values() if words and words <= _said_of(material)]
    owners = {spelling: material.name for spelling, material in reversed(spellings)}
    alike = difflib.get_close_matches(wanted, owners, n=len(owners) or 1)
    found += [owners[spelling] for spelling in alike]
    return tuple(dict.fromkeys(found))[:n]


def other_tempers(material: Material, known: Iterable[Material]) -> tuple[Material, ...]:
    """Return the same metal in other tempers, as far as its name shows it: 6082-O and 6082-T4 of 6082-T6."""
    metal = _TEMPER.sub("", material.name)
    return tuple(other for other in known if _TEMPER.sub("", other.name) == metal and other.name != material.name)


def _said_of(material: Material) -> set[str]:
    """Return the words that stand for a material: those of its description, its group, and steel for stainless."""
    words = {material.group, *re.findall(r"[a-z]+", material.description.casefold())}
    return words | {"steel"} if material.group == "stainless" else words


def _spellings(library: Mapping[str, Material]) -> list[tuple[str, Material]]:
    """List every plain spelling with its material: the names first, so that no alias hides a name."""
    names = [(plain_name(material.name), material) for material in library.values()]
    aliases = [(plain_name(alias), material) for material in library.values() for alias in material.aliases]
    return names + aliases
