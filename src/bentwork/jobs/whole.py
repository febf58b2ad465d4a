"""A job worked out to the end: what there is to say of its frame, its parts and its finish, with the rest."""

from __future__ import annotations

from collections.abc import Callable

from bentwork.jobs.bracket import with_brackets
from bentwork.jobs.carried import is_reckoned, with_carried
from bentwork.jobs.finish import with_finish
from bentwork.jobs.fit_round import is_fitted, with_fit_round
from bentwork.jobs.small_parts import with_small_parts
from bentwork.jobs.welding import with_welding
from bentwork.jobs.work import Result

__all__ = ["whole", "whole_but_carried"]

_OTHERS = (with_small_parts, with_brackets, with_fit_round, with_welding, with_finish)


def whole(result: Result, between: Callable[[], object] = lambda: None) -> Result:
    """Return a result with all that there is to say about the job among its findings, by weight.

    Args:
        result: of the job.
        between: called between the steps that take long; what it raises ends the work.
    """
    return _with_others(with_carried(result, between))


def whole_but_carried(result: Result) -> tuple[Result, bool]:
    """Return the same without what takes long, unless that is at hand; and whether all of it is there.

    It takes long to reckon what the frame carries, and how near it comes to things, which hangs on its load.
    """
    reckoned, fitted = is_reckoned(result), is_fitted(result)
    most = _with_others(with_carried(result) if reckoned else result, fitted=fitted)
    return most, reckoned and fitted


def _with_others(result: Result, *, fitted: bool = True) -> Result:
    for more in _OTHERS:
        if fitted or more is not with_fit_round:
            result = more(result)
    return result
