"""The mold opened like a book: both halves with their cavity up, the casting between them."""

from __future__ import annotations

import numpy as np

from moldgen.build.nouns import MoldSet, Piece
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.rigid import placement
from moldgen.plan.two_part_nouns import TO_PULL
from moldgen.report.drawing import Body, draw
from moldgen.report.inking import Color
from moldgen.report.labels import Point, Rect
from moldgen.report.paper import FINENESS, Paper
from moldgen.report.pose_view import enlarged
from moldgen.report.view import View, fit_view, three_quarter

EYE = three_quarter(azimuth_deg=0.0, elevation_deg=52.0)
PAGE = Rect(40.0, 40.0, 1560.0, 1060.0)
EDGE_PX = 8.0  # kept so that outlines are whole
NAME_PX = 46.0  # names stand this far under what they name
ROLES_A, ROLES_B = ("rubber-a", "half-a"), ("rubber-b", "half-b")
HALF_FILL: Color = (222, 226, 228)
CAST_FILL: Color = (250, 249, 246)
APART = 0.14  # of a half's width
OVER = placement(np.diag([-1.0, 1.0, -1.0]))  # about the way that gate and vents run


def opened_view(mold_set: MoldSet) -> Paper:
    """Half A laid over, the casting, half B, side by side, the gate away from the eye."""
    named = {
        "half A, laid over": (_of(mold_set, ROLES_A).moved(OVER), HALF_FILL),
        "casting": (_of(mold_set, ("casting",)), CAST_FILL),
        "half B": (_of(mold_set, ROLES_B), HALF_FILL),
    }
    meshes = in_a_row([mesh for mesh, _ in named.values()])
    points = np.concatenate([m.vertices[np.unique(m.faces)] for m in meshes])
    view = fit_view(EYE, points, PAGE.shrunk(EDGE_PX, EDGE_PX, EDGE_PX, EDGE_PX))
    bodies = [Body(m, fill) for m, (_, fill) in zip(meshes, named.values(), strict=True)]
    paper = Paper()
    paper.paste(draw(bodies, view.enlarged(FINENESS), enlarged(PAGE)))
    floor = float(view.on_paper(points)[:, 1].max()) + NAME_PX
    for name, mesh in zip(named, meshes, strict=True):
        paper.text_at(_under(mesh, view, floor), name)
    return paper


def _of(mold_set: MoldSet, roles: tuple[str, ...]) -> Mesh:
    """The one body of a role, as it lies on the bench with the pull upward."""
    found: Piece = next(p for p in mold_set.whole_pieces if p.role in roles)
    return found.in_casting_frame.moved(TO_PULL)


def in_a_row(meshes: list[Mesh]) -> list[Mesh]:
    """Bodies side by side along X, all of them lying on one table.

    Parameters
    ----------
    meshes : list of Mesh
        At least one [mm].
    """
    gap = APART * max(float(m.extents_mm[0]) for m in meshes)
    left, row = 0.0, []
    for mesh in meshes:
        low, high = mesh.bounds
        row.append(mesh.moved(placement(offset=(left - low[0], 0.0, -low[2]))))
        left += float(high[0] - low[0]) + gap
    return row


def _under(mesh: Mesh, view: View, floor_px: float) -> Point:
    flat: FloatArray = view.on_paper(mesh.vertices)[:, 0]
    return float(flat.min() + flat.max()) / 2.0, floor_px
