"""What is made of a piece and stands nowhere in the frame, since the job does not say where."""

from __future__ import annotations

from bentwork.findings import Finding
from bentwork.jobs.job import PieceSpec
from bentwork.jobs.work import Result

__all__ = ["left_out", "not_in_the_frame", "not_placed"]


def not_placed(spec: PieceSpec) -> tuple[Finding, ...]:
    """Return what to say of a piece whose copies or whose opposite hand are not all placed; else nothing."""
    why, do = [], []
    if spec.count > 1 and not spec.at:
        left = f"{spec.count - 1} of them {'is' if spec.count == 2 else 'are'} not placed"
        why.append(f"{spec.count}{' of each hand' * spec.mirror} are made, and {left}")
        do.append("Say where they stand: at = [[…], …].")
    if spec.mirror and spec.mirror_in is None:
        why.append(
            f"the {spec.other_hand} one is not placed" if spec.count == 1 else f"no {spec.other_hand} one is placed"
        )
        do.append('Say where the other hand stands: mirror_in = { axis = "y", at = … }.')
    return (not_in_the_frame(spec.name, "; ".join(why), " ".join(do)),) if why else ()


def not_in_the_frame(piece: str, why: str, do: str, *, stops: bool = False) -> Finding:
    """Return the finding that not all of a piece stands in the frame.

    Args:
        piece: its name.
        why: half a sentence.
        do: what to do about it.
        stops: there is none of it at all.
    """
    return Finding(
        "stop" if stops else "watch",
        "not-in-the-frame",
        f"Not all of {piece} stands in the frame: {why}.",
        "What is not placed carries nothing in the reckoning.",
        do,
        piece=piece,
    )


def left_out(result: Result) -> tuple[str, ...]:
    """Return, for models and pictures of the frame, what of its pieces they do not show, and what to do about it."""
    found = (one for plan in result.pieces if plan.line is not None for one in not_placed(plan.spec))
    return tuple(f"{one.says} {one.do}" for one in found)
