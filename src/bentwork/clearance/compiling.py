"""Plain Python made fast: the one place that knows the compiler."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar, cast

from numba import njit
from numba.core import cgutils, config
from numba.extending import intrinsic
from numpy.typing import NDArray

__all__ = ["compiled", "compiled_in", "lent"]

Function = TypeVar("Function", bound=Callable[..., Any])
Array = TypeVar("Array", bound=NDArray[Any])


def compiled(function: Function) -> Function:
    """Return the function compiled on first use; the compiler keeps what it made on disk.

    Rounding is left as written (no fast maths), so that ties between orders are broken the same way on every machine.
    With NUMBA_DISABLE_JIT=1 in the environment the functions run as they are: a piece of 4 bends takes about a second.
    """
    return cast(Function, njit(cache=True, nogil=True, error_model="numpy")(function))


def compiled_in(function: Function) -> Function:
    """Return the function compiled into whatever calls it: for those to which many arrays are handed over often."""
    return cast(Function, njit(cache=True, nogil=True, error_model="numpy", forceinline=True)(function))


def _without_count(_typing: Any, array: Any) -> Any:  # noqa: ANN401 - the compiler's own building blocks have no types
    def build(context: Any, builder: Any, signature: Any, given: Any) -> Any:  # noqa: ANN401 - the same
        same = context.make_array(signature.args[0])(context, builder, given[0])
        nobody: Any = cgutils.get_null_value
        same.meminfo, same.parent = nobody(same.meminfo.type), nobody(same.parent.type)
        return same._getvalue()

    return array(array), build


def _as_it_is(array: Array) -> Array:
    return array


lent = cast(Callable[[Array], Array], _as_it_is if vars(config)["DISABLE_JIT"] else intrinsic(_without_count))
"""An array without the count of who holds it, for a compiled function's own arguments: counting takes a third of the
time of a short loop, more where two workers count on one array. The caller holds it for as long as the function runs;
nothing that is lent may be returned."""
