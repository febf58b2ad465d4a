from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bentwork.sheets.drawing import Drawing, Label, Stroke
from bentwork.sheets.floor_list import diagonals, floor_points
from bentwork.sheets.full_size import MOST_TILES, full_size, laid_on
from bentwork.sheets.full_size_lines import bend_corner, layout_of, tangent_points
from bentwork.sheets.full_size_tile import window_of
from bentwork.sheets.lay import lay_down
from bentwork.sheets.placing import Box
from bentwork.sheets.subject import A4, LETTER, Paper
from bentwork.sheets.tiling import OVERLAP, Grid, Tile, grid_for
from tests.make import PAPER_EXAMPLES, a_flat, a_subject, a_tube, paper_subject


def said(page: Drawing) -> list[str]:
    return [item.text for item in page.items if isinstance(item, Label)]


def assert_joined(grid: Grid, tile: Tile, other: Tile) -> None:
    """Two neighbours have two crosses in common, of the same names at the same places."""
    ours, theirs = dict(grid.crosses(tile)), dict(grid.crosses(other))
    both = set(ours) & set(theirs)
    assert len(both) == 2
    for name in both:
        assert ours[name] == pytest.approx(theirs[name])


@pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda paper: paper.name)
@pytest.mark.parametrize("name", PAPER_EXAMPLES)
def test_the_whole_bar_is_on_the_pages(name: str, paper: Paper) -> None:
    layout, grid = laid_on(paper_subject(name), paper)
    half = layout.width / 2.0
    for x, y in layout.places(2.0):
        for k in range(12):
            at = (x + half * math.cos(k * math.tau / 12), y + half * math.sin(k * math.tau / 12))
            assert any(tile.box.grown(1e-6).holds(Box(*at, *at)) for tile in grid.tiles)


@pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda paper: paper.name)
@pytest.mark.parametrize("name", PAPER_EXAMPLES)
def test_tiles_fit_the_page_and_overlap(name: str, paper: Paper) -> None:
    subject = paper_subject(name)
    _, grid = laid_on(subject, paper)
    window = window_of(paper, subject.ruler)
    assert window[0] <= paper.width - 24.0
    assert window[1] <= paper.height - 40.0
    for tile in grid.tiles:
        assert (tile.box.right - tile.box.left, tile.box.bottom - tile.box.top) == pytest.approx(window)
    by_place = {(tile.row, tile.column): tile for tile in grid.tiles}
    for (row, column), tile in by_place.items():
        right, below = by_place.get((row, column + 1)), by_place.get((row + 1, column))
        if right:
            assert tile.box.right - right.box.left == pytest.approx(OVERLAP)
            assert_joined(grid, tile, right)
        if below:
            assert tile.box.bottom - below.box.top == pytest.approx(OVERLAP)
            assert_joined(grid, tile, below)
    assert len(grid.tiles) + len(grid.empty) == grid.rows * grid.columns


@given(
    st.floats(10.0, 3000.0),
    st.floats(10.0, 3000.0),
    st.lists(st.tuples(st.floats(0.0, 1.0), st.floats(0.0, 1.0)), min_size=1, max_size=8),
)
def test_no_tile_is_left_out_that_shows_anything(wide: float, high: float, places: list[tuple[float, float]]) -> None:
    points = [(x * wide, y * high) for x, y in places]
    grid = grid_for(Box(0.0, 0.0, wide, high), (180.0, 240.0), points, 5.0)
    assert grid.box.holds(Box(0.0, 0.0, wide, high).grown(-1e-6))
    names = {tile.name for tile in grid.tiles}
    assert len(names) == len(grid.tiles)
    assert not names & set(grid.empty)
    for x, y in points:
        for tile in grid.tiles:
            assert tile.box.overlap(Box(x - 1e-6, y - 1e-6, x + 1e-6, y + 1e-6)) >= 0.0
        assert any(tile.box.grown(1e-6).holds(Box(x, y, x, y)) for tile in grid.tiles)
    for tile in grid.tiles:  # every page that is printed has something on it
        grown = tile.box.grown(5.0 + 1e-6)
        assert any(grown.holds(Box(x, y, x, y)) for x, y in points)


def test_pages_and_names() -> None:
    subject = paper_subject("hoop")
    _, grid = laid_on(subject, A4)
    pages = full_size(subject, A4)
    assert len(pages) == 1 + len(grid.tiles)
    for tile, page in zip(grid.tiles, pages[1:], strict=True):
        assert tile.name in said(page)
        for name, _ in grid.crosses(tile):
            assert name in said(page)
        filled = [item for item in page.items if isinstance(item, Stroke) and item.fill == "grey"]
        assert len(filled) == 1  # this page on the key map
    first = " ".join(said(pages[0]))
    assert f"{len(grid.tiles)} pages at full size follow" in first
    for name in grid.empty:
        assert name in first
        assert not any(name in said(page) for page in pages[1:])


def test_a_piece_that_takes_too_many_pages_is_chalked() -> None:
    subject = paper_subject("rail")
    assert len(laid_on(subject, A4)[1].tiles) > MOST_TILES
    pages = full_size(subject, A4)
    assert len(pages) == 1
    words = " ".join(said(pages[0]))
    assert f"more than {MOST_TILES}: chalk it on the floor from this list." in words
    assert {"END A", "S1", "corner 1", "E1", "END B", "2900", "3000"} <= set(said(pages[0]))


def test_the_floor_list() -> None:
    subject = a_subject([(0, 0, 0), (300, 0, 0), (300, 0, 200)], 50.0)
    layout = layout_of(subject, lay_down(subject.line))
    points = {point.name: point for point in floor_points(subject, layout)}
    assert list(points) == ["END A", "S1", "corner 1", "E1", "END B"]
    wanted = {"END A": (0, 0), "S1": (250, 0), "corner 1": (300, 0), "E1": (300, 50), "END B": (300, 200)}
    for name, place in wanted.items():
        assert points[name].place == pytest.approx(place, abs=1e-9)
        assert not points[name].height


def test_heights_above_the_paper() -> None:
    subject = a_subject([(0, 0, 0), (300, 0, 0), (300, 200, 0), (300, 200, 150)], 20.0)
    lay = lay_down(subject.line)
    heights = {point.name: point.height for point in tangent_points(subject.line, lay)}
    assert heights == pytest.approx({"S1": 0.0, "E1": 0.0, "S2": 0.0, "E2": 20.0}, abs=1e-9)
    words = [text for page in full_size(subject, A4)[1:] for text in said(page)]
    assert "E2 +20" in words
    assert "END B +150" in words
    assert "S2" in words


def test_a_bend_that_turns_right_round_has_no_corner() -> None:
    runs = [run for run in paper_subject("arches").line.runs if run.bend]
    corners = [bend_corner(run) for run in runs]
    assert [corner is None for corner in corners] == [False, False, False, True, True, True]
    first = corners[0]
    assert first is not None
    assert math.dist(first, runs[0].start.origin) == pytest.approx(40.0 * math.tan(math.radians(5.0)))


def test_diagonals_are_the_two_longest_without_a_common_point() -> None:
    subject = a_subject([(0, 200, 0), (0, 0, 0), (300, 0, 0), (300, 200, 0)], 50.0)
    points = floor_points(subject, layout_of(subject, lay_down(subject.line)))
    found = diagonals(points)
    tangents = {point.name: point.place for point in points if point.name[0] in "SE" and point.name[1].isdigit()}
    longest = max(math.dist(a, b) for a in tangents.values() for b in tangents.values())
    assert found[0].length == pytest.approx(longest)
    assert len({found[0].start, found[0].stop, found[1].start, found[1].stop}) == 4
    for diagonal in found:
        assert diagonal.length == pytest.approx(math.dist(tangents[diagonal.start], tangents[diagonal.stop]))
    one_bend = a_subject([(0, 0, 0), (300, 0, 0), (300, 200, 0)], 50.0)
    few = diagonals(floor_points(one_bend, layout_of(one_bend, lay_down(one_bend.line))))
    assert few[0].length == pytest.approx(math.hypot(300, 200))


def test_the_bar_is_as_wide_as_it_is_seen() -> None:
    flat = a_subject([(0, 0, 0), (200, 0, 0), (200, 150, 0)], 40.0, stock=a_flat(25, 3))
    assert layout_of(flat, lay_down(flat.line)).width == 3.0
    hard = replace(flat, way="hard")
    assert layout_of(hard, lay_down(hard.line)).width == 25.0
    tube = a_subject([(0, 0, 0), (200, 0, 0), (200, 150, 0)], 60.0, stock=a_tube(25.0))
    extent = layout_of(tube, lay_down(tube.line)).extent
    assert extent.right - extent.left == pytest.approx(200 + 25)  # half a bar past the end, and outside the corner


@pytest.mark.parametrize("name", PAPER_EXAMPLES)
def test_every_bend_and_both_ends_are_named(name: str) -> None:
    subject = paper_subject(name)
    _, grid = laid_on(subject, A4)
    if len(grid.tiles) > MOST_TILES:
        return
    words = [text for page in full_size(subject, A4) for text in said(page)]
    on_tiles = [text for page in full_size(subject, A4)[-len(grid.tiles) :] for text in said(page)]
    for number in range(1, len(subject.marks) + 1):
        assert str(number) in on_tiles
        assert any(text.split(" ")[0] == f"S{number}" for text in on_tiles)
        assert any(text.split(" ")[0] == f"E{number}" for text in on_tiles)
    if subject.line.table.closed:
        assert "seam: end A" in on_tiles
    else:
        assert any(text.startswith("END A") for text in on_tiles)
        assert any(text.startswith("END B") for text in on_tiles)
    assert any(text.startswith("Check with a tape: ") for text in words)


def test_a_long_list_goes_on_over_the_page() -> None:
    subject = paper_subject("sixteen")
    pages = full_size(subject, A4)
    lists = [page for page in pages if any(text.startswith("floor list") for text in said(page))]
    named = [text for page in (pages[0], *lists) for text in said(page)]
    for number in range(1, 17):
        assert f"S{number}" in named
        assert f"E{number}" in named


@pytest.mark.parametrize("name", ["loop", "leg", "hoop", "inches", "hook", "ring"])
def test_ink_stays_in_the_window_until_it_is_masked(name: str) -> None:
    """After the white masks nothing of the bar is drawn any more."""
    subject = paper_subject(name)
    for page in full_size(subject, A4)[1:]:
        items = list(page.items)
        masks = [
            k for k, item in enumerate(items) if isinstance(item, Stroke) and item.fill == "white" and not item.weight
        ]
        assert len(masks) == 4
        wide = [k for k, item in enumerate(items) if isinstance(item, Stroke) and item.weight > 2.0]
        assert max(wide, default=0) < masks[0]
