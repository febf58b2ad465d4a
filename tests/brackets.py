"""A bracket of flat bar with holes, as a job file; a rowing-boat's."""

from __future__ import annotations

from bentwork.files.job_file import parse_job
from bentwork.jobs.work import Result, work

__all__ = ["BRACKET", "bracket_job", "worked"]

BRACKET = """\
format = 1
name = "Oar bracket for a rowing-boat"

[stock.strap]
section = "flat"
width = 30
height = 4
material = "S235"

[bender.press]
kind = "vee"
radius = 10
max_angle = 120
block = { opening = 32, punch_radius = 8, shoulder_radius = 2 }

[piece.bracket]
stock = "strap"
bender = "press"
points = [[0, 0, 80], [0, 0, 0], [120, 0, 0], [120, 0, 80]]
"""


def bracket_job(holes: str, more: str = "") -> str:
    """Return the job with these holes, and more keys of its piece."""
    return f"{BRACKET}{more}\nholes = [{holes}]\n"


def worked(holes: str, more: str = "") -> Result:
    """Return the job with these holes, worked out."""
    return work(parse_job(bracket_job(holes, more).encode(), "oar.toml"))
