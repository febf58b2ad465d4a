"""What was worked out before is not worked out again, and what was broken off is not kept."""

from __future__ import annotations

from bentwork.jobs.kept import Kept
from bentwork.planning.order_problem import Progress


def test_an_answer_is_made_once() -> None:
    kept: Kept[int] = Kept(2)
    made: list[str] = []

    def make(name: str) -> int:
        def anew(progress: Progress) -> int:
            made.append(name)
            return len(made)

        return kept.of(name, anew)

    assert [make("a"), make("b"), make("a")] == [1, 2, 1]
    make("c")  # b was asked for longest ago, and goes
    assert [make("a"), make("c")] == [1, 3]
    assert make("b") == 4


def test_what_was_broken_off_is_not_kept() -> None:
    kept: Kept[bool] = Kept(2)

    def search(progress: Progress) -> bool:
        return not progress(1, 2)

    assert kept.of("a", search, lambda done, of: True) is False
    assert kept.of("a", search, lambda done, of: False) is True
    assert kept.of("a", search, lambda done, of: True) is True, "kept now; nothing is searched, nothing is broken off"
    assert kept.of("b", search) is True


def test_a_stop_that_is_taken_back_counts_all_the_same() -> None:
    kept: Kept[list[bool]] = Kept(2)
    stops = iter([True, False])

    def search(progress: Progress) -> list[bool]:
        return [progress(1, 2), progress(2, 2)]

    assert kept.of("a", search, lambda done, of: next(stops)) == [True, True]
    assert kept.of("a", search, lambda done, of: False) == [False, False]
