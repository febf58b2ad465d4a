"""One kind of bar on one bender: what the metal's model has to be told about the tool. Lengths in mm."""

from __future__ import annotations

from dataclasses import dataclass

from bentwork.forming.die_bend import Arms
from bentwork.forming.prediction import Prediction, SpringsStraight, predict
from bentwork.stock.material import Material
from bentwork.stock.section import Section, Way
from bentwork.tooling.bender import Bender

__all__ = ["SetUp"]


@dataclass(frozen=True, slots=True)
class SetUp:
    """A bar, bent one way, on a bender.

    Args:
        section: of the bar.
        material: of the bar.
        bender: with its die.
        way: which way a flat or rectangular section is bent.
    """

    section: Section
    material: Material
    bender: Bender
    way: Way = "easy"

    @property
    def arms(self) -> Arms:
        """Straight bar that bends beside the die: back to the middle of the hook, ahead to the follower.

        What the bender's owner has not measured counts as none, and so do the legs of formers and punches, whose
        angle is read beyond the rollers.
        """
        bender = self.bender
        if bender.kind in ("ram", "vee"):
            return Arms()
        held = bender.hook.starts_behind + bender.hook.length / 2.0 if bender.hook else 0.0
        return Arms(held, bender.follower.ahead if bender.follower else 0.0)

    @property
    def fits(self) -> bool:
        """Tell whether the bar goes round the die at all: its middle must lie further out than half its depth."""
        return self.bender.radius > self.section.depth(self.way) / 2.0

    def predicted(self, wanted: float) -> Prediction | SpringsStraight:
        """Return what the handbook says of a bend.

        Args:
            wanted: angle that is to be left, degrees.

        Raises:
            ValueError: the bar does not fit round the die, or the angle is no bend.
        """
        arms = self.arms
        return predict(
            self.section,
            self.material,
            self.way,
            self.bender.radius,
            wanted,
            held_arm=arms.held,
            free_arm=arms.free,
        )
