"""Small pictures of the part: how it stands in a pose, and how it looks from one side."""

from __future__ import annotations

import numpy as np

from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.pose.pose import Pose
from moldgen.report.drawing import Body, draw
from moldgen.report.labels import Rect
from moldgen.report.paper import FINENESS, Paper
from moldgen.report.pose_view import EYE, GATE, PART_FILL, VENT, enlarged, spot
from moldgen.report.view import View, fit_view
from moldgen.study.ranking import RankedPose

THUMB_PX = (300, 240)
ARROW_PX = 30.0


def stand_part(paper: Paper, mesh: Mesh, pose: Pose, window: Rect) -> View:
    """Draw the part as it stands in a pose, and hand back the view of its casting frame."""
    return see_part(paper, mesh.moved(pose.matrix_for(mesh)), EYE, window)


def see_part(paper: Paper, mesh: Mesh, axes: FloatArray, window: Rect) -> View:
    """Draw the part seen along a view's axes, (3, 3), and hand back the view."""
    view = fit_view(axes, mesh.vertices, window.shrunk(3.0, 3.0, 3.0, 3.0))
    paper.paste(draw([Body(mesh, PART_FILL)], view.enlarged(FINENESS), enlarged(window)))
    return view


def thumbnail(pose: RankedPose, mesh: Mesh) -> Paper:
    """A ranked pose, small, with an arrow where each connection leaves the part."""
    wide, tall = THUMB_PX
    paper = Paper(wide, tall)
    window = Rect(0.0, 0.0, float(wide), float(tall)).shrunk(14.0, ARROW_PX + 26.0, 14.0, 14.0)
    view = stand_part(paper, mesh, pose.pose, window)
    matrix = pose.pose.matrix_for(mesh)
    for pocket in reversed(pose.resin.pockets):
        x, y = spot(view, np.array(pocket.point_mm) @ matrix[:3, :3].T + matrix[:3, 3])
        if pose.connections == 1:
            paper.arrow((x, y - 6.0 - ARROW_PX), (x, y - 6.0), GATE, 9.0)
        else:
            paper.arrow((x, y - 6.0), (x, y - 6.0 - ARROW_PX), VENT, 8.0, filled=False)
        paper.dot((x, y), 5.0, (255, 255, 255), (38, 38, 40))
    return paper
