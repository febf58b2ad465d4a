"""What there is to say about measured points."""

from __future__ import annotations

import math

from bentwork.findings import Finding
from bentwork.jobs.surveyed import Surveyed
from bentwork.parts.survey_next import Missing
from bentwork.parts.survey_odd import CRITICAL, Odd, fits
from bentwork.parts.survey_reading import KINDS, Reading
from bentwork.space import distance

__all__ = ["WORDS", "reading_words", "survey_findings"]

WORDS = {
    "distance": "distance",
    "slope": "tape along the slope",
    "plan": "level distance",
    "height": "height",
    "rise": "rise",
    "level": "level",
    "plumb": "plumb",
    "across": "distance across",
    "ahead": "distance fore and aft",
    "along": "place along the string",
    "offset": "offset from the string",
}
"""What a reading of each kind is called."""

_FAR = 120.0  # mm; a hand's breadth, and some (common practice, no source)
_SIDES = 2.0  # standard deviations: a difference beyond is more than the readings' own error (one in twenty)


def reading_words(kind: str, points: tuple[str, ...]) -> str:
    """Return what was, or would be, read, in a few words: ``distance from axle to left lug``."""
    name = WORDS[kind]
    if len(points) == 1:
        return f"{name} of {points[0]}"
    if len(points) == 3:
        return f"{name} {points[0]} to {points[1]}, of {points[2]}"
    return f"{name} from {points[0]} to {points[1]}"


def survey_findings(found: Surveyed) -> tuple[Finding, ...]:
    """Return what there is to say about measured points, by theme."""
    assert set(WORDS) == set(KINDS)
    return (*_open(found), *_two_shapes(found), *_odd(found), *_far(found), *_unsure(found), *_sides(found))


def _open(found: Surveyed) -> list[Finding]:
    names = [spot.name for spot, open_ in zip(found.found.spots, found.found.untold, strict=True) if open_]
    if not names:
        return []
    return [
        Finding(
            "watch",
            "point-not-told",
            f"The readings do not say where {_and(names)} {'is' if len(names) == 1 else 'are'}.",
            f"{len(found.asked.used)} readings leave {found.found.untold_count} "
            f"{'direction' if found.found.untold_count == 1 else 'directions'} open.",
            _take(found.missing),
        )
    ]


def _take(missing: tuple[Missing, ...]) -> str:
    if not missing:
        return "Measure them from points that are known."
    return f"Measure next: {'; '.join(reading_words(one.kind, one.points) for one in missing[:3])}."


def _two_shapes(found: Surveyed) -> list[Finding]:
    other, first = found.found.other, found.found.places
    if other is None:
        return []
    spots = found.found.spots
    apart = {spot.name: math.dist(first[k], other[k]) for k, spot in enumerate(spots)}
    names = [name for name, far in apart.items() if far > 0.5]
    return [
        Finding(
            "watch",
            "two-shapes-fit",
            f"Two shapes fit the readings alike: {_and(names)} may as well be on the other side.",
            "{apart} lie between the two places of " + max(apart, key=lambda name: apart[name]) + ".",
            "Say about where they are: near = [x, y, z] of a point, a hand's breadth is near enough.",
            lengths={"apart": max(apart.values())},
        )
    ]


def _odd(found: Surveyed) -> list[Finding]:
    told = []
    for one in found.odd:
        reading = found.asked.used[one.reading]
        told.append(_one_odd(found, one, reading))
    if not found.odd and not fits(found.found):
        spread = found.found.spread or 0.0
        told.append(
            Finding(
                "watch",
                "reading-in-doubt",
                "The readings are further out than their accuracies say, and no single one stands out.",
                f"They miss one another by {spread:.1f} times as much.",
                "Measure again what is hard to reach, or say accuracy = … as it is.",
            )
        )
    return told


def _one_odd(found: Surveyed, one: Odd, reading: Reading) -> Finding:
    moved = [distance(found.found.place(spot.name), found.without.place(spot.name)) for spot in found.found.spots]
    others = [
        reading_words(found.asked.used[k].kind, found.asked.used[k].points)
        for k in one.either
        if found.asked.used[k].number != reading.number
    ]
    either = f" It may as well be the {_and(others, 'or')}." if others else ""
    at = tuple(float(c) for c in found.found.places[found.found.number(reading.points[-1])])
    return Finding(
        "watch",
        "reading-in-doubt",
        f"Reading {reading.number}, {reading_words(reading.kind, reading.points)}, disagrees with the rest.",
        f"It reads {{read}}; the rest say {{rest}}: {one.normalised:.1f} times its own error, where {CRITICAL:g} is "
        f"seen once in a thousand. The points move by up to {{moved}} without it.{either}",
        "Measure it again. If it was misread, mend it; until then leave_out = true sets it aside.",
        lengths={"read": reading.value, "rest": one.rest, "moved": max(moved)},
        at=(at[0], at[1], at[2]),
    )


def _far(found: Surveyed) -> list[Finding]:
    told = [
        (distance(spot.near, found.found.place(spot.name)), spot.name)
        for spot, open_ in zip(found.found.spots, found.found.untold, strict=True)
        if spot.near is not None and spot.at is None and not open_
    ]
    away, worst = max(told, default=(0.0, ""))
    if away <= _FAR:
        return []
    return [
        Finding(
            "watch",
            "far-from-sketch",
            f"{worst} comes out {{away}} from where it is sketched.",
            "A sketch is good to a hand's breadth: so far off, a reading is wrong, too few check it, or the sketch is.",
            "Look at both. If the readings are right, sketch it where it comes out.",
            lengths={"away": away},
            at=found.found.place(worst),
        )
    ]


def _unsure(found: Surveyed) -> list[Finding]:
    told = {spot.name: found.found.sure_to(spot.name) for spot in found.found.spots if spot.at is None}
    loose = {name: sure for name, sure in told.items() if found.asked.good < sure < math.inf}
    if not loose:
        return []
    worst = max(loose, key=lambda name: loose[name])
    return [
        Finding(
            "note",
            "point-not-sure",
            f"{_and(list(loose))} {'is' if len(loose) == 1 else 'are'} known to no better than {{worst}}.",
            f"{{good}} is wanted; {worst} is the worst.",
            _take(found.missing),
            lengths={"worst": loose[worst], "good": found.asked.good},
        )
    ]


def _sides(found: Surveyed) -> list[Finding]:
    told = []
    for one in found.sides.differences if found.sides else ():
        ways = (("further forward", "further back", one.ahead, one.sure[0]), ("higher", "lower", one.up, one.sure[2]))
        for more, less, off, sure in ways:
            if not math.isfinite(sure) or abs(off) <= _SIDES * max(sure, 0.05):
                continue
            told.append(
                Finding(
                    "note",
                    "left-and-right-differ",
                    f"{one.left} is {{off}} {more if off > 0.0 else less} than {one.right}.",
                    "Sure to {sure}: the readings alone do not make such a difference.",
                    "Make left and right each to its own points, or find out whether the thing is bent.",
                    lengths={"off": abs(off), "sure": sure},
                    at=found.found.place(one.left),
                )
            )
    return told


def _and(names: list[str], word: str = "and") -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} {word} {names[-1]}"
