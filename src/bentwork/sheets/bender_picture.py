"""A bender drawn to scale from its own sizes, seen from above and from the side, with a letter on every size."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from bentwork.sheets.bender_measures import measures_of
from bentwork.sheets.bender_parts import BarAt, arm_from_the_side, from_above, from_the_side
from bentwork.sheets.bender_view import STUB, BenderView, DrawnArm, Frame
from bentwork.sheets.dimension_lanes import Dimension
from bentwork.sheets.drawing import FINE, Drawing, Item, Label, Point, Stroke
from bentwork.sheets.lettering import cap_height, text_width
from bentwork.stock.section import Section, Way
from bentwork.tooling.bender import Bender
from bentwork.tooling.sizes import KeyPath, sizes_of

__all__ = ["BenderPicture", "bar_at", "bender_picture", "letters_of"]

_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
"""Without I and O, which pass for figures."""

_SCALES = (
    1 / 5,
    1 / 4,
    1 / 3,
    1 / 2.5,
    1 / 2,
    1 / 1.5,
    1,
    1.5,
    2,
    2.5,
    3,
    4,
    5,
    6,
    7,
    8,
    10,
    12,
    15,
    20,
    25,
    30,
    40,
    50,
    100,
    200,
    500,
    1000,
)
"""Times smaller than the bender; those of ISO 5455 with whole ones between them."""

_APART = 7.0  # between the two views
_TITLE = 9.5
_SIDE = "seen from the side"


@dataclass(frozen=True, slots=True)
class BenderPicture:
    """The two views on one drawing.

    Args:
        drawing: both views with their dimensions.
        scale: mm on paper for a mm of bender.
        dimensions: as drawn, by the key of the size.
        pivot: where the die's axis stands in the view from above, on paper.
        middle: where the middle of the bar crosses the die's axis in the view from the side, on paper; the pivot where
            that view is left out.
    """

    drawing: Drawing
    scale: float
    dimensions: Mapping[KeyPath, Dimension]
    pivot: Point
    middle: Point


def bar_at(bender: Bender, section: Section | None, way: Way = "easy") -> BarAt:
    """Return the bar that is drawn in a bender: of its groove's size, or a guess, where no bar is known."""
    if section is not None:
        return BarAt(section.depth(way), section.breadth(way))
    groove = bender.die.groove_depth if bender.die else 0.0
    size = min(2.0 * groove if groove > 0.0 else bender.radius / 4.0, bender.radius)
    return BarAt(size, size, known=False)


def letters_of(bender: Bender) -> dict[KeyPath, str]:
    """Return the letter of every size, in the order of the job file: A to Z, then AA, AB."""
    paths = [size.path for size in sizes_of(bender)]
    return {path: ("A" if n >= len(_LETTERS) else "") + _LETTERS[n % len(_LETTERS)] for n, path in enumerate(paths)}


def bender_picture(bender: Bender, bar: BarAt, room: tuple[float, float]) -> BenderPicture:
    """Return a bender, a right-hand one as the mirror image, as large as it fits into a room of (width, height), mm."""
    letters = letters_of(bender)
    sheet = Frame(1.0, -1.0 if bender.hand == "right" else 1.0)
    for down in _SCALES:
        sheet = Frame(1.0 / down, sheet.sign)
        if down < _SCALES[-1] and not _may_fit(bender, bar, sheet, room):
            continue
        above, side = _views(bender, bar, sheet, letters)
        for beside in (True, False):
            picture = _composed(above, side, letters, sheet.scale, bender, beside=beside)
            if picture.drawing.width <= room[0] and picture.drawing.height <= room[1]:
                return picture
    return picture


def _may_fit(bender: Bender, bar: BarAt, sheet: Frame, room: tuple[float, float]) -> bool:
    """Tell whether the parts alone would go into the room, with a lane of dimensions on two sides of each view."""
    above, side = BenderView(sheet, True), BenderView(sheet, True)
    above.add(from_above(bender, bar, STUB / sheet.scale))
    side.add(from_the_side(bender, bar, STUB / sheet.scale))
    if bender.arm and bender.kind in ("wrap", "draw"):
        above.add_arm(DrawnArm.of(bender, bar, sheet))
    (wide, high), (wide_too, high_too) = above.size, side.size
    beside = wide + wide_too + 20.0 <= room[0] and max(high, high_too) + 15.0 <= room[1]
    return beside or (max(wide, wide_too) + 10.0 <= room[0] and high + high_too + 30.0 <= room[1])


def _views(bender: Bender, bar: BarAt, sheet: Frame, letters: Mapping[KeyPath, str]) -> tuple[BenderView, BenderView]:
    arm = DrawnArm.of(bender, bar, sheet) if bender.arm and bender.kind in ("wrap", "draw") else None
    above = _best(lambda first, order: _above(bender, bar, sheet, arm, letters, first, order))
    side = _best(lambda first, order: _side(bender, bar, sheet, arm, letters, first, order))
    return above, side


def _best(make: Callable[[bool, int], BenderView]) -> BenderView:
    """Return the view that takes the least paper, of several orders in which its sizes may be put."""
    views = [make(first, order) for first in (True, False) for order in (1, -1, 0)]
    return min(views, key=lambda view: view.around.area)


def _above(
    bender: Bender,
    bar: BarAt,
    sheet: Frame,
    arm: DrawnArm | None,
    letters: Mapping[KeyPath, str],
    first: bool,
    order: int,
) -> BenderView:
    view = BenderView(sheet, first)
    view.add(from_above(bender, bar, STUB / sheet.scale))
    if arm:
        view.add_arm(arm)
        view.lanes.along(letters["arm", "width"], arm.across, arm.beside)
        view.lanes.along(letters["arm", "length"], arm.whole, arm.spots, broken=arm.cut)
    view.put(measures_of(bender, bar, arm.shown / sheet.scale if arm else 0.0), letters, "above", order)
    return view


def _side(
    bender: Bender,
    bar: BarAt,
    sheet: Frame,
    arm: DrawnArm | None,
    letters: Mapping[KeyPath, str],
    first: bool,
    order: int,
) -> BenderView:
    view = BenderView(sheet, first)
    view.add(from_the_side(bender, bar, STUB / sheet.scale))
    shown = arm.shown / sheet.scale if arm else 0.0
    part = arm_from_the_side(bender, bar.depth, shown)
    view.add([replace(part, fill="white")] if part else [])
    view.put(measures_of(bender, bar, shown), letters, "side", order)
    return view


def _composed(
    above: BenderView, side: BenderView, letters: Mapping[KeyPath, str], scale: float, bender: Bender, *, beside: bool
) -> BenderPicture:
    """Put the view from the side beside the one from above, or below it with their axes in one line.

    Without any size in it, only a bar, it is left out.
    """
    upper, lower = above.around, side.around
    head = cap_height(_TITLE) + 3.5
    seen = "seen from the front of the press" if bender.kind == "vee" else "seen from above, from where you stand"
    items: list[Item] = [Label((0.0, 0.0), seen, _TITLE, ("left", "top"), True)]
    pivot = middle = (-upper.left, head - upper.top)
    width, height = max(upper.right - upper.left, text_width(seen, _TITLE, True)), pivot[1] + upper.bottom
    if side.lanes.drawn:
        title = (width + _APART, 0.0)
        middle = (title[0] - lower.left, head - lower.top)
        if beside:
            width = title[0] + max(lower.right - lower.left, text_width(_SIDE, _TITLE, True))
        else:
            left = min(upper.left, lower.left)
            pivot = (-left, pivot[1])
            title = (0.0, height + _APART)
            middle = (-left, title[1] + head - lower.top)
            width = max(max(upper.right, lower.right) - left, width)
            axis = (pivot[0], pivot[1] + upper.bottom), (middle[0], middle[1] + lower.top)
            items.append(Stroke(axis, FINE, "grey", dash="chain"))
        height = max(height, middle[1] + lower.bottom)
        items.append(Label(title, _SIDE, _TITLE, ("left", "top"), True))
        items += Drawing(0.0, 0.0, side.items).moved(*middle)
    items += Drawing(0.0, 0.0, above.items).moved(*pivot)
    drawn = {}
    for view, at in ((above, pivot), (side, middle)):
        for one in view.lanes.drawn:
            drawn[one.letter] = replace(one, start=_shifted(one.start, at), end=_shifted(one.end, at))
    dimensions = {path: drawn[letter] for path, letter in letters.items()}
    return BenderPicture(Drawing(width, height, tuple(items)), scale, dimensions, pivot, middle)


def _shifted(point: Point, by: Point) -> Point:
    return (point[0] + by[0], point[1] + by[1])
