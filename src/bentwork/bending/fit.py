"""From test bends to what is known of a bar on a bender: the one door."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from bentwork.bending.bend_law import BendLaw
from bentwork.bending.handbook import Handbook, handbook
from bentwork.bending.judging import Table
from bentwork.bending.learnt import Fit
from bentwork.bending.posterior import Posterior, updated
from bentwork.bending.readings import REPEAT_SD_DEG
from bentwork.bending.repeat import repeat_of, with_repeat
from bentwork.bending.set_up import SetUp
from bentwork.bending.stock_key import section_text
from bentwork.bending.test_bend import TestBend
from bentwork.forming.prediction import SpringsStraight

__all__ = ["fit", "is_of"]

_SAME_RADIUS = 0.02
"""Dies whose radii differ by no more, over the radius, are one die measured twice; common practice, no source."""


def is_of(set_up: SetUp, bend: TestBend) -> bool:
    """Tell whether a test bend is of this bar on this bender and die, and not struck out.

    Materials are not compared: they go by several names.
    """
    return (
        not bend.struck
        and section_text(bend.stock_key.section) == section_text(set_up.section)
        and bend.way == set_up.way
        and bend.bender == set_up.bender.name.strip()
        and abs(bend.radius_mm - set_up.bender.radius) <= _SAME_RADIUS * set_up.bender.radius
    )


def fit(
    set_up: SetUp,
    bends: Sequence[TestBend] = (),
    batch: str | None = None,
    *,
    book: Handbook | SpringsStraight | None = None,
) -> Fit | SpringsStraight:
    """Return what test bends and handbook together know of a bar on a bender.

    Args:
        set_up: bar and bender.
        bends: test bends of it, in any order; none: the handbook alone.
        batch: the batch that is to be bent; None: that of the newest test bend. Test bends of other batches say what
            the bender does, and of this batch's strength nothing.
        book: the set-up's handbook where it is at hand.

    Raises:
        ValueError: a test bend is of something else, or the bar does not fit round the die.
    """
    strangers = [bend for bend in bends if not is_of(set_up, bend)]
    if strangers:
        raise ValueError(f"{len(strangers)} of the test bends are of another bar, bender or die, or struck out")
    book = book or handbook(set_up)
    if isinstance(book, SpringsStraight):
        return book
    newest = max(bends, key=lambda bend: (bend.made_on, bend.id or 0, bend.batch), default=None)
    if batch is None and newest is not None:
        batch = newest.batch
    batches = sorted({bend.batch for bend in bends} | {batch or ""})
    laws = {name: BendLaw(book, place) for place, name in enumerate(batches)}
    before = Posterior(book.mean(len(batches)), np.diag(book.sd(len(batches)) ** -2.0))
    if not bends:
        return Fit(set_up, (), (), (), batch, False, REPEAT_SD_DEG, laws[batch or ""], before, (), before)
    table = Table(before, [laws[bend.batch] for bend in bends], bends)
    kept, doubts = table.judged()
    repeat = repeat_of(before, [one for one in table.readings(kept) if one.kinds])
    said = tuple(with_repeat(one, repeat) for one in table.believed(kept, doubts) if one.kinds)
    after, _ = updated(before, said)
    return Fit(
        set_up=set_up,
        used=tuple(bend for bend, kinds in zip(bends, kept, strict=True) if "angles" in kinds),
        left_out=tuple(bend for bend, kinds in zip(bends, kept, strict=True) if "angles" not in kinds),
        doubts=doubts,
        batch=batch,
        taped=any(one.taped for one in said),
        bends=laws[batch or ""],
        before=before,
        said=said,
        repeat=repeat,
        after=after,
    )
