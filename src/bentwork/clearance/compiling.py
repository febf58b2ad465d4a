"""Plain Python made fast: the one place that knows the compiler."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar, cast

from numba import njit

__all__ = ["compiled"]

Function = TypeVar("Function", bound=Callable[..., Any])


def compiled(function: Function) -> Function:
    """Return the function compiled on first use; the compiler keeps what it made on disk.

    Rounding is left as written (no fast maths), so that ties between orders are broken the same way on every machine.
    With NUMBA_DISABLE_JIT=1 in the environment the functions run as they are: a piece of 4 bends takes about a second.
    """
    return cast(Function, njit(cache=True, nogil=True, error_model="numpy")(function))
