"""Threads of bolts: metric coarse, unified coarse and fine, and the drill to tap each after.

Metric: diameters and pitches ISO 261 and 262; pitches and basic minor diameters (ISO 724) read in a tap maker's table
of nut threads; drills read in a public chart (torquetoolbox.com, tap drill chart; M1.6 in another) and, M3 to M12, in a
program whose author compared them with the text of ISO 2306:1972. Limits of the minor diameter, clearance holes: below.
Unified: ASME B1.1; least and largest minor diameter of 2B read in a public table (microadvances.com, drill chart);
drills of the number, letter and fraction series read in the same chart as the metric ones. Metric drills for them are
ISO 2306: 1/4-20 and 3/8-16 read in a public file that quotes a tap dealer, the others from memory; that each lies
within the limits of its thread is tested.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from bentwork.units import INCH

__all__ = ["METRIC", "THREADS", "UNIFIED", "Series", "Thread", "thread_named"]

Series = Literal["M", "UNC", "UNF"]


@dataclass(frozen=True, slots=True)
class Thread:
    """A thread of 60 degrees.

    Args:
        name: ``M6``, ``1/4-20 UNC``.
        series: metric coarse, unified coarse or fine.
        diameter: major diameter, mm.
        pitch: mm.
        least_minor: of the nut thread, mm.
        most_minor: likewise; the 6H or 2B limit.
        drill: to tap after, mm.
        inch_drill: the drill of the number, letter or fraction series; empty where there is none.
    """

    name: str
    series: Series
    diameter: float
    pitch: float
    least_minor: float
    most_minor: float
    drill: float
    inch_drill: str = ""

    @property
    def minor(self) -> float:
        """Basic minor diameter of the nut thread, mm: d - 1.0825 P (ISO 724)."""
        return self.diameter - 1.0825 * self.pitch

    @property
    def rule_drill(self) -> float:
        """What the rule of thumb would drill, mm: d - P."""
        return self.diameter - self.pitch

    @property
    def stress_area(self) -> float:
        """Stress area, mm2: pi/4 (d - 0.9382 P)^2 (ISO 898-1; ASME B1.1 has 0.9743/n inch, which is 0.9743 P)."""
        taken = 0.9382 if self.series == "M" else 0.9743
        return math.pi / 4.0 * (self.diameter - taken * self.pitch) ** 2

    @property
    def clearance_hole(self) -> float:
        """Usual clearance hole, mm: ISO 273, medium; unified ASME B18.2.8, normal."""
        if self.series == "M":
            return _CLEARANCE[self.diameter]
        return _UNIFIED_CLEARANCE[self.name.split("-")[0]] * INCH

    def depth_share(self, drill: float) -> float:
        """Return how much of the full depth of thread, 5/8 H = 0.5413 P a side, a drill leaves; 1 is all of it."""
        return (self.diameter - drill) / (self.diameter - self.minor)


# ISO 965-1, tolerance of the minor diameter of 6H by pitch, mm. The standard's own formula (ASME B1.13M:2005, page 15,
# read in the public program ranf_thread_fast), 433 P - 190 P^1.22 below 1 mm, 230 P^0.7 from there on, in micrometres,
# gives every value to within 4 %: the standard prints it rounded to the preferred numbers R 40, whose steps are 6 %.
# Printed values read: 0.45, 0.5, 0.7 to 1 and 1.5 (a screw dealer's page of ISO 965 limits, quoted in a public
# program), 0.5 and 1 to 2 (engineersedge.com, internal metric threads M9 to M24, ASME B1.13M); 0.35, 0.4, 0.6, 2.5 and
# 3 by the formula, to which preferred number from memory.
_MINOR_6H = {
    0.35: 0.100, 0.4: 0.112, 0.45: 0.125, 0.5: 0.140, 0.6: 0.160, 0.7: 0.180, 0.8: 0.200, 1.0: 0.236, 1.25: 0.265,
    1.5: 0.300, 1.75: 0.335, 2.0: 0.375, 2.5: 0.450, 3.0: 0.500,
}  # fmt: skip

# diameter: pitch, drill
_METRIC = {
    1.6: (0.35, 1.25), 2.0: (0.4, 1.6), 2.5: (0.45, 2.05), 3.0: (0.5, 2.5), 3.5: (0.6, 2.9), 4.0: (0.7, 3.3),
    5.0: (0.8, 4.2), 6.0: (1.0, 5.0), 8.0: (1.25, 6.8), 10.0: (1.5, 8.5), 12.0: (1.75, 10.2), 14.0: (2.0, 12.0),
    16.0: (2.0, 14.0), 20.0: (2.5, 17.5), 24.0: (3.0, 21.0),
}  # fmt: skip

# ISO 273:1979, medium: read in the public library BOSL2 (screws.scad, which names ISO 273 and ASME B18.2.8) for all of
# them; M3 to M12 besides in a program whose author compared them with the text of the standard. A table of
# BS 4186:1967, the older series, has 14, 16 and 18 for M12, M14 and M16.
_CLEARANCE = {
    1.6: 1.8, 2.0: 2.4, 2.5: 2.9, 3.0: 3.4, 3.5: 3.9, 4.0: 4.5, 5.0: 5.5, 6.0: 6.6, 8.0: 9.0, 10.0: 11.0, 12.0: 13.5,
    14.0: 15.5, 16.0: 17.5, 20.0: 22.0, 24.0: 26.0,
}  # fmt: skip

# ASME B18.2.8, normal, inches: read in the public library bd_warehouse (clearance_hole_sizes.csv: #30, #18, #9, #2 and
# fractions); BOSL2 gives the same steps above the thread from 1/4 inch on.
_UNIFIED_CLEARANCE = {
    "#4": 0.1285, "#6": 0.1695, "#8": 0.1960, "#10": 0.2210, "1/4": 9 / 32, "5/16": 11 / 32, "3/8": 13 / 32,
    "7/16": 15 / 32, "1/2": 9 / 16, "5/8": 11 / 16,
}  # fmt: skip

# name, major diameter in inches, threads per inch, minor diameter 2B least and largest in inches, drill mm, inch drill
_UNC = (
    ("#4", 0.1120, 40, 0.0849, 0.0939, 2.35, "#43"), ("#6", 0.1380, 32, 0.104, 0.114, 2.85, "#36"),
    ("#8", 0.1640, 32, 0.130, 0.139, 3.5, "#29"), ("#10", 0.1900, 24, 0.145, 0.156, 3.9, "#25"),
    ("1/4", 0.25, 20, 0.196, 0.207, 5.1, "#7"), ("5/16", 0.3125, 18, 0.252, 0.265, 6.6, "F"),
    ("3/8", 0.375, 16, 0.307, 0.321, 8.0, "5/16"), ("7/16", 0.4375, 14, 0.360, 0.376, 9.4, "U"),
    ("1/2", 0.5, 13, 0.417, 0.434, 10.8, "27/64"), ("5/8", 0.625, 11, 0.527, 0.546, 13.5, "17/32"),
)  # fmt: skip
_UNF = (
    ("#10", 0.1900, 32, 0.156, 0.164, 4.1, "#21"), ("1/4", 0.25, 28, 0.211, 0.220, 5.5, "#3"),
    ("5/16", 0.3125, 24, 0.267, 0.277, 6.9, "I"), ("3/8", 0.375, 24, 0.330, 0.340, 8.5, "Q"),
    ("7/16", 0.4375, 20, 0.383, 0.395, 9.9, "25/64"), ("1/2", 0.5, 20, 0.446, 0.457, 11.5, "29/64"),
    ("5/8", 0.625, 18, 0.565, 0.578, 14.5, "37/64"),
)  # fmt: skip


def _metric(size: float) -> Thread:
    pitch, drill = _METRIC[size]
    least = size - 1.0825 * pitch
    return Thread(f"M{size:g}", "M", size, pitch, least, least + _MINOR_6H[pitch], drill)


def _unified(row: tuple[str, float, int, float, float, float, str], series: Series) -> Thread:
    name, major, per_inch, least, most, drill, inch_drill = row
    told = f"{name}-{per_inch} {series}"
    return Thread(told, series, major * INCH, INCH / per_inch, least * INCH, most * INCH, drill, inch_drill)


METRIC: Mapping[float, Thread] = {size: _metric(size) for size in _METRIC}
"""Metric coarse threads by diameter, mm."""

UNIFIED: tuple[Thread, ...] = (
    *(_unified(row, "UNC") for row in _UNC),
    *(_unified(row, "UNF") for row in _UNF),
)
"""Unified threads, coarse and fine."""

THREADS: Mapping[str, Thread] = {one.name: one for one in (*METRIC.values(), *UNIFIED)}
"""Every thread by its name."""

_METRIC_NAME = re.compile(r"M\s*(\d+(?:[.,]\d+)?)(?:\s*[x×]\s*(\d+(?:[.,]\d+)?))?", re.IGNORECASE)
_UNIFIED_NAME = re.compile(r"(#?\d+(?:/\d+)?)\s*-\s*(\d+)(?:\s*(UN[CF]))?", re.IGNORECASE)


def thread_named(text: str) -> Thread | None:
    """Return the thread that a maker's words mean: ``M6``, ``M6 x 1``, ``1/4-20``, ``10-24 UNC``; None for no such."""
    told = text.strip().replace('"', "")
    found = _METRIC_NAME.fullmatch(told)
    if found is not None:
        thread = METRIC.get(float(found[1].replace(",", ".")))
        coarse = thread is not None and (found[2] is None or float(found[2].replace(",", ".")) == thread.pitch)
        return thread if coarse else None
    named = _UNIFIED_NAME.fullmatch(told)
    if named is None:
        return None
    size = named[1] if "/" in named[1] or named[1].startswith("#") else f"#{named[1]}"
    series = (named[3].upper(),) if named[3] else ("UNC", "UNF")
    return next(filter(None, (THREADS.get(f"{size}-{named[2]} {one}") for one in series)), None)
