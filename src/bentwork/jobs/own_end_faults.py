"""What is the matter with ends that are made by themselves: into a bend, past the trim, a hole too near to an edge."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bentwork.findings import Finding
from bentwork.jobs.job import PieceSpec
from bentwork.jobs.own_ends import EndStanding
from bentwork.parts.stay import FlatEnd
from bentwork.space import Vec

__all__ = ["about_flat", "about_own_ends"]

_TYPED = 0.2  # mm: drawings are typed with a decimal or two


def about_own_ends(ends: Sequence[EndStanding], spec: PieceSpec, bends: int) -> tuple[Finding, ...]:
    """Return what there is to say of the ends of a piece.

    Args:
        ends: that are made by themselves.
        spec: the piece.
        bends: how many it has.
    """
    found: list[Finding] = []
    for one in ends:
        do = "Press it flat for less, or make the straight longer."
        if one.flat is not None:
            found += about_flat(one.flat, one.room, (one.end, spec.name, bends), do, one.limb.origin, spec.name)
        elif not one.fits:
            found.append(_into_bend(one, spec.name, bends))
        elif bends and one.beyond > spec.trim + _TYPED:
            found += _past_the_trim(one, spec)
    return tuple(found)


def about_flat(
    flat: FlatEnd, room: float, whose: tuple[str, str, int], do: str, at: Vec, piece: str
) -> Iterator[Finding]:
    """Return what there is to say of a flattened end.

    Args:
        flat: the end.
        room: how much of the straight it has to itself, mm.
        whose: A or B, of what, and how many bends that has.
        do: what helps where it is too long.
        at: where it is, mm.
        piece: name of the piece.
    """
    end, name, bends = whose
    if flat.side < flat.least_side:
        yield Finding(
            "watch",
            "hole-close-to-edge",
            f"The hole in end {end} of {name} is {{side}} from the side of its flat.",
            "{least} is the least: 1.2 times the hole (EN 1999-1-1, from memory). The flat is {width} wide.",
            "Take a smaller bolt or a bigger tube.",
            piece=piece,
            lengths={"side": flat.side, "least": flat.least_side, "width": flat.width},
        )
    if flat.whole > room:
        yield Finding(
            "stop" if flat.length > room else "watch",
            "flat-reaches-bend",
            f"The flattened end {end} of {name} reaches into {_behind(end, bends)}.",
            "The flat is {flat} long, the tube is round again {whole} from its end (a diameter further is common "
            "practice, no source), and there is {room} of straight tube for it.",
            do,
            piece=piece,
            lengths={"flat": flat.length, "whole": flat.whole, "room": room},
            at=at,
        )


def _behind(end: str, bends: int) -> str:
    return f"bend {1 if end == 'A' else bends}" if bends else "the other end"


def _into_bend(one: EndStanding, piece: str, bends: int) -> Finding:
    return Finding(
        "watch" if bends else "stop",
        "cut-reaches-bend",
        f"End {one.end} of {piece} is cut at a slant, and the cut reaches into {_behind(one.end, bends)}.",
        "It reaches {back} back along the bar, and there is {room} of straight bar for it: the model leaves this end "
        "square.",
        "Make that straight longer, or cut it nearer to square.",
        piece=piece,
        bend=(1 if one.end == "A" else bends) if bends else None,
        lengths={"back": one.takes, "room": one.room},
        at=one.limb.origin,
    )


def _past_the_trim(one: EndStanding, spec: PieceSpec) -> Iterator[Finding]:
    if spec.modelled is not None and max(spec.modelled.beyond) > spec.trim + _TYPED:
        return  # told of the model
    yield Finding(
        "watch",
        "end-needs-trim",
        f"End {one.end} of {spec.name} is drawn {{short}} short of its longest point, and the bar is cut {{trim}} "
        "longer on each end.",
        "A slanting end is drawn to the middle of its cut; the bend table and the marks are those of the piece as it "
        "is drawn.",
        "Give trim = {short} or more; cut it at a slant after bending.",
        piece=spec.name,
        lengths={"short": one.beyond, "trim": spec.trim},
        at=one.limb.origin,
    )
