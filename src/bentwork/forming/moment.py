"""Bending moment against curvature of any section of stock, for a metal that hardens.

Plane sections stay plane, the neutral line stays in the middle, and strain is height times curvature (Timoshenko,
Strength of Materials, Part II, and any textbook of plastic bending): M(k) = 2 int s(k y) y b(y) dy over the upper half.
Every piece of the section is cut at the height where the metal begins to yield, so that Gauss-Legendre quadrature meets
smooth functions only; all curvatures are done in one sweep.

Curvatures in 1/mm, moments in N m, work in N (that is N mm per mm of bar).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Protocol, TypeAlias

import numpy as np
from numpy.typing import NDArray

from bentwork.forming.breadth import Piece, pieces
from bentwork.forming.hardening import Law
from bentwork.stock.section import Section, Way

__all__ = ["Bar", "Curve", "Floats", "Swift", "moments", "works"]

Floats: TypeAlias = NDArray[np.float64]

_POINTS, _WEIGHTS = np.polynomial.legendre.leggauss(20)
_HALF = 0.5 * (_POINTS + 1.0)
_STEPS, _STEP_WEIGHTS = _HALF**2, _HALF * _WEIGHTS
# Points crowd towards the elastic core, where a power law is steepest: 1e-7 of error becomes 5e-12 by that alone.


@dataclass(frozen=True, slots=True)
class Curve:
    """Moment against curvature, point by point.

    Args:
        curvatures: 1/mm, shape (n,).
        moments: N m, shape (n,).
    """

    curvatures: Floats
    moments: Floats


@dataclass(frozen=True, slots=True)
class Bar:
    """A section bent one way, in a metal that follows a law.

    Wherever a ``strength`` can be given, it says how many times as strong as its law the metal is at every strain: real
    bars are stronger than their standard promises. It may be an array that broadcasts against the curvatures.

    Args:
        section: of the bar.
        law: of the metal.
        way: which way it is bent.
    """

    section: Section
    law: Law
    way: Way = "easy"
    pieces: tuple[Piece, ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "pieces", pieces(self.section, self.way))

    @property
    def stiffness(self) -> float:
        """E I, N mm2."""
        return self.law.modulus * self.section.bending(self.way).second_moment

    def yield_curvatures(self, strength: Floats) -> Floats:
        """Return the curvatures at which the outermost fibre begins to yield, 1/mm, in the shape of the strengths."""
        return self.law.yields_at(strength) / self.section.bending(self.way).half_depth

    def yield_curvature(self, strength: float = 1.0) -> float:
        """Return the curvature at which the outermost fibre begins to yield, 1/mm."""
        return float(self.yield_curvatures(np.array(strength)))

    def moment(self, curvature: Floats | float, strength: Floats | float = 1.0) -> Floats:
        """Return the bending moment at curvatures of 0 or more, N m, in their shape."""
        return self._of(moments, curvature, strength)

    def work(self, curvature: Floats | float, strength: Floats | float = 1.0) -> Floats:
        """Return the work of bending straight bar to curvatures, N mm per mm of bar: the moment added up on the way."""
        return self._of(works, curvature, strength)

    def curve(self, greatest: float, points: int = 65, strength: float = 1.0) -> Curve:
        """Return the moment from straight to the greatest curvature, 1/mm, at ``points`` even steps, 2 or more."""
        curvatures = np.linspace(0.0, greatest, points)
        return Curve(curvatures, self.moment(curvatures, strength))

    def _of(self, what: Callable[..., Floats], curvature: Floats | float, strength: Floats | float) -> Floats:
        given = np.asarray(curvature, dtype=np.float64), np.asarray(strength, dtype=np.float64)
        return what(self, self.law, *np.broadcast_arrays(*given, self.law.yields_at(given[1])))


class Swift(Protocol):
    """The constants of one metal, or a column of them, a row for each curvature: see ``hardening.Law``."""

    @property
    def modulus(self) -> float | Floats: ...  # noqa: D102
    @property
    def strength(self) -> float | Floats: ...  # noqa: D102
    @property
    def exponent(self) -> float | Floats: ...  # noqa: D102
    @property
    def offset(self) -> float | Floats: ...  # noqa: D102


def moments(bar: Bar, law: Swift, curvature: Floats, strength: Floats, start: Floats) -> Floats:
    """Return bending moments of a section in a metal, or in a metal of its own for each curvature, N m.

    Args:
        bar: gives the section, bent its way.
        law: of the metal; a column of metals goes with the curvatures in their order.
        curvature: of 0 or more, 1/mm.
        strength: how many times as strong as its law each is, in the same shape.
        start: strain at which each begins to yield, in the same shape.
    """

    def core(height: Floats, bent: Floats, factor: Floats, start: Floats) -> Floats:
        return law.modulus * bent * height**2

    def shell(height: Floats, bent: Floats, factor: Floats, start: Floats) -> Floats:
        return factor * law.strength * (law.offset + bent * height) ** law.exponent * height

    return _added_up(bar, curvature, strength, start, core, shell) / 1000.0


def works(bar: Bar, law: Swift, curvature: Floats, strength: Floats, start: Floats) -> Floats:
    """Return the work of bending, N mm per mm of bar; as ``moments``."""
    rise = law.exponent + 1.0

    def core(height: Floats, bent: Floats, factor: Floats, start: Floats) -> Floats:
        return 0.5 * law.modulus * (bent * height) ** 2

    def shell(height: Floats, bent: Floats, factor: Floats, start: Floats) -> Floats:
        plastic = ((law.offset + bent * height) ** rise - (law.offset + start) ** rise) / rise
        return 0.5 * law.modulus * start**2 + factor * law.strength * plastic

    return _added_up(bar, curvature, strength, start, core, shell)


def _added_up(
    bar: Bar,
    curvature: Floats,
    strength: Floats,
    start: Floats,
    core: Callable[[Floats, Floats, Floats, Floats], Floats],
    shell: Callable[[Floats, Floats, Floats, Floats], Floats],
) -> Floats:
    """Integrate over the section: ``core`` where it is elastic, ``shell`` where it yields; upper half times two."""
    bent, factor, first = (array.reshape(-1, 1) for array in (curvature, strength, start))
    border = first / np.maximum(bent, np.finfo(np.float64).tiny)
    total = np.zeros((bent.shape[0], 1))
    for piece in bar.pieces:
        bottom, top = piece.span
        middle = piece.coordinate(border)
        total += _integral(piece, bottom, middle, core, bent, factor, first)
        total += _integral(piece, middle, top, shell, bent, factor, first)
    return 2.0 * total.reshape(curvature.shape)


def _integral(
    piece: Piece,
    bottom: Floats | float,
    top: Floats | float,
    density: Callable[[Floats, Floats, Floats, Floats], Floats],
    *state: Floats,
) -> Floats:
    """Integrate a density over part of a piece; one row for each curvature."""
    extent = top - bottom
    coordinate = bottom + extent * _STEPS
    values = density(piece.height(coordinate), *state) * piece.weight(coordinate)
    return extent * (values @ _STEP_WEIGHTS)[:, np.newaxis]
