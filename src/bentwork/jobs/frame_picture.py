"""A picture of the whole frame, from the job alone: nothing is planned for it."""

from __future__ import annotations

from bentwork.jobs.job import Job
from bentwork.jobs.work import line_of
from bentwork.sheets.bar_view import Bar, bar_of
from bentwork.sheets.drawing import Drawing
from bentwork.sheets.outline import bars_seen

__all__ = ["frame_picture"]

_MOST = 120  # bars; beyond, a picture as large as a hand shows a thicket, and takes seconds
_LINE_ERROR = 0.25  # mm
_WEIGHT = 0.35


def frame_picture(job: Job, width: float, height: float) -> Drawing:
    """Return the frame as seen from the corner, in a field of this size, mm.

    Pieces whose corners do not fit, and opposite hands that the job does not place, are left out.
    """
    bars: list[Bar] = []
    for spec in job.pieces:
        line, _ = line_of(spec)
        if line is None:
            continue
        section = job.stocks[spec.stock].section
        drawn = bar_of(line, section, spec.way, _LINE_ERROR)
        bars += [drawn.shifted(shift) for shift in spec.shifts(as_drawn=True)]
        if spec.mirror and spec.mirror_in:
            image = bar_of(line.mirrored(spec.mirror_in.axis, spec.mirror_in.at), section, spec.way, _LINE_ERROR)
            bars += [image.shifted(shift) for shift in spec.shifts(as_drawn=False)]
    return bars_seen(bars[:_MOST], width, height, _WEIGHT)
