"""Random pieces on random benders in tight workshops, where most orders are barred."""

from __future__ import annotations

import numpy as np

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.planning.order_problem import OrderProblem
from bentwork.stock.section import Round
from bentwork.tooling.bender import Arm, Bender, Die, Follower, Hook, Kind, Needs, Plate
from bentwork.tooling.shop import Bench, Body, Mounting, Vise

ROTATIONS = (0.0, 90.0, 180.0, -90.0, 45.0, -120.0)
DIAMETER = 10.0
OVERBEND = 1.03


def a_piece(rng: np.random.Generator, bends: int, radius: float, kind: Kind) -> BendTable:
    """Straights of 20 to 110 mm, bends of 45 to 180 degrees in all directions."""
    widest = 180.0 if kind in ("wrap", "draw") else 90.0
    return BendTable(
        tuple(float(rng.uniform(20.0, 110.0)) for _ in range(bends + 1)),
        tuple(
            Bend(
                radius,
                float(rng.choice([45, 60, 90, min(120, widest), widest])),
                float(rng.choice(ROTATIONS)) if i else 0.0,
            )
            for i in range(bends)
        ),
    )


def a_bender(rng: np.random.Generator) -> Bender:
    """Any kind, either hand, any of its parts there or not."""
    kind: Kind = rng.choice(["wrap", "wrap", "draw", "ram", "vee"])
    ahead = 22.0 if kind in ("wrap", "draw") else 80.0
    followers = (
        None,
        Follower("roller", 24.0, ahead, radius=float(rng.choice([18.0, 30.0]))),
        Follower("shoe", 24.0, ahead + 8.0, length=40.0, width=15.0),
    )
    above = rng.random() < 0.5
    return Bender(
        "lever",
        str(kind),  # type: ignore[arg-type]
        float(rng.choice([30.0, 50.0])),
        hand="left" if rng.random() < 0.5 else "right",
        die=Die(24.0, 5.0),
        hook=Hook(5.0, 15.0, 16.0, 30.0) if rng.random() < 0.5 else None,
        follower=followers[int(rng.integers(0, 3 if kind in ("wrap", "draw") else 2))],
        arm=Arm("above" if above else "below", 14.0, 8.0, 30.0, 200.0) if rng.random() < 0.5 else None,
        plate=Plate((-110.0, 90.0), (-90.0, 70.0), 14.0, 10.0) if rng.random() < 0.5 else None,
        needs=Needs(20.0, 15.0, 25.0, 25.0) if rng.random() < 0.5 else Needs(),
    )


def a_mounting(rng: np.random.Generator, name: str) -> Mounting:
    """A vise, a bench close below, a thin post anyhow, and now and then a wall."""

    def anywhere(z: float) -> tuple[float, float, float]:
        return float(rng.uniform(-200, 200)), float(rng.uniform(-150, 200)), z

    post = Body(
        "post", "cylinder" if rng.random() < 0.7 else "capsule", start=anywhere(-300.0), end=anywhere(300.0), radius=4.0
    )
    wall = Body("wall", "box", x=(-240.0, -220.0), y=(-900.0, 900.0), z=(-300.0, 800.0))
    return Mounting(
        name,
        "lever",
        vise=Vise((-75.0, 75.0), (-60.0, 140.0), -24.0, -150.0),
        bench=Bench(
            (-700.0, 700.0), (float(rng.choice([-700.0, 20.0])), 700.0), float(-rng.uniform(30.0, 150.0)), 40.0
        ),
        floor=-400.0,
        bodies=(post, wall) if rng.random() < 0.4 else (post,),
    )


def a_problem(rng: np.random.Generator, most: int = 5) -> OrderProblem:
    """A piece of up to ``most`` bends, some perhaps made already, on one or two mountings."""
    bender = a_bender(rng)
    bends = int(rng.integers(2, most + 1))
    table = a_piece(rng, bends, bender.radius, bender.kind)
    return OrderProblem(
        table,
        tuple(OVERBEND * bend.angle for bend in table.bends),
        Round(DIAMETER),
        bender,
        tuple(a_mounting(rng, f"m{i}") for i in range(int(rng.choice([1, 1, 2])))),
        trim=float(rng.choice([0.0, 20.0])),
        required_clearance=float(rng.choice([0.0, 2.0])),
        made=frozenset(number for number in range(2, bends + 1) if rng.random() < 0.12),
    )
