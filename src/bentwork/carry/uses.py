"""Load cases by use: a hand cart, a trailer, a boat, a thing that stands in a house; each figure with its source."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import dist

import numpy as np

from bentwork.carry.cases import GRAVITY, LoadCase, Push
from bentwork.carry.structure import Structure
from bentwork.findings import Finding
from bentwork.space import Vec, dot, scale

__all__ = ["USES", "Use", "cases_of", "use_findings"]

_STEP = 20.0
_AS_HIGH = 1.0  # mm below the highest place: still as high


@dataclass(frozen=True, slots=True)
class Use:
    """What it is used for.

    Args:
        name: as a job file would say it.
        says: in a sentence.
        cases: the cases that need no place on the frame.
        leaning: force of a person who leans on it, N; 0 for none.
        corner: whether it may be lifted by one corner.
        defers: what has the last word; empty when nothing does.
        rolls: whether a road shakes it.
    """

    name: str
    says: str
    cases: tuple[LoadCase, ...]
    leaning: float = 0.0
    corner: bool = False
    defers: str = ""
    rolls: bool = True


_STILL = LoadCase("standing still", "static", source="weight alone", sure="common practice")
_BUMP = (
    "common practice: 3 g for a carrier on wheels when no standard is applied. Off-road peaks of 3 (front) and 5 times "
    "(rear) the static wheel load are published (De Lorenzo and Hull, J. Biomech. Eng. 121, 1999): 3 can be exceeded"
)
_ROAD = "EN 12195-1 for loads on vehicles over 3.5 t, quoted in the CTU code; lighter vehicles may see more"

USES: Mapping[str, Use] = {
    use.name: use
    for use in (
        Use(
            "hand cart",
            "carried on a hand cart that is pushed over kerbs and rough ground",
            (
                _STILL,
                LoadCase(
                    "wheel drops off a kerb", "shock", down=2.5, source="common practice, no source: at walking pace"
                ),
                LoadCase("stopped short by a stone", "braking", forward=1.0),
                LoadCase("jerked away", "rearward", forward=-0.5),
                LoadCase("across a slope or knocked from the right", "sideways", left=0.5),
                LoadCase("across a slope or knocked from the left", "sideways", left=-0.5),
            ),
            leaning=300.0,
            corner=True,
        ),
        Use(
            "trailer",
            "carried on a trailer on the road",
            (
                _STILL,
                LoadCase("deep pothole", "shock", down=3.0, source=_BUMP),
                LoadCase("rebound", "shock", down=-1.0, source="common practice, no source: what the strap must hold"),
                LoadCase(
                    "full braking",
                    "braking",
                    forward=1.0,
                    source=f"0.8 g in {_ROAD}; 1.0 g because of pitching, as German insurers advise",
                    sure="datasheet seen",
                ),
                LoadCase("pulling away", "rearward", forward=-0.5, source=_ROAD, sure="datasheet seen"),
                LoadCase(
                    "left-hand bend, fast",
                    "sideways",
                    left=-0.6,
                    source=f"0.5 g, 0.6 g if it can tip: {_ROAD}",
                    sure="datasheet seen",
                ),
                LoadCase(
                    "right-hand bend, fast",
                    "sideways",
                    left=0.6,
                    source=f"0.5 g, 0.6 g if it can tip: {_ROAD}",
                    sure="datasheet seen",
                ),
            ),
            leaning=300.0,
            corner=True,
        ),
        Use(
            "boat",
            "carried in a small boat",
            (
                _STILL,
                LoadCase("drops off a wave", "shock", down=2.5),
                LoadCase("runs aground", "braking", forward=1.0),
                LoadCase("heels to the left, on a wave", "sideways", down=0.9, left=0.6),
                LoadCase("heels to the right, on a wave", "sideways", down=0.9, left=-0.6),
            ),
            leaning=500.0,
            corner=True,
            rolls=False,
        ),
        Use(
            "house",
            "standing in a house",
            (
                _STILL,
                LoadCase(
                    "dropped on to it", "shock", down=2.0, source="a load put on suddenly counts twice: any textbook"
                ),
                LoadCase("dragged or knocked", "sideways", left=0.3),
                LoadCase("dragged or knocked, the other way", "sideways", left=-0.3),
                LoadCase("pulled forward", "braking", forward=0.3),
            ),
            leaning=500.0,
            corner=True,
            rolls=False,
        ),
        Use(
            "cycle",
            "carried on a cycle",
            (),
            defers="ISO 11243 (luggage carriers for bicycles: static and dynamic tests, classes by load)",
        ),
    )
}
"""Uses by name. The one for a cycle has no cases: its standard's loads are not at hand, and none are made up."""


def cases_of(use: Use, structure: Structure) -> tuple[LoadCase, ...]:
    """Return the cases of a use on this frame: those that need a place on it find it themselves.

    A person leans sideways and forward on the highest place (of several as high, on the one farthest from where the
    frame is held); the corner that it is lifted by is the outermost of four.
    """
    found = list(use.cases)
    if not structure.bars:
        return tuple(found)
    directions = structure.directions
    spots = [
        (number, station, bar.line.pose(station).origin)
        for number, bar in enumerate(structure.bars)
        for station in (float(s) for s in np.linspace(0.0, bar.length, max(2, int(bar.length / _STEP) + 1)))
    ]

    def farthest(towards: Vec) -> tuple[int, float, Vec]:
        return max(spots, key=lambda spot: round(dot(spot[2], towards), 6))

    held = [structure.bars[h.bar].line.pose(h.station).origin for h in structure.fixings]
    if use.leaning:
        top = dot(farthest(directions.up)[2], directions.up)
        as_high = [spot for spot in spots if dot(spot[2], directions.up) > top - _AS_HIGH]
        bar, station, _ = max(as_high, key=lambda spot: round(min((dist(spot[2], at) for at in held), default=0.0), 6))
        for words, way in (("sideways", directions.left), ("forward", directions.forward)):
            push = Push(bar, station, scale(way, use.leaning))
            found.append(LoadCase(f"a person leans on it {words}", "leaning", pushes=(push,)))
    if use.corner:
        middle = tuple(float(c) for c in np.mean(held, axis=0)) if held else (0.0, 0.0, 0.0)
        corners = []
        for ahead in (1.0, -1.0):
            for aside in (1.0, -1.0):
                towards = np.array(directions.forward) * ahead + np.array(directions.left) * aside
                corners.append(farthest((float(towards[0]), float(towards[1]), float(towards[2]))))
        bar, station, _ = max(corners, key=lambda spot: round(float(np.linalg.norm(np.subtract(spot[2], middle))), 6))
        carried = structure.borne.payload.mass if structure.borne else 0.0
        whole, of_payload = (scale(directions.up, kg * GRAVITY / 2.0) for kg in (structure.mass + carried, carried))
        push = Push(bar, station, whole, of_payload)
        found.append(
            LoadCase(
                "lifted by one corner",
                "corner",
                pushes=(push,),
                source="half of all the weight on one corner: common practice, no source",
            )
        )
    return tuple(found)


def use_findings(use: Use) -> tuple[Finding, ...]:
    """Say where the load cases of a use are somebody else's to set."""
    if not use.defers:
        return ()
    return (
        Finding(
            "stop",
            "loads-not-at-hand",
            f"What it must carry when it is {use.says} is for {use.defers} to say.",
            "The standard's loads could not be read, and none are made up here.",
            "Read the standard and give its loads as cases of your own, or choose another use.",
        ),
    )
