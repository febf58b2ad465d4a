"""What is the matter with a hole or a thread before any load is on it: too near an edge, too little thread."""

from __future__ import annotations

from bentwork.fastening.holding import LEAST_EDGE, edge_distances
from bentwork.findings import Finding

__all__ = ["edge_findings", "thread_findings"]


def edge_findings(hole: float, near: float | None, words: str, piece: str | None) -> tuple[Finding, ...]:
    """Return what there is to say of a hole and the edge nearest to it; nothing where that is not known.

    Args:
        hole: its diameter, mm.
        near: from its middle to the edge, mm.
        words: whose hole it is, such as ``the bolt of fixing foot``.
        piece: name of the piece it is in.
    """
    least, ahead, beside = edge_distances(hole)
    if near is None or near >= least - 1e-9:
        return ()
    return (
        Finding(
            "watch",
            "hole-close-to-edge",
            f"The hole of {words} stands {{near}} from an edge.",
            f"{LEAST_EDGE:g} times the hole, {{least}}, is the least (EN 1993-1-8, Table 3.3; EN 1999-1-1, "
            "Table 8.2, from memory).",
            "Move it in: {ahead} from the end that is pulled and {beside} from the side are usual.",
            piece=piece,
            lengths={"near": near, "least": least, "ahead": ahead, "beside": beside},
        ),
    )


def thread_findings(
    thread: str, grade: str, wanted: float, has: float, metal: str, words: str, piece: str | None
) -> tuple[Finding, ...]:
    """Return what there is to say of a tapped thread that is shorter than its bolt wants.

    Args:
        thread: its name.
        grade: class of the bolt.
        wanted: length of thread at which the bolt breaks first, mm.
        has: length there is, mm.
        metal: it is cut in.
        words: whose thread it is.
        piece: name of the piece it is in.
    """
    if has >= wanted:
        return ()
    return (
        Finding(
            "watch",
            "thread-too-short",
            f"The thread of {words} strips before the bolt breaks.",
            f"{thread} of class {grade} wants {{wanted}} of thread in {metal}, and has {{has}}.",
            "Take thicker metal, put a nut behind it, or use an insert.",
            piece=piece,
            lengths={"wanted": wanted, "has": has},
        ),
    )
