"""A finding: one thing that the tool has to say about a job.

Texts are templates: ``{name}`` stands for the length or point of that name in ``lengths`` (mm), or for the mass, force
or torque of that name in ``loads``, so that one finding can be told in millimetres and kilograms or in inches and
pounds. ``<1 mm|1/32 in>`` is a size usual in either shop. Everything else (angles, counts, names) is in the text.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from bentwork.amounts import Load
from bentwork.space import Vec
from bentwork.units import Ruler

__all__ = ["CODES", "Finding", "Level", "by_weight", "has_stop"]

Level = Literal["stop", "watch", "note"]

_AMOUNT = re.compile(r"\{(\w+)\}")
_WEIGHT: dict[Level, int] = {"stop": 0, "watch": 1, "note": 2}

CODES: Mapping[str, str] = {
    "as-near-as-it-comes": "What would bring a bar nearer to its drawing is finer than a hand sets a bend.",
    "asked-for-but-not-there": "A joint, fixing, strap or bearing is asked for where the frame has no piece.",
    "bar-too-short": "The piece is longer than the bar it is cut from.",
    "bar-cracks": "The bar is stretched further in a bend than its metal takes.",
    "bar-meets-itself": "The end of a piece touches the piece itself, where nothing is joined.",
    "bar-springs-straight": "The die is so big for the bar that nothing of the bend is left.",
    "bars-nearly-touch": "The end of a bar stands close to another but is not joined to it.",
    "bend-beyond-tool": "A bend has to be pulled further than the bender goes.",
    "bender-cannot-be": "Sizes of a bender or of what stands round it cannot be together.",
    "bend-left-wider": "The bend that is left is wider than the die, and nothing measured says where the marks go.",
    "bend-runs-on": "Two bends follow one another with no straight between them.",
    "bends-sideways": "A pressed bar is near enough to buckling to move more than is told.",
    "block-makes-another-radius": "A V-block makes another radius than the job says.",
    "blocks-leave-gap": "The spacer blocks of the workshop do not make the room between two bars.",
    "bolt-hole-weakens": "A bolt's hole, if there is one in the bar itself, would leave too little of the bar.",
    "carries": "What the frame carries with the required safety, and what gives first.",
    "carries-too-little": "The frame does not carry its payload with the required safety.",
    "closed-tube": "A tube is closed at both ends: the air in it has to get out when it is welded or heated.",
    "comes-close": "In some step the bar comes close to something.",
    "cope-beside-bar": "A coped bar reaches beside the bar that it sits on.",
    "cope-too-deep": "A cope is deeper than its bar is thick.",
    "corner-doubled": "Two corner points stand on the same spot.",
    "corner-flat": "A corner point lies on a straight line: there is nothing to bend.",
    "corner-folds-back": "The bar comes straight back on itself at a corner.",
    "corner-too-close": "Two corners are too close together for their bends.",
    "corners-sharp": "A square tube is reckoned with sharp corners: the real one is rounded and bears less.",
    "crossbars-overlap": "Two bars stand in one another on the bar that both end on.",
    "does-not-pass": "The frame does not go through a door or into a stand.",
    "end-meets-bend": "A bar is to end on another where that is bent.",
    "end-needs-trim": "The longest point of a bent bar lies beyond the end as it is drawn, and the trim is too short.",
    "cut-reaches-bend": "The cut of an end reaches into the bend before it, or into the other end.",
    "cutting-unproven": "A cheaper way to cut the bars may exist: the search was stopped.",
    "ends-apart": "The ends of a closed piece do not meet.",
    "ends-meet-nothing": "The ends of a piece are to sit on other bars, and meet none.",
    "ends-pass": "The spare ends of a closed piece are in each other's way in the last bend.",
    "estimate-only": "A reckoned load is an estimate, not a certificate.",
    "far-from-drawn": "A bend was logged with an angle, a rotation or a place that is far from the drawn one.",
    "far-from-sketch": "A measured point comes out far from where it is sketched.",
    "fatigue": "How long welds and bends last under an assumed road.",
    "filler-does-not-suit": "The filler that welds are reckoned with does not suit a metal.",
    "finish-does-not-suit": "A metal cannot have the finish that is asked for, or is left to rust.",
    "fixing-beside-bar": "A fixing stands beside the bar it holds.",
    "held-by-tab": "A fixing holds in the hole of a tab.",
    "flat-reaches-bend": "A flattened end, or what a tube takes to be round again, is longer than its straight.",
    "flat-takes-less": "Tight bends of flat bar take less bar than their middle is long.",
    "forced-on": "A piece will likely not go onto its fixings by hand.",
    "frame-can-move": "Part of the frame can move without bending: joints and fixings leave it free.",
    "groove-does-not-fit": "The groove of the die and the bar do not go together.",
    "hits-tool": "A bend cannot be made in any order: the bar hits something.",
    "hole-close-to-edge": "A bolt's hole is closer to an edge than the standards allow.",
    "hole-in-bend": "A hole lies in a bend, or reaches into one.",
    "hole-near-bend": "A hole is so near a bend that it is drilled when the bend is made.",
    "hole-near-edge": "A hole in a part that carries the bending force lies too close to an edge.",
    "hole-off-piece": "A hole reaches over the edge of its piece, or its place is not in the bar or not on its side.",
    "hole-over-corner": "A hole reaches into the rounded corner of a tube.",
    "hole-weakens-bar": "A hole drilled into a bar leaves clearly less of its strength in bending.",
    "holes-close-together": "Two holes stand so close together that little metal is left between them.",
    "in-keep-out": "A bar stands in a keep-out.",
    "isocyanate-paint": "A paint hardens with an isocyanate, whose spray harms lungs for good.",
    "job-changed-since": "Bends were logged to another version of the job file than this one.",
    "joints-to-confirm": "Joints are taken for welded because bars touch.",
    "kerf-not-said": "The job does not say how wide the saw cuts.",
    "left-and-right-differ": "Measured points of left and right differ by more than the readings' own error.",
    "letters-not-printed": "A name has letters that the typeface of the papers does not have.",
    "lever-too-heavy": "The lever takes more force than a person can hold.",
    "likely-to-miss": "A piece will more likely miss its tolerance than keep it.",
    "loads-not-at-hand": "A standard that could not be read has the last word on the loads.",
    "measure-first": "A finished piece was measured too little to say whether it is good.",
    "meets-too-flat": "A bar meets another at so small an angle that it is not cut to it.",
    "mend-comes-close": "A mended step comes closer to something than the plan's.",
    "metals-touch": "Two metals that corrode one another touch where it can get wet.",
    "model-bent-both-ways": "A model shows bends of a flat or a rectangle both ways; a piece is planned one way.",
    "model-cut-reaches-beyond": "A slanting cut of a model reaches further than the bar is cut.",
    "model-is-a-curve": "A piece taken off a model is a free curve: its bends are the nearest arcs.",
    "model-of-other-bar": "A model shows another bar than the stock that the piece is made of.",
    "near-keep-out": "A bar comes closer to a keep-out than is wanted.",
    "no-bar-on-sale": "The job does not say in which lengths a bar is sold.",
    "no-bender": "A piece has bends but no bender is named for it.",
    "no-fixing": "Nothing holds the frame.",
    "no-order-left": "The bends that are left cannot be made in any order any more.",
    "not-in-the-frame": "A piece, or a copy of it, stands nowhere in the frame and carries nothing.",
    "not-to-be-welded": "A metal is welded from which no load-carrying frame is welded.",
    "order-not-as-drawn": "The order of the drawing would hit something; the plan's does not.",
    "order-planned-anew": "Bends were made in another order than planned; the rest is planned anew.",
    "order-unchecked": "Nothing is known of what the bar may hit on the way.",
    "order-unproven": "The search for an order was stopped: a better one may exist.",
    "other-radius": "A bend is drawn to another radius than the die makes.",
    "part-too-weak": "A part that carries the bending force is too weak beside its hole.",
    "payload-lifts": "In some load case the payload lifts off what bears it.",
    "payload-over-nothing": "The payload lies on nothing.",
    "payload-tips": "The payload tips over the edge of what bears it.",
    "piece-loose": "A piece is joined to nothing that is held.",
    "pieces-in-one-another": "Two pieces stand in the same place or run through one another.",
    "point-not-sure": "A measured point is known less surely than is wanted.",
    "point-not-told": "The readings do not say where a measured point is.",
    "price-not-known": "Something to buy has no price in the job.",
    "radius-inside-bar": "The radius to the middle of the bar lies inside the bar itself.",
    "reading-in-doubt": "Something was measured that does not go with the rest of what was measured.",
    "rollers-do-not-suit": "A bend cannot be made between rollers or shoulders that stand so.",
    "seam-elsewhere": "A closed piece would be joined better at another place.",
    "set-by-hand": "Bends that are made are best set by hand before going on.",
    "shakes-with-the-road": "The loaded frame swings at a frequency that roads and wheels shake at.",
    "slot-wanted": "A slot takes up what measuring errors do to a stay.",
    "spare-bar": "A spare bar is worth buying: not every piece comes out good.",
    "springback-doubtful": "The springback that the job gives is not what test bends or handbook say.",
    "springback-from-handbook": "How far a bar springs back is known from the handbook only.",
    "springback-from-test-bends": "How far a bar springs back is known from the maker's own test bends.",
    "start-again": "A new bar is cheaper than going on with this one.",
    "stay-bent-round": "A stay is bent because a straight one would foul something.",
    "stay-beside-frame": "A stay starts beside the bar that it is to start at.",
    "stay-fouls": "A stay fouls something, and no way round was found.",
    "stay-not-told": "A stay goes to a point that the readings do not tell.",
    "stiffness-far-apart": "Two bars, or springs of a fixing, are so unlike in stiffness that a size may be wrong.",
    "moves-too-far": "The frame would move so far that the reckoning does not hold.",
    "straight-too-short": "There is not enough straight bar for the hook or the follower.",
    "tab-misses-bar": "A tab does not stand on the bar that it is asked for on.",
    "test-bend-doubtful": "A test bend does not go with the others or with the handbook.",
    "thread-too-short": "A thread in soft metal strips before its bolt breaks.",
    "tool-overloaded": "The bar takes more moment than the bar that the tool is sold for.",
    "trim-too-short": "The spare length on the ends is less than errors of bending use up.",
    "tube-flattens": "A tube may flatten, wrinkle or kink in a bend.",
    "two-shapes-fit": "Two shapes fit the readings alike, such as a shape and its mirror image.",
    "use-not-said": "The job does not say what the frame is used for, so that only its weight at rest is reckoned.",
    "wall-dents": "The wall of a tube is so thin that it may dent before its metal gives.",
    "wall-thins": "The outside wall of a tube is stretched thinner in a bend.",
    "zinc-fume": "Zinc on a bar boils off as fume when it is welded.",
}
"""Every code a finding may carry, with what it means."""


@dataclass(frozen=True, slots=True)
class Finding:
    """What is the matter, why in numbers, and what to do.

    Args:
        level: ``stop`` (will not work or is not safe), ``watch`` (may go wrong) or ``note``.
        code: one of ``CODES``.
        says: the finding in one sentence.
        why: the numbers behind it.
        do: what to do about it.
        piece: name of the piece, None when the finding is about the whole job.
        bend: number of the bend, from 1 at end A.
        corner: number of the corner point, from 1 as written in the job.
        lengths: lengths and points that the texts mention, in mm.
        at: the place in the job that it is about, mm; None where it has no one place.
        loads: masses, forces and torques that the texts mention.
    """

    level: Level
    code: str
    says: str
    why: str = ""
    do: str = ""
    piece: str | None = None
    bend: int | None = None
    corner: int | None = None
    lengths: Mapping[str, float | Vec] = field(default_factory=dict)
    at: Vec | None = None
    loads: Mapping[str, Load] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if self.code not in CODES:
            raise ValueError(f"no finding is called {self.code!r}")

    def told(self, ruler: Ruler) -> tuple[str, str, str]:
        """Return ``(says, why, do)`` with every length and load in the maker's units."""
        words = {
            name: ruler.point(value) if isinstance(value, tuple) else ruler.length(value)
            for name, value in self.lengths.items()
        }
        words.update((name, ruler.told(load)) for name, load in self.loads.items())
        # What stands in braces and is no amount is somebody's name for something: it stays as it is.
        filled = (_AMOUNT.sub(lambda at: words.get(at[1], at[0]), text) for text in (self.says, self.why, self.do))
        says, why, do = map(ruler.usual, filled)
        return says, why, do

    def about(self, piece: str) -> Finding:
        """Return the same finding, said of the piece of this name."""
        return replace(self, piece=piece)


def by_weight(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Sort findings: stops first, then watches, then notes; the order within a level is kept."""
    return tuple(sorted(findings, key=lambda finding: _WEIGHT[finding.level]))


def has_stop(findings: Iterable[Finding]) -> bool:
    """Tell whether any finding is a stop."""
    return any(finding.level == "stop" for finding in findings)
