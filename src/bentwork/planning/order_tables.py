"""Which bend can be made after which others, with which end held, on which mounting: the whole table."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from concurrent.futures import ThreadPoolExecutor

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.bodies import rows_of
from bentwork.clearance.distances import MOUNTING
from bentwork.clearance.kinds import case_table, way_table
from bentwork.clearance.lever import lever_gaps
from bentwork.clearance.workpiece import End, Workpiece
from bentwork.planning.order_bar import pair_masks, stretches
from bentwork.planning.order_needs import needs_of
from bentwork.planning.order_path import combined, take_out
from bentwork.planning.order_problem import Progress
from bentwork.planning.order_sides import side_masks
from bentwork.tolerances import CLEARANCE_CHORD
from bentwork.tooling.bender import Bender
from bentwork.tooling.shop import Mounting

__all__ = ["Tables"]

Flags = NDArray[np.int64]
Masks = NDArray[np.uint16]
_ALL_CLEAR = np.zeros((0, 0), dtype=np.int64)
_SMALL, _AT_A_TIME = 9, 4  # bends that are not worth sharing out; how many are worked out at a time
_KEPT = 16  # bends; the sides of a longer piece are worked out anew where they are wanted again, to save memory


class Tables:
    """The bodies and the masks of one piece on one bender, filled bend by bend.

    Args:
        piece: the bar.
        bender: it is bent on.
        mountings: at most eight; None for nothing round the bender.
        clearance: least gap, mm.
        start: bends that are made already, as bits.
    """

    def __init__(
        self, piece: Workpiece, bender: Bender, mountings: Sequence[Mounting | None], clearance: float, start: int
    ) -> None:
        self.piece, self.bender, self.mountings = piece, bender, mountings
        self.clearance, self.start = clearance, start
        own = rows_of(bender, None, piece.depth)
        rooms = [rows_of(bender, mounting, piece.depth).copy() for mounting in mountings if mounting is not None]
        for number, room in enumerate(rooms):
            room[:, :, MOUNTING] = number
        self.bodies = np.concatenate([own, *rooms], axis=1)
        self.cases, self.bar_cases = case_table(bender.kind)
        self.offsets = np.array(piece.rows)
        self._lever = [(0.0, np.inf)] * len(mountings)  # how far it is known to get, and how far not
        self._kept: dict[int, tuple[Masks, Masks]] = {}
        self.table = np.zeros((piece.bends, 2**piece.bends), dtype=np.uint16)
        self.changed = np.zeros(2**piece.bends, dtype=np.bool_)  # sets out of which ``rule_out`` took a way

    def fill_all(self, progress: Progress | None, *, with_bar: bool) -> bool:
        """Work out every bend, several at a time; return True when ``progress`` said stop."""
        bends = range(self.piece.bends)
        for bend in sorted(bends, key=lambda bend: -self.piece.pulls[bend]):
            self._allowed(bend)  # the furthest pull first: where the lever gets that far, it gets everywhere
        if len(bends) < _SMALL:
            for bend in bends:
                self.fill(bend, with_bar=with_bar)
            return progress is not None and bool(bends) and progress(len(bends), len(bends))
        with ThreadPoolExecutor(_AT_A_TIME) as workers:  # the kernels let go of the interpreter
            outer_first = sorted(bends, key=lambda bend: min(bend, bends[-1] - bend))  # they take longest
            work = [workers.submit(self.fill, bend, with_bar=with_bar) for bend in outer_first]
            for done, one in enumerate(work, 1):
                one.result()
                if progress is not None and progress(done, len(work)):
                    workers.shutdown(wait=False, cancel_futures=True)
                    return True
        return False

    def first_hopeless(self, bends: Iterable[int]) -> int | None:
        """Work out these bends; return the first that can never be made, whatever is made before it; None for none."""
        for bend in bends:
            self.fill(bend, with_bar=False)
            if not (self.start >> bend) & 1 and not self.table[bend].any():
                return bend
        return None

    def fill(self, bend: int, *, with_bar: bool) -> None:
        """Work out one bend; without ``with_bar`` the bar is not held against itself, which costs as much again."""
        start = self._allowed(bend)
        if start == 0 or (self.start >> bend) & 1:
            return
        piece = self.piece
        settings = piece.settings(bend, self.bender)
        a, b = self._sides(bend, start, settings)
        if a[:, 0].any() and b[:, 0].any():
            apart, a_is_outer = self._apart(bend, a, b, settings) if with_bar else (_ALL_CLEAR, True)
            self.table[bend] = 0
            leaves = 2**bend - 1, 2 ** (piece.bends - bend - 1) - 1
            combined(bend, piece.bends, a[leaves[0] :], b[leaves[1] :], apart, a_is_outer, self.table)

    def rule_out(self, bend: int, made: int, end: End, free: int, held: int) -> None:
        """Take a way of making a bend in which the bar hits itself out of the table.

        It does so after every set of bends that is the same as ``made`` on the next ``free`` bends on the free side and
        the next ``held`` ones on the held side, whatever the mounting.
        """
        back, ahead = (held, free) if end == "A" else (free, held)
        same = sum(1 << other for other in range(bend - back, bend + ahead + 1))
        take_out(self.table, bend, same, made, 0xAAAA if end == "A" else 0x5555, self.changed)

    def _allowed(self, bend: int) -> int:
        """Bits that the lever itself leaves: it must get to the angle in the mounting."""
        bits = 0
        for number, mounting in enumerate(self.mountings):
            reaches, fails = self._lever[number]
            pull = self.piece.pulls[bend]
            if reaches < pull < fails:
                hit = lever_gaps(self.bender, mounting, self.piece.depth, pull, max(self.clearance, 1e-9))
                self._lever[number] = (reaches, pull) if hit else (pull, fails)
            if pull <= self._lever[number][0]:
                bits |= 3 << (2 * number)
        return bits

    def _sides(self, bend: int, start: int, settings: NDArray[np.float64]) -> tuple[Masks, Masks]:
        """Masks of both sides; whether the bar gets off sideways is looked at only where up is barred somewhere."""
        if bend not in self._kept:
            stuck = np.zeros(2, dtype=np.int64)  # for good; on trial
            ways, names = way_table(self.bender.kind, self.piece.angles[bend])
            for count in range(1, len(names) + 1):
                more = count < len(names)
                a = self._side(bend, "A", start, settings, ways, count, stuck, give_up=more)
                if stuck[0] and more:
                    continue
                b = self._side(bend, "B", start, settings, ways, count, stuck, give_up=more)
                if not stuck[0]:
                    break
            if self.piece.bends > _KEPT:
                return a, b
            self._kept[bend] = a, b
        return self._kept[bend]

    def _side(
        self,
        bend: int,
        end: End,
        start: int,
        settings: NDArray[np.float64],
        ways: NDArray[np.float64],
        way_count: int,
        stuck: Flags,
        *,
        give_up: bool,
    ) -> Masks:
        first, bends = self.piece.side(bend, end)
        held = sum(1 << (2 * number + (end == "B")) for number in range(len(self.mountings)))
        free = sum(1 << (2 * number + (end == "A")) for number in range(len(self.mountings)))
        others = range(bend - 1, -1, -1) if end == "A" else range(bend + 1, self.piece.bends)
        must = sum(1 << i for i, other in enumerate(others) if (self.start >> other) & 1)
        masks: Masks = side_masks(
            first,
            bends,
            np.array(needs_of(self.bender, self.piece, bend)),
            self.offsets,
            self.piece.thick + self.clearance,
            CLEARANCE_CHORD,
            start,
            np.array([held, free], dtype=np.int64),
            self.bodies,
            self.cases,
            ways,
            way_count,
            settings,
            must,
            stuck,
            give_up,
        )
        return masks

    def _apart(self, bend: int, a: Masks, b: Masks, settings: NDArray[np.float64]) -> tuple[Flags, bool]:
        piece = self.piece
        turns = sum(piece.angles) - piece.angles[bend] + piece.pulls[bend]
        if turns < np.pi - 1e-9:
            return _ALL_CLEAR, True
        sides = {end: piece.side(bend, end) for end in ("A", "B")}
        alive = {"A": np.ascontiguousarray(a[:, 0]), "B": np.ascontiguousarray(b[:, 0])}
        outer, inner = ("A", "B") if len(a) >= len(b) else ("B", "A")
        runs = {end: stretches(first, bends, CLEARANCE_CHORD, alive[end]) for end, (first, bends) in sides.items()}
        apart: Flags = pair_masks(
            runs[outer],
            runs[inner],
            alive[outer],
            alive[inner],
            len(sides[outer][1]),
            len(sides[inner][1]),
            outer == "B",
            piece.closed,
            2.0 * piece.thick + self.clearance,
            self.offsets,
            self.bar_cases,
            settings,
        )
        return apart, outer == "A"
