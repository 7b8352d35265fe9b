"""The section: a cut through gate and vent, drawn from exact outlines, with its dimensions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from PIL import Image, ImageDraw
from shapely.geometry import Polygon

from moldgen.build.nouns import MoldSet, Piece
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.rigid import placement
from moldgen.geometry.solids import Solid
from moldgen.plan.nouns import Block, Channel, Gate, MoldPlan
from moldgen.report.broken import broken_off
from moldgen.report.chains import SAME_MM, Scale, chain_across, chain_up, stations
from moldgen.report.drawing import FAINT, INK, PAPER
from moldgen.report.inking import Color, Ints, Mask
from moldgen.report.labels import Point, Rect
from moldgen.report.outlet_words import label
from moldgen.report.paper import FINENESS, HEIGHT_PX, WIDTH_PX, Labels, Paper
from moldgen.report.pose_view import GATE, RIGHT_COLUMN, VENT, box_corners
from moldgen.report.rigid_figures import stuff_of

WINDOW = Rect(330.0, 170.0, 1220.0, 1010.0)
CHAIN_X, CHAIN_Y = 290.0, 36.0
HATCH: Color = (140, 140, 144)
HATCH_PX, DOT_PX = 18, 16
CLEAR_PX = 44.0  # of two arrows side by side, from axis to axis


@dataclass(frozen=True, eq=False)
class Cut:
    """A vertical plane; in it x runs to the right and y runs up.

    Attributes
    ----------
    frame : (4, 4) float
        Casting frame to the plane's frame, where the plane is z = 0 [mm].
    """

    frame: FloatArray

    @classmethod
    def through(cls, plan: MoldPlan) -> Cut:
        """The plane through the gate and the farthest vent, or a rod, or along the block."""
        gate, rod = np.array(plan.gate.channel.points[0]), plan.loads.rod
        others = [np.array(v.points[0]) - gate for v in plan.vents]
        others = others or ([np.array(rod.point_mm) - gate] if rod else [])
        far = max(others, key=lambda d: float(np.hypot(d[0], d[1])), default=np.zeros(3))
        along = np.array([far[0], far[1], 0.0])
        if plan.two_part or plan.rigid:
            along = np.array([0.0, 1.0, 0.0])  # along the pull, square to the sheet
        if np.linalg.norm(along) < 1.0:
            size = np.subtract(plan.block.high, plan.block.low)
            along = np.eye(3)[int(size[1] > size[0])]
        along = along / np.linalg.norm(along)
        if along[0] < -1e-9:
            along = -along
        up = np.array([0.0, 0.0, 1.0])
        turn = np.stack([along, up, np.cross(along, up)])
        return cls(placement(turn, -turn @ np.array([gate[0], gate[1], 0.0])))

    def flat(self, points: Sequence[Sequence[float]] | FloatArray) -> FloatArray:
        """Points seen square to the plane, (n, 2) [mm]."""
        return np.asarray(points, dtype=np.float64) @ self.frame[:2, :3].T + self.frame[:2, 3]

    def off_plane(self, points: Sequence[Sequence[float]]) -> float:
        """Greatest distance of points from the plane [mm]."""
        p = np.asarray(points, dtype=np.float64)
        return float(np.abs(p @ self.frame[2, :3] + self.frame[2, 3]).max())

    def rings(self, mesh: Mesh) -> list[FloatArray]:
        """Outlines of a body in the plane, each (n, 2) [mm]."""
        return Solid.from_mesh(mesh).moved(self.frame).section(0.0)


def section_view(mold_set: MoldSet) -> Paper:
    """Rubber hatched, cavity and channels open, the box dotted, the figures beside them."""
    plan, cut = mold_set.plan, Cut.through(mold_set.plan)
    rubber = [r for p in _mold(mold_set) for r in cut.rings(p.in_casting_frame)]
    cavity = cut.rings(plan.mesh)
    lid = [r for p in _lids(mold_set) for r in cut.rings(_shown(p, plan.block))]
    box = [r for p in _boards(mold_set) for r in cut.rings(_shown(p, plan.block))]
    scale = _fitted([*rubber, *box, *lid])
    paper, labels = Paper(), Labels(None, RIGHT_COLUMN)
    _paint_box(paper, box, lid, scale)
    _paint_rubber(paper, rubber, scale)
    gate_px = float(scale.px(cut.flat(plan.gate.channel.points))[-1, 0])
    for i, vent in enumerate(plan.vents):
        _show_vent(paper, labels, cut, scale, i, vent, gate_px)
    _show_gate(paper, labels, plan, cut, scale)
    low, high = block_in_cut(plan.block, cut)
    floor = max(float(scale.px(ring)[:, 1].max()) for ring in [*rubber, *box])
    _measure(paper, plan, cavity, scale, (low, high), floor + CHAIN_Y)
    _name_things(labels, cavity, scale, (low, high), lid, _stuff(plan))
    for bar in (p for p in mold_set.whole_pieces if p.role == "hold-down"):
        rings = cut.rings(bar.in_casting_frame)
        if rings:
            corners = np.concatenate(rings)
            middle = (corners[:, 0].mean(), corners[:, 1].min() + 1.0)
            labels.add(_at(scale, middle), "hold-down,\na plug now")
    labels.set_on(paper)
    return paper


def _mold(mold_set: MoldSet) -> list[Piece]:
    """What the cavity is in: rubber, or two halves that are printed."""
    if mold_set.plan.rigid:
        return [p for p in mold_set.whole_pieces if p.role in ("half-a", "half-b")]
    return [p for p in mold_set.pieces if p.material == "rubber"]


def _stuff(plan: MoldPlan) -> str:
    return stuff_of(plan) if plan.rigid else "rubber"


def _lids(mold_set: MoldSet) -> list[Piece]:
    """What lies over the block's top, and is off when resin is poured."""
    top = mold_set.plan.block.high[2]
    made = [p for p in mold_set.whole_pieces if p.role in ("base", "bridge")]
    return [p for p in made if p.in_casting_frame.bounds[:, 2].mean() > top]


def _boards(mold_set: MoldSet) -> list[Piece]:
    if mold_set.plan.two_part:
        return []  # the halves are cast in without their box
    lids = {p.name for p in _lids(mold_set)}
    lids |= {name for s in mold_set.splits if s.whole.name in lids for name in s.parts}
    boards = [p for p in mold_set.pieces if p.role in ("wall", "base", "hold-down")]
    return [p for p in boards if p.name not in lids]


def _shown(piece: Piece, block: Block) -> Mesh:
    """Long boards broken off, so that the mold is what fills the picture."""
    mesh = piece.in_casting_frame
    return broken_off(mesh, block) if piece.role in ("wall", "base") else mesh


def _fitted(rings: Sequence[FloatArray]) -> Scale:
    points = np.concatenate(rings)
    low, high = points.min(axis=0), points.max(axis=0)
    size = high - low
    scale = min(WINDOW.width / size[0], WINDOW.height / size[1])
    return Scale((low + high) / 2.0, WINDOW.middle, float(scale))


def filled(rings: Sequence[FloatArray], scale: Scale) -> Mask:
    """Samples inside an odd number of rings, at the paper's fineness, (h, w)."""
    size = WIDTH_PX * FINENESS, HEIGHT_PX * FINENESS
    mask = np.zeros(size[::-1], dtype=bool)
    for ring in rings:
        layer = Image.new("1", size)
        points = [tuple(p) for p in (scale.px(ring) * FINENESS).tolist()]
        ImageDraw.Draw(layer).polygon(points, fill=1)
        mask ^= np.asarray(layer)
    return mask


def _rows_and_columns(mask: Mask) -> tuple[Ints, Ints]:
    """Numbers of the rows, (h, 1), and of the columns, (1, w)."""
    h, w = mask.shape
    return np.arange(h, dtype=np.int32)[:, None], np.arange(w, dtype=np.int32)[None, :]


def _paint_rubber(paper: Paper, rubber: Sequence[FloatArray], scale: Scale) -> None:
    inside = filled(rubber, scale)
    y, x = _rows_and_columns(inside)
    paper.paint(inside & ((x + y) % (HATCH_PX * FINENESS) < 3), HATCH)
    for ring in rubber:
        paper.shape(scale.px(ring), None, INK, 3.0)


def _paint_box(
    paper: Paper, box: Sequence[FloatArray], lid: Sequence[FloatArray], scale: Scale
) -> None:
    """Walls and floor dotted; a lid that is off for the resin only dashed."""
    inside = filled(box, scale)
    y, x = _rows_and_columns(inside)
    step = DOT_PX * FINENESS
    dots = ((x + y // step % 2 * (step // 2)) % step < 5) & (y % step < 5)
    paper.paint(inside & dots, FAINT)
    for ring in box:
        paper.shape(scale.px(ring), None, FAINT, 2.0)
    for ring in lid:
        track = scale.px(ring)
        paper.line(np.vstack([track, track[:1]]), FAINT, 2.0, (12.0, 9.0))


def _show_gate(paper: Paper, labels: Labels, plan: MoldPlan, cut: Cut, scale: Scale) -> None:
    gate = plan.gate
    track = scale.px(cut.flat(gate.channel.points))
    (x, y), top = track[-1], 14.0
    paper.arrow((x, y - top - 110.0), (x, y - top), GATE, 26.0)
    labels.add((x + 6.0, y - top - 92.0), "resin in", GATE, None)
    labels.add(_in_sprue(gate, cut, scale), f"sprue Ø {gate.sprue_diameter_mm:.1f} mm", GATE, GATE)
    labels.add(_along(track, 0.0), f"neck Ø {gate.neck_diameter_mm:.1f} mm", GATE, GATE)


def _in_sprue(gate: Gate, cut: Cut, scale: Scale) -> Point:
    """The axis half way between the neck and the funnel."""
    points = np.array(gate.channel.points)
    height = (points[1, 2] + points[-1, 2] - gate.funnel_height_mm) / 2.0
    at = [np.interp(height, points[:, 2], points[:, k]) for k in (0, 1)]
    return _at(scale, cut.flat([[*at, height]])[0])


def _along(track: FloatArray, share: float) -> Point:
    """The point a share of the way along a line."""
    steps = np.linalg.norm(np.diff(track, axis=0), axis=1)
    at = np.concatenate([[0.0], np.cumsum(steps)])
    x, y = (np.interp(share * at[-1], at, track[:, k]) for k in (0, 1))
    return float(x), float(y)


def _show_vent(
    paper: Paper, labels: Labels, cut: Cut, scale: Scale, i: int, vent: Channel, gate_px: float
) -> None:
    """The vent's name and bore; one that leaves the plane is shown by its dashed axis, and has no
    arrow where that would lie in the gate's, which ends at gate_px."""
    track = scale.px(cut.flat(vent.points))
    outside = cut.off_plane(vent.points) > max(vent.radii_mm)
    if outside:
        paper.line(track, VENT, 2.5, (14.0, 8.0))
    x, y = track[-1]
    if not outside or abs(x - gate_px) > CLEAR_PX:
        paper.arrow((x, y - 12.0), (x, y - 62.0), VENT, 11.0, filled=False)
    text = f"{label(i, vent)} Ø {vent.bore_mm:.1f} mm"
    labels.add(_along(track, 0.6), text + ("\n(off the cut)" if outside else ""), VENT, PAPER)


def _measure(
    paper: Paper,
    plan: MoldPlan,
    cavity: Sequence[FloatArray],
    scale: Scale,
    block: tuple[FloatArray, FloatArray],
    floor: float,
) -> None:
    """Chains of dimensions at the left and below, and the block's size in words."""
    low, high = block
    inside = np.concatenate(cavity)
    upright = stations([low[1], *plan.mesh.bounds[:, 2], high[1]])
    across = stations([low[0], inside[:, 0].min(), inside[:, 0].max(), high[0]])
    chain_up(paper, upright, scale, float(scale.px(low)[0]), WINDOW.left - 40.0)
    chain_across(paper, across, scale, floor)
    words = " × ".join(f"{v:.1f}" for v in np.subtract(plan.block.high, plan.block.low))
    paper.text_at((WINDOW.middle[0], floor + 100.0), f"{_stuff(plan)} block {words} mm")


def block_in_cut(block: Block, cut: Cut) -> tuple[FloatArray, FloatArray]:
    """Lowest and highest corner of the block's outline in the cut, (2,) each [mm]."""
    box = Solid.hull(box_corners(block)).mesh()
    outline = np.concatenate(cut.rings(box))
    return outline.min(axis=0), outline.max(axis=0)


def _name_things(
    labels: Labels,
    cavity: Sequence[FloatArray],
    scale: Scale,
    block: tuple[FloatArray, FloatArray],
    lid: Sequence[FloatArray],
    stuff: str,
) -> None:
    """Rubber, cavity, lid, and the thinnest rubber that the cut shows."""
    low, high = block
    where, least = _thinnest(np.concatenate(cavity), low, high)
    labels.add(_at(scale, where), f"least {stuff} in\nthis cut {least:.1f} mm")
    largest = max(cavity, key=lambda r: float(np.prod(np.ptp(r, axis=0))))
    inner = Polygon(largest).buffer(0).representative_point()
    labels.add(_at(scale, (inner.x, inner.y)), "cavity")
    labels.add(_at(scale, high + (low - high) * (0.04, 0.96)), stuff)
    if lid:
        edge = max(lid, key=lambda r: float(r[:, 0].max()))
        labels.add(_at(scale, (edge[:, 0].max(), edge[:, 1].mean())), "off while\nresin is poured")


def _at(scale: Scale, flat: ArrayLike) -> Point:
    x, y = scale.px(np.array([flat], dtype=np.float64))[0]
    return float(x), float(y)


def _thinnest(inside: FloatArray, low: FloatArray, high: FloatArray) -> tuple[FloatArray, float]:
    """Middle of the thinnest rubber at the sides and below, and how thick it is [mm]."""
    sides = ((0, high[0], -1.0), (0, low[0], 1.0), (1, low[1], 1.0))
    gaps = [(inside[:, axis] - edge) * sign for axis, edge, sign in sides]
    side = int(np.argmin([round(float(g.min()), 6) for g in gaps]))
    axis, edge, sign = sides[side]
    least = float(gaps[side].min())
    there = inside[gaps[side] < least + SAME_MM]
    where = (there.mean(axis=0) + there.max(axis=0)) / 2.0  # a rod stands in the middle
    where[axis] = edge + sign * least / 2.0
    return where, least
