"""How much real bars and real benders differ from the handbook: where a maker's own test bends start from.

The spreads are wide on purpose. A standard promises a minimum, so the bar bought is nearly always stronger: 2,200
plates of hull steel with a minimum of 235 MPa had a mean of 308 MPa, 1.31 times, with 8 % scatter, and were fitted by
a lognormal (Sekulski, Annals of the University of Galati, fascicle XI; abstract seen). A bend works far up the curve,
where the tensile strength counts, and that lies less above its minimum: 1.05 to 1.2 times for 6082-T6, 6061-T6, S235
and 304 (typical against minimum values, from memory). 1.15 times with 12 % scatter covers both: 0.94 to 1.40.

The model leaves out flattening, friction that stretches the bar, softening on reversal and a bender that gives. Trade
overbends of 3 to 8 % for tube, and of 1 to 3 degrees on hand benders, lie partly above it. The figures for all that
are common practice, no source.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from bentwork.stock.material import Material

__all__ = ["CERTAINTY", "Correction", "Offset", "Prior", "Spread", "handbook_prior"]

CERTAINTY = 0.90
"""Part of all bends that should fall inside a predicted interval."""

_QUANTILE = 1.6448536269514722  # of the normal distribution at 95 %: leaves 5 % on either side
_WIDE = 1.959963984540054  # at 97.5 %: a standard's minimum or maximum is kept by all but a few bars


@dataclass(frozen=True, slots=True)
class Spread:
    """A factor that is lognormally distributed.

    Args:
        median: half of all lie below it.
        sigma: standard deviation of its logarithm.

    Raises:
        ValueError: the median is not above 0, or sigma below 0.
    """

    median: float
    sigma: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.median) and self.median > 0.0 and math.isfinite(self.sigma) and self.sigma >= 0.0):
            raise ValueError(f"a spread has a median above 0, not {self.median:g}, and a sigma of 0 or more")

    @property
    def low(self) -> float:
        """Lower end of the interval of ``CERTAINTY``."""
        return self.median * math.exp(-_QUANTILE * self.sigma)

    @property
    def high(self) -> float:
        """Upper end of the interval of ``CERTAINTY``."""
        return self.median * math.exp(_QUANTILE * self.sigma)


_ABOVE_MINIMUM = Spread(1.15, 0.12)


@dataclass(frozen=True, slots=True)
class Offset:
    """An angle that is normally distributed, degrees.

    Args:
        mean: its mean.
        sd: its standard deviation.
    """

    mean: float
    sd: float

    @property
    def half_width(self) -> float:
        """Half of the interval of ``CERTAINTY``."""
        return _QUANTILE * self.sd


@dataclass(frozen=True, slots=True)
class Correction:
    """What turns the model's springback into this bender's: springback = model_factor * model + lost_angle.

    Args:
        model_factor: on the springback that the model gives.
        lost_angle: play, and the bender itself giving, degrees.

    Raises:
        ValueError: the factor is not above 0.
    """

    model_factor: float = 1.0
    lost_angle: float = 0.0

    def __post_init__(self) -> None:
        if not (math.isfinite(self.model_factor) and self.model_factor > 0.0 and math.isfinite(self.lost_angle)):
            raise ValueError(f"a model factor is above 0, not {self.model_factor:g}")


@dataclass(frozen=True, slots=True)
class Prior:
    """What is known before the first test bend.

    Args:
        yield_factor: strength of the real bar over that of the material's figures, at every strain.
        model_factor: real springback over the model's.
        lost_angle: play, and the bender giving, degrees.
    """

    yield_factor: Spread
    model_factor: Spread = Spread(1.0, 0.25)
    lost_angle: Offset = Offset(0.5, 0.7)

    @property
    def correction(self) -> Correction:
        """The likeliest correction."""
        return Correction(self.model_factor.median, self.lost_angle.mean)


def handbook_prior(material: Material) -> Prior:
    """Return what the handbook knows of a material.

    A minimum: 1.15 times as strong, most between 0.94 and 1.40. A typical value: as it says, 10 %. A maximum: as the
    first, from the other side. Where a source limits the proof stress on both sides, the spread fills what is between.
    """
    proof, limit = material.proof_stress, material.proof_stress_maximum
    room = math.log(limit.value / proof.value) if limit is not None and limit.value > proof.value else None
    if proof.bound == "minimum":
        return Prior(_ABOVE_MINIMUM if room is None else Spread(math.exp(room / 2.0), room / (2.0 * _WIDE)))
    if proof.bound == "maximum":
        return Prior(Spread(1.0 / _ABOVE_MINIMUM.median, _ABOVE_MINIMUM.sigma))
    return Prior(Spread(1.0, 0.10 if room is None else max(0.10, room / _WIDE)))
