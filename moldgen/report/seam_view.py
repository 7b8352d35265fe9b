"""Where the seam runs: the part from both sides, with the parting line on it."""

from __future__ import annotations

import numpy as np

from moldgen.build.nouns import MoldSet
from moldgen.geometry.mesh import FloatArray
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.two_part_nouns import FROM_PULL
from moldgen.report.channel_forms import channel_form, gate_form
from moldgen.report.drawing import INK, PAPER, Body, Drawing, draw
from moldgen.report.labels import Rect
from moldgen.report.paper import FINENESS, Paper
from moldgen.report.pose_view import GATE, PART_FILL, VENT_FILL, enlarged
from moldgen.report.view import fit_view, three_quarter

ELEVATION_DEG = 22.0
SIDES = {"the side of half A": 34.0, "the side of half B": 214.0}  # turn of the eye from the front
ROOMS = (Rect(60.0, 40.0, 770.0, 980.0), Rect(830.0, 40.0, 1540.0, 980.0))
NAME_PX = 50.0
SEAM_PX, CASING_PX = 5.0, 10.0


def seam_view(mold_set: MoldSet) -> Paper:
    """The part as it is cast, seen from both sides, gate and vents on it, the seam drawn bold."""
    plan = mold_set.plan
    lines = seam_of(plan)
    paper = Paper()
    drawings = [_side(plan, turn, room) for turn, room in zip(SIDES.values(), ROOMS, strict=True)]
    for drawing in drawings:
        paper.paste(drawing)
        for ring in lines:
            paper.wire(drawing, ring, PAPER, CASING_PX)
        for ring in lines:
            paper.wire(drawing, ring, INK, SEAM_PX)
    floor = max((d.top_px + d.color.shape[0]) / FINENESS for d in drawings) + NAME_PX
    for name, room in zip(SIDES, ROOMS, strict=True):
        paper.text_at((room.middle[0], floor), name)
    return paper


def seam_of(plan: MoldPlan) -> list[FloatArray]:
    """The closed rings of the parting line in the casting frame, each (k, 3) [mm]."""
    assert plan.two_part is not None
    turn = FROM_PULL[:3, :3]
    rings = [ring @ turn.T for ring in plan.two_part.parting.line]
    return [np.vstack([ring, ring[:1]]) for ring in rings]


def _side(plan: MoldPlan, turn_deg: float, room: Rect) -> Drawing:
    bodies = [
        Body(plan.mesh, PART_FILL),
        Body(gate_form(plan.gate), GATE),
        *(Body(channel_form(v), VENT_FILL) for v in plan.vents),
    ]
    points = np.concatenate([b.mesh.vertices for b in bodies])
    view = fit_view(three_quarter(turn_deg, ELEVATION_DEG), points, room)
    return draw(bodies, view.enlarged(FINENESS), enlarged(room))
