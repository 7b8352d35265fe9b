"""A printed piece as it lies on the printer, and the bed from above with the piece to scale."""

from __future__ import annotations

import numpy as np

from moldgen.build.nouns import Piece
from moldgen.geometry.mesh import FloatArray
from moldgen.geometry.solids import Solid
from moldgen.report.bench import fill_of
from moldgen.report.drawing import INK, Body, draw
from moldgen.report.inking import Color
from moldgen.report.labels import Rect
from moldgen.report.paper import FINENESS, Paper
from moldgen.report.pose_view import enlarged
from moldgen.report.view import fit_view, three_quarter

SIZE_PX = (440, 250)
PIECE = Rect(8.0, 8.0, 320.0, 242.0)
BED = Rect(336.0, 134.0, 432.0, 242.0)
PRINT_EYE = three_quarter(azimuth_deg=28.0, elevation_deg=38.0)
BED_FILL: Color = (240, 240, 238)
SOFT: Color = (138, 138, 142)


def print_view(piece: Piece, room_mm: tuple[float, float, float]) -> Paper:
    """A piece on its bed.

    Parameters
    ----------
    piece : Piece
    room_mm : (3,) float
        Of the printer.
    """
    paper = Paper(*SIZE_PX)
    mesh = piece.mesh
    view = fit_view(PRINT_EYE, mesh.vertices, PIECE.shrunk(4.0, 4.0, 4.0, 4.0))
    paper.paste(draw([Body(mesh, fill_of(piece.role))], view.enlarged(FINENESS), enlarged(PIECE)))
    _bed(paper, piece, room_mm)
    return paper


def _bed(paper: Paper, piece: Piece, room_mm: tuple[float, float, float]) -> None:
    """The bed from above, the piece in its middle."""
    across, along, _ = room_mm
    scale = min(BED.width / across, BED.height / along)
    middle = np.array([BED.right - across * scale / 2.0, BED.bottom - along * scale / 2.0])
    half = np.array([across, along]) * scale / 2.0
    ring = middle + half * np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)])
    paper.shape(ring, BED_FILL, SOFT, 1.2)
    low, high = piece.mesh.bounds
    center = (low + high)[:2] / 2.0
    for rim in Solid.from_mesh(piece.mesh).outline():
        seen = middle + (rim - center) * (scale, -scale)
        paper.shape(seen, BED_FILL if _is_hole(rim) else fill_of(piece.role), INK, 1.2)


def _is_hole(ring: FloatArray) -> bool:
    x, y = ring.T
    return bool(np.dot(x, np.roll(y, -1)) < np.dot(y, np.roll(x, -1)))
