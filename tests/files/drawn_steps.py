"""STEP files with named and colored faces, as a drawing program writes them."""

from __future__ import annotations

from pathlib import Path

import cadquery as cq
from cadquery.occ_impl.exporters.assembly import exportAssembly

BODY = (0.2, 0.4, 0.6)  # of 255: 51, 102, 153 = 33 66 99 in hexadecimal
BODY_HEX = "336699"
TOP = (1.0, 0.0, 0.0)
TOP_HEX = "FF0000"
SIZE = (20.0, 30.0, 40.0)


def labeled_block(path: Path, place: tuple[float, float, float] = (0.0, 0.0, 0.0)) -> Path:
    """A block of 20 x 30 x 40 mm about a place: blue, its top named and red, its front named."""
    block = cq.Workplane().box(*SIZE)
    drawing = cq.Assembly(
        block, name="block", color=cq.Color(*BODY, 1.0), loc=cq.Location(cq.Vector(*place))
    )
    drawing.addSubshape(block.faces(">Z").val(), name="top", color=cq.Color(*TOP, 1.0))
    drawing.addSubshape(block.faces("<Y").val(), name="front")
    exportAssembly(drawing, str(path))
    return path


def two_blocks(path: Path) -> Path:
    """Two blocks of 20 mm that overlap by 10 mm along x, the first red and the other blue."""
    drawing = cq.Assembly(name="bracket")
    for name, x, color in (("low", 10.0, TOP), ("high", 20.0, BODY)):
        block = cq.Workplane().box(20.0, 20.0, 20.0).translate((x, 0.0, 0.0))
        drawing.add(block, name=name, color=cq.Color(*color, 1.0))
    exportAssembly(drawing, str(path))
    return path
