"""What the page starts from where a job says nothing of a load: a guess at payload and fixings, to be corrected."""

from __future__ import annotations

from typing import Any

from bentwork.carry.fasteners import BOLT_CLASSES, COARSE_PITCH
from bentwork.carry.uses import USES
from bentwork.jobs.job import Job
from bentwork.jobs.load_start import first_guess
from bentwork.jobs.work import Result
from bentwork.space import Vec
from bentwork.web.wire import Change
from bentwork.web.wire_carry import CarryOut

_GUESS = "20 lb"  # where lengths are inches: about as much, and a round number there

__all__ = ["bolt_sizes", "copies_of", "nothing_asked"]


def nothing_asked(sum_of_file: str, result: Result) -> CarryOut:
    """Return the answer to a job that says nothing of a load, with a guess to start from."""
    says = "The job does not say what is carried: it needs a payload and something that holds the frame."
    lists = ("findings", "cases", "gives", "fixings", "joints", "motions", "bars", "tabs")
    none: dict[str, Any] = {name: [] for name in lists}
    return CarryOut(
        sum=sum_of_file,
        asked=False,
        says=says,
        copies=copies_of(result.job),
        uses=list(USES),
        bolt_sizes=bolt_sizes(),
        bolt_classes=list(BOLT_CLASSES),
        start=_start(result),
        enough=None,
        payload=None,
        case=0,
        drawn_times=1.0,
        proof=None,
        **none,
    )


def copies_of(job: Job) -> list[str]:
    """Names that a fixing may hold: pieces that stand once, and copies of the others."""
    return [name for spec in job.pieces for name in spec.copy_names]


def bolt_sizes() -> list[str]:
    """Threads that a bolt may have, as the job file names them."""
    return [f"M{size:g}" for size in COARSE_PITCH]


def _start(result: Result) -> list[Change]:
    guess = first_guess(result)
    if guess is None:
        return []
    ruler = result.job.ruler

    def place(at: Vec) -> list[Any]:
        return [round(ruler.number(c), 3) for c in at]

    mass = int(guess.mass) if ruler.units == "mm" else _GUESS
    payload = {"mass": mass, "centre": place(guess.centre), "on": [guess.on]}
    changes = [Change(path=["payload"], value=payload)]
    for name, (piece, at) in zip(("first", "second"), guess.held, strict=False):
        changes.append(Change(path=["fixing", name], value={"piece": piece, "at": place(at), "held": "fixed"}))
    return changes
