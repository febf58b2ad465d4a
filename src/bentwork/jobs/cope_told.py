"""A cope in words: how it is cut and filed, where it is longest, where it passes beside the other bar."""

from __future__ import annotations

from bentwork.parts.cope import SENSIBLE_ANGLE, Cope
from bentwork.units import Ruler, angle

__all__ = ["cutting_words", "longest_words", "made_words", "passing_words", "round_words"]

_NOTHING = 0.005  # mm


def round_words(cope: Cope, place: float, ruler: Ruler) -> str:
    """Return a place round a bar as it is found on it: degrees round a round one, a length on any other."""
    if cope.bar.is_round:
        return angle(place % cope.around / cope.around * 360.0)
    return ruler.length(place % cope.around)


def _stretch(cope: Cope, low: float, high: float, ruler: Ruler) -> str:
    if (low, high) == (0.0, cope.around):
        return "all round"
    if low == high:
        return round_words(cope, low, ruler)
    return f"{round_words(cope, low, ruler)} to {round_words(cope, high, ruler)}"


def longest_words(cope: Cope, ruler: Ruler) -> str:
    """Return where it is longest: ``longest at 90° and 270° round from the line 0``."""
    told = [_stretch(cope, low, high, ruler) for low, high in cope.longest_at]
    if told == ["all round"]:
        return "equally long all round"
    return f"longest at {' and '.join(told)} round from the line 0"


def passing_words(cope: Cope, onto: str, ruler: Ruler) -> str:
    """Return where it passes beside the other bar, and what the template shows there; empty where it does not."""
    found = list(cope.passing)
    if not found:
        return ""
    if len(found) > 1 and found[0][0] == 0.0 and found[-1][1] == cope.around:
        found[0] = (found.pop()[0], found[0][1])
    where = " and ".join(_stretch(cope, low, high, ruler) for low, high in found)
    return (
        f"from {where} it passes beside {onto}: there the template is level with the middle of {onto}, and may be cut "
        "longer or shorter as it looks best"
    )


def made_words(cope: Cope, lean: float, ruler: Ruler) -> str:
    """Return what kind of cut it is: ``coped 2.9 mm deep``, ``sawn flat, 30° off square``, ``sawn in two flats ...``.

    Args:
        cope: the shape.
        lean: of a flat cut, degrees off square.
        ruler: how lengths are told.
    """
    if cope.plane:
        return "sawn square" if lean < 0.05 else f"sawn flat, {angle(lean)} off square"
    deep = f"{ruler.length(cope.depth)} deep"
    flats = cope.faces.count("face")
    if flats == 0:
        return f"coped {deep}"
    flat = "one flat" if flats == 1 else "two flats that meet on its edge"
    return f"cut in {flat}, {deep}"


def cutting_words(cope: Cope, ruler: Ruler) -> str:
    """Return how it is sawn and what is filed."""
    if cope.plane:
        told = "one flat cut does it, through and through"
        return f"{told}; cut it along the heavy line" if cope.depth > _NOTHING else told
    if cope.solid:
        told = f"saw it to its longest point and file {ruler.length(cope.depth)} deep"
    else:
        told = f"after a cut square to the wall up to {ruler.length(cope.most_bevel)} is filed off its edge"
    tool = _tool(cope, ruler)
    return f"{told}; {tool}" if tool else told


def _tool(cope: Cope, ruler: Ruler) -> str:
    if "round" not in cope.faces:
        return "a saw or a flat file makes the flats" if cope.faces else ""
    if not cope.onto.is_round:
        return f"the corner of the other bar is round, radius {ruler.length(cope.onto.corner)}"
    size = ruler.length(2.0 * cope.onto.corner)
    if cope.angle < SENSIBLE_ANGLE:
        return f"a half-round file makes the hollow of {size}; a hole saw does not reach so far"
    return f"a round file or hole saw of {size} makes the hollow"
