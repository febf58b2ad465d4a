"""What was worked out before and depends on nothing else: a change to one piece leaves all the others as they are.

The values that go in are frozen, and what comes out is theirs alone; so what is kept is what would be worked out again.
A search that was broken off has no say: what it gave is never kept. One asks at a time: whoever works out several jobs
at once lets them wait for one another.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import Generic, TypeVar

from bentwork.planning.order_problem import Progress

__all__ = ["Kept"]

T = TypeVar("T")


class Kept(Generic[T]):
    """Answers by what they depend on, those asked for last.

    Args:
        most: how many are kept.
    """

    def __init__(self, most: int) -> None:
        self._most = most
        self._answers: dict[Hashable, tuple[T]] = {}  # None may be an answer; the one asked for last stands last

    def has(self, key: Hashable) -> bool:
        """Tell whether the answer to what ``key`` says is there already."""
        return key in self._answers

    def of(self, key: Hashable, make: Callable[[Progress], T], progress: Progress | None = None) -> T:
        """Return the answer to what ``key`` says, made now or before.

        Args:
            key: everything that the answer depends on.
            make: makes it; is given what to call with how much is done and of how much.
            progress: see ``order_problem.Progress``; not called for what is kept.
        """
        known = self._answers.pop(key, None)  # no moment between looking and taking: somebody may ask beside us
        if known is not None:
            self._answers[key] = known
            return known[0]
        stopped = False

        def watched(done: int, of: int) -> bool:
            nonlocal stopped
            stopped = (progress is not None and progress(done, of)) or stopped
            return stopped

        answer = make(watched)
        if not stopped:
            self._answers[key] = (answer,)
            for old in list(self._answers)[: max(0, len(self._answers) - self._most)]:
                self._answers.pop(old, None)
        return answer
