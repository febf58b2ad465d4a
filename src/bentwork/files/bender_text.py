"""A bender as the text of its table in a job file, every size with a comment; and into a job file that is there."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from itertools import groupby
from typing import Any, Literal, TypeGuard

import tomlkit

from bentwork.errors import Fault, InputError
from bentwork.files.job_build_bender import bender_from
from bentwork.files.job_faults import Faults
from bentwork.files.job_text import data_of, text_of
from bentwork.jobs.names import is_name
from bentwork.tooling.archetypes import ARCHETYPES, Archetype, Start
from bentwork.tooling.bender import Bender
from bentwork.tooling.sizes import Size, sizes_of
from bentwork.units import INCH, Ruler, Units, about_commas, parse_length

__all__ = ["BenderWish", "add_bender", "bender_text", "part_tables", "start_bender"]

_SOURCE = "bentwork bender"
_SIXTEENTH = INCH / 16.0


@dataclass(frozen=True, slots=True)
class BenderWish:
    """What the maker asked for, in the maker's own words; None for what was left out.

    Args:
        archetype: name of the kind of bender.
        name: what the job calls it.
        radius: centreline radius.
        size: of the bar in the plane of the bend.
        hand: ``left`` or ``right``.
        units: ``mm`` or ``in``; those of the job where it goes into one.
        job: text of the job file that it is to be added to; None to print it.
        source: name of that file.
    """

    archetype: str | None
    name: str = "lever"
    radius: str | None = None
    size: str | None = None
    hand: str = "left"
    units: str | None = None
    job: bytes | None = None
    source: str = ""


def start_bender(wish: BenderWish) -> str:
    """Return the text of the bender's table, or of the job file with the table at its end.

    Raises:
        InputError: with every fault of the wish, or the job file is no TOML.
    """
    faults: list[Fault] = []
    text = None if wish.job is None else text_of(wish.job, wish.source)
    data = {} if text is None else data_of(text, wish.source)
    archetype = ARCHETYPES.get(wish.archetype or "")
    if archetype is None:
        faults.append(_no_archetype(wish.archetype))
    if not is_name(wish.name):
        wanted = "a name of up to 60 letters, digits, blanks or _ - . +, beginning with neither blank nor dot"
        faults.append(Fault("--name", repr(wish.name), wanted))
    elif wish.name in _benders(data):
        there = f"a bender of this name in {wish.source}"
        faults.append(Fault("--name", there, "a name that is not taken", "Give it another name with --name."))
    if wish.hand not in ("left", "right"):
        faults.append(Fault("--hand", repr(wish.hand), "left or right"))
    units = _units(wish, data, faults)
    bar = _length("--diameter", wish.size, _usual(archetype, units), units, faults)
    radius = _length("--radius", wish.radius, 4.0 * bar, units, faults)
    if not radius > bar / 2.0 and not any(fault.where in ("--diameter", "--radius") for fault in faults):
        ruler = Ruler(units)
        wanted = f"more than half of the bar, {ruler.length(bar / 2.0)}: it is to its middle"
        do = f"The bar is taken to be {ruler.length(bar)}; say what it is with --diameter." if wish.size is None else ""
        faults.append(Fault("--radius", repr(wish.radius), wanted, do))
    if faults or archetype is None:
        raise InputError(_SOURCE, faults)
    hand: Literal["left", "right"] = "right" if wish.hand == "right" else "left"
    start = Start(bar, radius, wish.name, hand, _SIXTEENTH if units == "in" else 1.0)
    ruler = Ruler(units)
    table = bender_text(archetype, start, ruler)
    return table if text is None else add_bender(text, wish.name, table, wish.source)


def bender_text(archetype: Archetype, start: Start, ruler: Ruler) -> str:
    """Return ``[bender.NAME]`` of an archetype in the units of a ruler; its own reader has read it."""
    bender = archetype.build(start)
    sizes = sizes_of(bender)
    name = tomlkit.key(bender.name).as_string()
    lines = [
        f"# {archetype.name}: {archetype.says[0].lower()}{archetype.says[1:]}",
        f"# Sizes for a bar of {ruler.length(start.bar)}, to start from (common practice, no source). Measure yours,",
        "# correct every line: what is planned is no better. bentwork paper JOB --only benders draws which is which.",
        _said(f"[bender.{name}]", f"lengths in {'inches' if ruler.units == 'in' else 'mm'}"),
        _said(f'kind = "{bender.kind}"', _KINDS[bender.kind]),
        *_part_lines(sizes[:1], ruler),
    ]
    if bender.kind in ("wrap", "draw"):
        lines.append(_said(f'hand = "{bender.hand}"', f"the free side turns to the {bender.hand}, seen along the bar"))
    most = 180 if bender.kind in ("wrap", "draw") else 90
    lines.append(_said(f"# max_angle = {most}", "how far it goes, to be warned of bends beyond it"))
    for part, group in groupby(sizes[1:], key=lambda size: str(size.path[0])):
        lines.append(f"[bender.{name}.{part}]")
        lines += _words(bender, part)
        lines += _part_lines(tuple(group), ruler)
    text = "\n".join(lines) + "\n"
    data = data_of(f'units = "{ruler.units}"\n{text}', _SOURCE)
    faults = Faults(text, data)
    bender_from(bender.name, data["bender"][bender.name], {}, dict, ruler, faults)
    faults.raise_if_any(_SOURCE)
    return text


def _part_lines(sizes: Iterable[Size], ruler: Ruler) -> list[str]:
    """Return a line ``key = value  # what it is`` for each size of one part; pairs stand on one line."""
    lines = []
    for key, group in groupby(sizes, key=lambda size: [part for part in size.path if isinstance(part, str)][-1]):
        members = list(group)
        numbers = [str(ruler.number(size.value)) for size in members]
        value = numbers[0] if len(members) == 1 else f"[{', '.join(numbers)}]"
        told = members[0].says if len(members) == 1 else " and ".join(_short(size.says) for size in members)
        lines.append(_said(f"{key} = {value}", told))
    return lines


def part_tables(bender: Bender, ruler: Ruler) -> list[str]:
    """Return the parts of a bender on a line each: ``hook = { starts_behind = 12, length = 30, ... }``."""
    lines = []
    for part, group in groupby(sizes_of(bender)[1:], key=lambda size: str(size.path[0])):
        words = [line.split(" #")[0].rstrip() for line in (*_words(bender, part), *_part_lines(group, ruler))]
        lines.append(f"{part} = {{ {', '.join(words)} }}")
    return lines


def add_bender(text: str, name: str, table: str, source: str) -> str:
    """Return the text of a job with the table of a bender at its end; every other character stays.

    Raises:
        InputError: the job is no TOML, or the table cannot stand in it.
    """
    end = "\r\n" if "\r\n" in text else "\n"
    gap = "" if text.endswith("\n") else end
    longer = text + gap + end + table.replace("\n", end)
    before, own = data_of(text, source), data_of(table, _SOURCE)
    if not isinstance(before.get("bender", {}), dict):
        raise InputError(source, [Fault("bender", "no table", "tables [bender.NAME]", "Mend it first.")])
    wanted = {**before, "bender": {**before.get("bender", {}), **own["bender"]}}
    if data_of(longer, source) != wanted:
        raise InputError(source, [Fault(f"bender.{name}", "a file in which it cannot stand", "a job file")])
    return longer


_KINDS = {
    "wrap": "the die stands still, the bar is wiped or pulled round it",
    "draw": "the die turns and pulls the bar",
    "ram": "a former is pushed between two rollers",
    "vee": "punch and V-block",
}


def _words(bender: Bender, part: str) -> list[str]:
    """Return the keys of a part that hold a word."""
    if part == "follower" and bender.follower:
        return [_said(f'kind = "{bender.follower.kind}"', "roller, or shoe")]
    if part == "arm" and bender.arm:
        return [_said(f'side = "{bender.arm.side}"', "of the bar: above or below")]
    return []


def _short(says: str) -> str:
    return says.removeprefix("die's axis to ")


def _said(code: str, comment: str) -> str:
    return f"{code:<28} # {comment}"


def _benders(data: Mapping[str, Any]) -> Mapping[str, Any]:
    benders = data.get("bender")
    return benders if isinstance(benders, Mapping) else {}


def _units(wish: BenderWish, data: Mapping[str, Any], faults: list[Fault]) -> Units:
    own = data.get("units", "mm") if wish.job is not None else wish.units or "mm"
    if wish.job is not None and not _is_units(own):
        faults.append(Fault("units", repr(own), "mm or in", f"Mend {wish.source} first."))
    elif wish.units is not None and wish.units != own:
        do = "Leave --units out." if _is_units(wish.units) else ""
        faults.append(
            Fault("--units", repr(wish.units), f"{own}, the units of {wish.source}" if do else "mm or in", do)
        )
    elif not _is_units(own):
        faults.append(Fault("--units", repr(own), "mm or in"))
    return own if _is_units(own) else "mm"


def _is_units(value: object) -> TypeGuard[Units]:
    return value in ("mm", "in")


def _usual(archetype: Archetype | None, units: Units) -> float:
    if archetype is not None and archetype.bar == "thickness":
        return 4.0 if units == "mm" else INCH / 8.0
    return 12.0 if units == "mm" else INCH / 2.0


def _no_archetype(given: str | None) -> Fault:
    near = [name for name in ARCHETYPES if given and given.lower() in name]
    near = near or get_close_matches(given or "", list(ARCHETYPES), 1)
    advice = f"Did you mean {near[0]}?" if near else "bentwork bender alone tells what each of them is."
    return Fault("ARCHETYPE", repr(given) if given else "none", f"one of {', '.join(ARCHETYPES)}", advice)


def _length(option: str, words: str | None, start: float, units: Units, faults: list[Fault]) -> float:
    if words is None:
        return start
    try:
        value = parse_length(words, units)
    except ValueError as error:
        faults.append(Fault(option, repr(words), str(error), about_commas(words)))
        return start
    if not 0.5 <= value <= 5000.0:
        ruler = Ruler(units)
        faults.append(Fault(option, repr(words), f"a length from {ruler.length(0.5)} to {ruler.length(5000.0)}"))
        return start
    return value
