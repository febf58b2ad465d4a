"""A job with measured points, stays, keep-outs and openings: a rail over the stern of a rowing-boat."""

from __future__ import annotations

__all__ = ["BOAT"]

BOAT = """\
format = 1
name = "Rail of a rowing-boat"

[stock.tube]
section = "tube"
diameter = 16
wall = 1.5
material = "S235"

[stock.thin]
section = "tube"
diameter = 12
wall = 1
material = "S235"

[piece.hoop]
stock = "tube"
points = [[0, -300, 260], [0, -300, 420], [0, 300, 420], [0, 300, 260]]
radius = 40

[measured]
good = 2
points = [
  { name = "stern", at = [0, 0, 0] },
  { name = "left lug", near = [420, 330, 60] },
  { name = "right lug", near = [420, -330, 60] },
]
readings = [
  { kind = "distance", of = ["stern", "left lug"], reads = 537.4 },
  { kind = "distance", of = ["stern", "right lug"], reads = 537.4 },
  { kind = "slope", of = ["left lug", "right lug"], reads = 660, accuracy = 1 },
  { kind = "height", of = "stern", reads = 310 },
  { kind = "height", of = "left lug", reads = 370 },
  { kind = "height", of = ["right lug"], reads = 366 },
  { kind = "string", of = ["left lug", "right lug", "stern"], along = 330, off = 424.3 },
  { kind = "level", of = ["left lug", "right lug"], leave_out = true },
]

[stay."left brace"]
stock = "thin"
piece = "hoop"
from = [0, 300, 380]
to = "left lug"
ends = ["butted", "flattened"]
hole = "M6"
axes = [[0, 1, 0], [0, 1, 0]]
radius = 40

[stay."right brace"]
stock = "thin"
piece = "hoop"
from = [0, -300, 380]
to = "right lug"
ends = ["butted", "flattened"]
hole = 6.6
end = 14
sure = 0.9

[keepout.lid]
shape = "box"
x = [30, 250]
y = [-200, 200]
z = [290, 300]
clearance = 12
swing = { axis = [[30, 0, 295], [30, -1, 295]], to = 95 }

[opening."shed door"]
width = 640
height = 1900
clearance = 20
"""
