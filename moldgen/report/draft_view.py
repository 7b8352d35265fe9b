"""The draft map: the part from both sides, each bit of skin in the tone of its lean."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from moldgen.build.nouns import MoldSet
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.rigid_draft import draft_deg
from moldgen.report.channel_forms import channel_form, gate_form
from moldgen.report.drawing import INK, Body, Drawing, draw
from moldgen.report.inking import Color
from moldgen.report.labels import Rect
from moldgen.report.paper import FINENESS, Paper, text_size
from moldgen.report.pose_view import enlarged
from moldgen.report.view import fit_view, three_quarter

ALONG_PULL = (0.0, -1.0, 0.0)  # in the casting frame
ELEVATION_DEG = 22.0
SIDES = {"the side of half A": 30.0, "the side of half B": 210.0}  # turn of the eye from the front
ROOMS = (Rect(60.0, 40.0, 770.0, 940.0), Rect(830.0, 40.0, 1540.0, 940.0))
CHANNEL_FILL: Color = (252, 252, 251)
SWATCH_PX, GAP_PX, NAME_PX = 44.0, 14.0, 50.0
TEXT_PX = 30
EDGE_PX = 8.0  # kept so that outlines are whole


@dataclass(frozen=True)
class Tone:
    """One band of draft on the map: from where on, its name, and its fill."""

    from_deg: float
    name: str
    fill: Color


# Each darker than the one after it, in gray too: luminance 48, 110, 168, 236 of 255.
TONES = (
    Tone(0.0, "under 1°", (122, 16, 20)),
    Tone(1.0, "1 to 2°", (196, 78, 30)),
    Tone(2.0, "2 to 3°", (240, 146, 92)),
    Tone(3.0, "3° and more", (238, 236, 230)),
)


def draft_view(mold_set: MoldSet) -> Paper:
    """The part seen from the side of each half, and the legend."""
    plan = mold_set.plan
    paper = Paper()
    drawings = [_side(plan, turn, room) for turn, room in zip(SIDES.values(), ROOMS, strict=True)]
    for drawing in drawings:
        paper.paste(drawing)
    floor = max((d.top_px + d.color.shape[0]) / FINENESS for d in drawings)
    for name, room in zip(SIDES, ROOMS, strict=True):
        paper.text_at((room.middle[0], floor + NAME_PX), name)
    _legend(paper, floor + 2.2 * NAME_PX)
    return paper


def banded(mesh: Mesh, lean_deg: FloatArray) -> list[Body]:
    """The skin cut into its bands of draft, one body each; bands without skin are left out.

    Parameters
    ----------
    mesh : Mesh
    lean_deg : (m,) float
        Lean of each triangle [deg].
    """
    edges = [tone.from_deg for tone in TONES]
    band = np.digitize(lean_deg, edges) - 1
    return [
        Body(Mesh(mesh.vertices, mesh.faces[band == k]), tone.fill)
        for k, tone in enumerate(TONES)
        if (band == k).any()
    ]


def _side(plan: MoldPlan, turn_deg: float, room: Rect) -> Drawing:
    bodies = banded(plan.mesh, draft_deg(plan.mesh, ALONG_PULL))
    bodies.append(Body(gate_form(plan.gate), CHANNEL_FILL))
    bodies += [Body(channel_form(v), CHANNEL_FILL) for v in plan.vents]
    points = np.concatenate([b.mesh.vertices[np.unique(b.mesh.faces)] for b in bodies])
    inner = room.shrunk(EDGE_PX, EDGE_PX, EDGE_PX, EDGE_PX)
    view = fit_view(three_quarter(turn_deg, ELEVATION_DEG), points, inner)
    return draw(bodies, view.enlarged(FINENESS), enlarged(room))


def _legend(paper: Paper, top: float) -> None:
    """A swatch and a name for each tone, in one row."""
    head = "skin leans from the pull by"
    wide = [text_size(t, TEXT_PX)[0] for t in (head, *(tone.name for tone in TONES))]
    total = sum(wide) + len(TONES) * (SWATCH_PX + GAP_PX) + len(TONES) * 3.0 * GAP_PX
    x = paper.whole.middle[0] - total / 2.0
    _write(paper, head, x, wide[0], top)
    x += wide[0] + 3.0 * GAP_PX
    for tone, width in zip(TONES, wide[1:], strict=True):
        ring = [(x, top), (x + SWATCH_PX, top), (x + SWATCH_PX, top + SWATCH_PX)]
        paper.shape([*ring, (x, top + SWATCH_PX)], tone.fill, INK, 2.0)
        x += SWATCH_PX + GAP_PX
        _write(paper, tone.name, x, width, top)
        x += width + 3.0 * GAP_PX


def _write(paper: Paper, text: str, x: float, width: float, top: float) -> None:
    tall = text_size(text, TEXT_PX)[1]
    low = top + (SWATCH_PX - tall) / 2.0
    paper.text(Rect(x, low, x + width, low + tall), text, INK, TEXT_PX, "left")
