"""``[shop]``: what stands in the maker's workshop and is of use to every piece."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import ValidationInfo

from bentwork.files.job_faults import WrongFormError
from bentwork.files.job_model import MOST, Price, Table
from bentwork.files.job_values import DecimalKind, Distance, Listed, Plain, Size, WholeKind
from bentwork.parts.blocks import MOST_BLOCKS

__all__ = ["PaintTable", "ShopTable"]

_Share = Annotated[float, DecimalKind("a share from 0 to 0.95, such as 0.3", 0.0, 0.95)]


@dataclass(frozen=True)
class SparesKind(Plain):
    """Lengths to cut beyond what is made, by the name of their piece; each number is looked at by itself later."""

    wanted: str = "spare lengths by the name of their piece, from 0 to 100, such as { loop = 1 }"

    def read(self, value: Any, info: ValidationInfo) -> tuple[tuple[str, object], ...]:
        if not isinstance(value, dict) or len(value) > MOST:
            raise WrongFormError(self.wanted)
        return tuple((str(name), count) for name, count in value.items())


class ShopTable(Table):
    """``[shop]``."""

    blocks: Annotated[
        tuple[Size, ...], Listed(f"up to {MOST_BLOCKS} sizes of spacer blocks, [10, 20, 50, …]", 0, MOST_BLOCKS)
    ] = ()
    kerf: Distance = 0.0
    bar_ends: Distance = 0.0
    spares: Annotated[tuple[tuple[str, object], ...], SparesKind()] = ()
    test_bends: Annotated[int, WholeKind("how many lengths for test bends, from 0 to 20", 0, 20)] | None = None
    filler_price: Price | None = None
    disc_price: Price | None = None


class PaintTable(Table):
    """``[paint.NAME]``: a primer or a paint, and how far it goes."""

    coverage: Annotated[float, DecimalKind("m2 a litre, above 0, such as 8", 0.0, 1000.0, open_low=True)] | None = None
    coats: Annotated[int, WholeKind("how many coats, from 1 to 10", 1, 10)] = 1
    loss: _Share = 0.3
    price: Price | None = None
