"""How much a seam would be used, wherever on its bar it were: stresses do not ask where a closed bar is joined."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from bentwork.carry.limits import Rules
from bentwork.carry.strength import Weld, beside_welds, softened_length
from bentwork.carry.verdict import Verdict

__all__ = ["used_at_seam"]


def used_at_seam(verdict: Verdict, bars: Sequence[int], station: float, rules: Rules) -> float | None:
    """Return the largest share that is used of what the metal may take beside a seam, safety included.

    The metal is taken as softened by that seam alone, in every load case. Loads that stand where they do because of
    how the bars are joined now (a person leans on the highest place; of several as high, one) do not go with the seam.

    Args:
        verdict: of the frame.
        bars: numbers of the closed bars that are joined there.
        station: of the seam, mm from end A as the bars are joined now.
        rules: how it is judged.

    Returns:
        1 is the limit; None where nothing is reckoned.
    """
    analysed, limits = verdict.analysed, verdict.limits
    if analysed is None or limits is None or not bars:
        return None
    inside, elements, frame = analysed.inside, analysed.built.frame.elements, analysed.structure.bars
    bar_of = elements.bar[inside.element]
    seams = []
    for number in bars:
        bar = frame[number]
        away = np.abs(inside.station[bar_of == number] - station)
        # Where places are far apart the nearest one stands for the seam.
        reach = max(softened_length(bar.section, rules.welding), float(np.minimum(away, bar.length - away).min()))
        seams.append(Weld(number, station, reach, -1))
    weld_of, allowed = beside_welds(frame, elements, inside, seams)
    beside = weld_of == -1
    return float((rules.safety * limits.stress[beside] / allowed[beside][:, None]).max())
