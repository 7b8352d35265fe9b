"""The picture of a ranked pose: high points for gate and vents, air under rubber, weakest side."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.report.drawing import FAINT, INK, PAPER, Body, Drawing, draw
from moldgen.report.inking import Color
from moldgen.report.labels import Point, Rect
from moldgen.report.paper import FINENESS, Labels, Paper
from moldgen.report.pose_view import (
    EYE,
    GATE,
    PART_FILL,
    VENT,
    enlarged,
    measure_height,
    spot,
)
from moldgen.report.view import View, fit_view
from moldgen.study.pocket import Pocket
from moldgen.study.ranking import RankedPose
from moldgen.units import MM3_PER_CM3

WIDTH_PX, HEIGHT_PX = 1160, 900
LEFT_COLUMN = Rect(8.0, 16.0, 268.0, 884.0)
RIGHT_COLUMN = Rect(892.0, 16.0, 1152.0, 884.0)
WINDOW = Rect(290.0, 16.0, 870.0, 884.0)
ARROW_PX = 76.0
RUBBER_AIR: Color = (112, 52, 112)
GROUND_MARGIN = 1.08  # ground ring to the part's reach
ARROW_TIP = 3  # number of its corner
ARROW_REACH = 1.34  # tip of the arrow on the ground, the same


@dataclass(frozen=True, eq=False)
class Stage:
    """A pose drawn on level ground, before anything is marked on it.

    Attributes
    ----------
    matrix : (4, 4) float
        Part file to casting frame [mm].
    part : Mesh
        The part in the casting frame.
    ground : (n, 3) float
        A ring on the ground round the part [mm].
    arrow : Mesh or None
        Toward the side the rig must not lean, on the ground.
    view : View
    drawing : Drawing
    """

    matrix: FloatArray
    part: Mesh
    ground: FloatArray
    arrow: Mesh | None
    view: View
    drawing: Drawing

    @classmethod
    def of(cls, pose: RankedPose, mesh: Mesh) -> Stage:
        """The stage of a pose; the mesh is in the part file's frame."""
        matrix = pose.pose.matrix_for(mesh)
        part = mesh.moved(matrix)
        ground = _ground(part)
        arrow = _weakest(pose, ground)
        side = [] if arrow is None else [arrow]
        seen = np.concatenate([part.vertices, ground, *(m.vertices for m in side)])
        view = fit_view(EYE, seen, WINDOW.shrunk(20.0, 100.0, 20.0, 20.0))
        bodies = [Body(part, PART_FILL), *(Body(m, INK) for m in side)]
        drawing = draw(bodies, view.enlarged(FINENESS), enlarged(WINDOW))
        return cls(matrix, part, ground, arrow, view, drawing)

    def spot(self, pocket: Pocket) -> Point:
        """Where a pocket lies on the paper [px]."""
        return spot(self.view, self._moved(pocket))

    def hides(self, pocket: Pocket) -> bool:
        """Whether the part stands before a pocket."""
        return not bool(self.drawing.visible(self._moved(pocket)[None])[0])

    def _moved(self, pocket: Pocket) -> FloatArray:
        turn, offset = self.matrix[:3, :3], self.matrix[:3, 3]
        return np.asarray(np.array(pocket.point_mm) @ turn.T + offset)


def ranked_view(pose: RankedPose, stage: Stage) -> Paper:
    """The part in a pose on level ground, with its high points and the air that rubber leaves."""
    paper, labels = Paper(WIDTH_PX, HEIGHT_PX), Labels(LEFT_COLUMN, RIGHT_COLUMN)
    paper.paste(stage.drawing)
    paper.wire(stage.drawing, stage.ground, FAINT, 1.8)
    if stage.arrow is not None:
        tip = spot(stage.view, stage.arrow.vertices[ARROW_TIP])
        labels.add(tip, "weakest side:\nnever lean it\nthis way", INK, None)
    for i, pocket in enumerate(pose.rubber.pockets, start=1):
        _mark_air(paper, stage.spot(pocket))
        text = f"air under\nrubber {i}:\n{volume(pocket)}"
        labels.add(stage.spot(pocket), text, RUBBER_AIR, None)
    for i, pocket in enumerate(pose.resin.pockets):
        at = stage.spot(pocket)
        _mark_high_point(paper, at, stage.hides(pocket), alone=pose.connections == 1)
        _name_high_point(labels, at, i, pose)
    measure_height(paper, labels, stage.part, stage.view)
    labels.set_on(paper)
    return paper


def caption(pose: RankedPose, stage: Stage) -> str:
    """What the picture of a pose shows, and what those marks mean that are on it."""
    said = ["As it lies while resin is poured."]
    if pose.connections > 1:
        said += [
            "At each high point stands the air it would keep.",
            "Which one takes the gate is left to the plan; the others take vents.",
        ]
    if pose.rubber.pockets or any(map(stage.hides, pose.resin.pockets)):
        said.append("Dashed rings lie behind or under the part, or may.")
    return " ".join(said)


def volume(pocket: Pocket) -> str:
    """The air a pocket would hold, in the unit that reads best."""
    held = pocket.trapped_mm3
    return f"{held:.0f} mm³" if held < MM3_PER_CM3 else f"{held / MM3_PER_CM3:.1f} cm³"


def _ground(part: Mesh) -> FloatArray:
    """A ring on the level ground round the part, (n, 3) [mm]."""
    radius = GROUND_MARGIN * float(np.hypot(*part.vertices[:, :2].T).max())
    turn = np.linspace(0.0, 2.0 * np.pi, 97)
    return np.stack([radius * np.cos(turn), radius * np.sin(turn), 0.0 * turn], axis=1)


def _weakest(pose: RankedPose, ground: FloatArray) -> Mesh | None:
    """An arrow lying on the ground, toward the side the rig must not lean."""
    if pose.weakest_side is None:
        return None
    along = pose.pose.rotation @ pose.weakest_side
    along = np.array([along[0], along[1], 0.0]) / np.hypot(along[0], along[1])
    across = np.array([-along[1], along[0], 0.0])
    radius = float(np.hypot(*ground[0, :2]))
    low, neck, tip = 1.0, 1.0 + 0.5 * (ARROW_REACH - 1.0), ARROW_REACH
    half, barb = 0.06, 0.14
    shape = [(low, half), (neck, half), (neck, barb), (tip, 0.0)]
    shape += [(neck, -barb), (neck, -half), (low, -half)]
    corners = np.array([radius * (a * along + b * across) for a, b in shape])
    return Mesh(corners, np.array([(0, 6, 5), (0, 5, 1), (2, 4, ARROW_TIP)]))


def _mark_high_point(paper: Paper, at: Point, hidden: bool, *, alone: bool) -> None:
    """A ring, dashed where the part is in front, and an arrow: out, or in where it is alone."""
    x, y = at
    if alone:
        paper.arrow((x, y - ARROW_PX), (x, y - 14.0), GATE, 18.0)
    else:
        paper.arrow((x, y - 14.0), (x, y - ARROW_PX), VENT, 13.0, filled=False)
    if hidden:
        _dashed_ring(paper, at, 10.0, VENT)
    else:
        paper.dot(at, 9.0, PAPER, INK)


def _name_high_point(labels: Labels, at: Point, i: int, pose: RankedPose) -> None:
    x, y = at
    if pose.connections == 1:
        labels.add((x, y - ARROW_PX * 0.7), "the only high\npoint: the gate", GATE, None)
    else:
        pocket = pose.resin.pockets[i]
        shows = "\non a show face" if pocket.on_show_face else ""
        text = f"high point {i + 1}\n{volume(pocket)}{shows}"
        labels.add((x, y - ARROW_PX * 0.6), text, VENT, None)


def _mark_air(paper: Paper, at: Point) -> None:
    """Bubbles in a dashed ring, seen through the part, for they may lie underneath."""
    x, y = at
    paper.dot(at, 19.0, PAPER, PAPER)
    _dashed_ring(paper, at, 19.0, RUBBER_AIR)
    for dx, dy, r in ((-6.0, 4.0, 6.0), (6.0, 5.0, 4.5), (2.0, -7.0, 5.0)):
        paper.dot((x + dx, y + dy), r, PAPER, RUBBER_AIR)


def _dashed_ring(paper: Paper, at: Point, radius_px: float, ink: Color) -> None:
    turn = np.linspace(0.0, 2.0 * np.pi, 49)
    ring = np.stack([np.cos(turn), np.sin(turn)], axis=1) * radius_px + at
    paper.line(ring, ink, 3.0, (8.0, 5.0))
