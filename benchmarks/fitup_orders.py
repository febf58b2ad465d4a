"""Does the order decide how much can be mended? Chances foretold for many orders of a closed piece, and two weights.

Of the loop of ``tests/virtual_workshop.py`` in hard aluminium 150 orders with the fewest turns of the bar are drawn,
and what is foretold before the first bend is set beside what two weights think of each: how far
an error throws an end (the planner's), and by how much a bend's own errors make the piece miss (``early_weights``). A
weight is of use where orders that it likes, of low cost, have a higher chance: a correlation well below 0.

    python3 bootstrap.py bench fitup_orders
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from itertools import pairwise, permutations
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from bentwork.files.job_file import parse_job
from bentwork.fitup.actual import actual
from bentwork.fitup.by_hand import limits_by_hand
from bentwork.fitup.early import early_weights
from bentwork.fitup.outlook import foreseen
from bentwork.jobs.fitting import fitting_of
from bentwork.jobs.work import PiecePlan, work
from bentwork.planning.order_problem import default_weights
from tests.virtual_bench import job_text
from tests.virtual_workshop import PIECES

DRAWN, SEED = 150, 20


def chance_of(plan: PiecePlan, order: Sequence[int]) -> float:
    """Chance foretold before the first bend when they are made in this order, the end held that the plan holds."""
    one = fitting_of(plan, [(bend, plan.steps[0].held) for bend in order])
    assert one is not None
    unbent, limits = actual(one.bar, one.start, one.scatter, [], []), limits_by_hand(one.limits, one.by_hand)
    chance, drawn = np.random.default_rng(SEED), one.bar.values
    ahead = foreseen(one.matters, unbent, drawn, 0.0, limits, chance, order=order, hand=one.by_hand)
    return ahead.outlook(drawn, 0.0).good


def main() -> None:
    """Print the table."""
    plan = work(parse_job(job_text(PIECES[1], "6060-T66").encode(), "virtual.toml")).pieces[0]
    one = fitting_of(plan)
    assert one is not None and plan.table is not None
    ways = [round(way, 3) % 360.0 for way in plan.table.directions]

    def turns(order: Sequence[int]) -> int:
        return sum(ways[a - 1] != ways[b - 1] for a, b in pairwise(order))

    every = list(permutations(range(1, len(ways) + 1)))
    least = min(map(turns, every))
    few = [order for order in every if turns(order) == least]
    drawn = [few[k] for k in np.random.default_rng(0).choice(len(few), DRAWN, replace=False)]
    chances = [chance_of(plan, order) for order in drawn]
    own = tuple(step.bend for step in plan.steps)
    as_drawn = chance_of(plan, range(1, len(ways) + 1))
    print(f"| {len(few)} orders of {least} turn, {DRAWN} drawn | chance {min(chances):.1%} to {max(chances):.1%} |")
    print(f"| the plan's order {own} | {chance_of(plan, own):.1%} |")
    print(f"| as drawn, {turns(range(1, len(ways) + 1))} turns | {as_drawn:.1%} |")
    for name, weights in (
        ("the planner's", default_weights(plan.table)),
        ("own errors", early_weights(one.matters, one.scatter)),
    ):
        costs = [sum(weights[bend - 1] * place for place, bend in enumerate(order)) for order in drawn]
        print(f"| weights: {name} | correlation with the chance {np.corrcoef(costs, chances)[0, 1]:+.2f} |")


if __name__ == "__main__":
    main()
