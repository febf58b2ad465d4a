"""Where the seam of a closed piece is best put, and whether that is worth a word."""

from __future__ import annotations

from dataclasses import replace

from bentwork.findings import Finding
from bentwork.fitup.comes_out import comes_out
from bentwork.fitup.ends import SeamPlace, best_first, seam_places
from bentwork.fitup.made import Floats
from bentwork.jobs.fitting import Fitting
from bentwork.jobs.seam_load import SeamLoad
from bentwork.piece.corners import Corners

__all__ = ["load_words", "seam_finding", "seams_of"]

_SAME_PLACE = 0.02  # of a side
_BETTER = 0.8  # of what it is at the seam as it is: what is nearer to that is not worth a word

_PARTS = (
    (0.05, "hardly any"),
    (0.13, "a tenth"),
    (0.21, "a sixth"),
    (0.29, "a quarter"),
    (0.41, "a third"),
    (0.58, "half"),
    (0.70, "two thirds"),
    (0.80, "three quarters"),
    (1.00, "nearly all"),
)


def seams_of(fitting: Fitting, load: SeamLoad | None) -> tuple[tuple[SeamPlace, ...], SeamPlace | None]:
    """Return places for the seam, the best first, and the one where it is; nothing where that is not free.

    Args:
        fitting: the bar of a piece.
        load: what the load takes of the strength; None where nobody knows.
    """
    spec, what = fitting.plan.spec, fitting.what
    if not isinstance(spec.shape, Corners) or not spec.shape.closed:
        return (), None
    bend = spec.shape.centreline(spec.seam).table.bends[0]

    def common(count: int) -> Floats:
        # All bends of a piece are much alike: those of the seam as it is stand for those of another.
        table = fitting.bar.values
        angles = [float(table[0, k % fitting.bar.bends]) for k in range(count)]
        return comes_out(what, angles, ["start"] * count, [bend.radius] * count).common

    needs = what.set_up.bender.needs
    found = seam_places(
        spec.shape,
        fitting.accuracy,
        tolerance=spec.tolerance,
        common=common,
        load_at=None if load is None else load.at,
        ends_need=max(0.0, max(needs.end_held, needs.end_free) - spec.trim),
    )
    if load is not None:
        found = _confirmed(found, load)
    side, fraction = spec.seam or spec.shape.best_seam()
    here = (one for one in found if one.seam[0] == side and abs(one.seam[1] - fraction) < _SAME_PLACE)
    return found, next(here, None)


def _confirmed(found: tuple[SeamPlace, ...], load: SeamLoad) -> tuple[SeamPlace, ...]:
    """Return the places with the best of them reckoned with the frame joined there."""
    asked: set[SeamPlace] = set()
    while found and found[0] not in asked:
        best = replace(found[0], load=load.once_joined(found[0].seam))
        asked.add(best)
        found = best_first((best, *found[1:]))
    return found


def seam_finding(seams: tuple[SeamPlace, ...], now: SeamPlace | None) -> Finding | None:
    """Return what there is to say about a better place for the seam; None where there is none worth a word."""
    if not seams or now is None or seams[0].seam == now.seam:
        return None
    best = seams[0]
    side, fraction = best.seam
    do = f"Try seam = {side if abs(fraction - 0.5) < 1e-9 else f'[{side}, {fraction:.2f}]'}."
    if best.load is not None and now.load is not None and not now.light and best.load < _BETTER * now.load:
        return Finding(
            "note",
            "seam-elsewhere",
            f"The seam would carry less in side {side}.",
            f"In the worst case the load takes {_part(best.load)} of the strength beside it there, and "
            f"{_part(now.load)} where it is now.",
            do,
        )
    if (best.reached and not now.reached) or best.miss < _BETTER * now.miss:
        return Finding(
            "note",
            "seam-elsewhere",
            f"The ends would meet better with the seam in side {side}.",
            "There they miss one another by {there}, unmended, and by {here} where the seam is now.",
            do,
            lengths={"there": round(best.miss, 1), "here": round(now.miss, 1)},
        )
    return None


def load_words(share: float) -> str:
    """Return a share of the strength in words: ``a third of the strength in the worst case``."""
    return f"{_part(share)} of the strength in the worst case"


def _part(share: float) -> str:
    return next((words for most, words in _PARTS if share <= most), "more than all")
