"""The box as it stands on the bench for the rubber pour: set up, and pulled apart."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from scipy.spatial import ConvexHull
from shapely.geometry import Polygon

from moldgen.build.nouns import MoldSet, Piece
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.rigid import placement
from moldgen.job.job import Arrangement
from moldgen.plan.nouns import Block, MoldPlan
from moldgen.plan.two_part_nouns import TO_PULL
from moldgen.report.broken import broken_off
from moldgen.report.drawing import INK, PAPER, Body, draw
from moldgen.report.inking import Color
from moldgen.report.labels import Point, spread
from moldgen.report.paper import FINENESS, Labels, Paper
from moldgen.report.pose_view import (
    GATE,
    LEFT_COLUMN,
    PART_FILL,
    RIGHT_COLUMN,
    VENT,
    VENT_FILL,
    WINDOW,
    enlarged,
    level_ring,
    spot,
)
from moldgen.report.view import View, fit_view, three_quarter

BENCH_EYE = three_quarter(azimuth_deg=36.0, elevation_deg=30.0)
BOARD_FILL: Color = (232, 231, 228)
MADE = ("print", "board")
APART_MM = 6.0
PUSH = 1.12  # walls move out by this factor until nothing overlaps
_FILLS = {"gate-cone": GATE, "outlet-rod": VENT_FILL}


@dataclass(frozen=True, eq=False)
class BenchPiece:
    """A piece as it stands on the bench while rubber is poured."""

    name: str
    role: str
    mesh: Mesh
    whole_mm: float | None = None  # its length where it is drawn broken off

    @property
    def label(self) -> str:
        """Its name, and its length where that is not what is drawn."""
        return self.name if self.whole_mm is None else f"{self.name},\n{self.whole_mm:.0f} mm long"

    @property
    def fill(self) -> Color:
        """Its color on the picture."""
        return PART_FILL if self.role == "part" else fill_of(self.role)

    def moved(self, offset: FloatArray) -> BenchPiece:
        """The piece pushed aside by (3,) [mm]."""
        return replace(self, mesh=self.mesh.moved(placement(None, offset)))


def fill_of(role: str) -> Color:
    """The color of a piece that is made, by its role."""
    return _FILLS.get(role, BOARD_FILL)


def bench_frame(plan: MoldPlan) -> FloatArray:
    """Casting frame to the bench of the rubber pour, (4, 4): standing sets are turned over."""
    if plan.two_part:
        return TO_PULL
    if plan.arrangement is Arrangement.STANDING:
        return placement(np.diag([1.0, -1.0, -1.0]))
    return np.eye(4)


def bench_block(plan: MoldPlan) -> Block:
    """The block on the bench; rubber is poured up to its `high` z."""
    corners = np.array([plan.block.low, plan.block.high]) @ bench_frame(plan)[:3, :3].T
    low, high = corners.min(axis=0), corners.max(axis=0)
    return Block(tuple(low.tolist()), tuple(high.tolist()))


def standing_pieces(mold_set: MoldSet) -> list[BenchPiece]:
    """Every piece that is made, and the part, on the bench."""
    frame = bench_frame(mold_set.plan)
    made = [p for p in mold_set.whole_pieces if p.material in MADE and p.role != "stock"]
    names = {split.whole.name: f"\n(in {len(split.parts)} parts)" for split in mold_set.splits}
    pieces = [
        BenchPiece(_name(p) + names.get(p.name, ""), p.role, p.in_casting_frame.moved(frame))
        for p in made
    ]
    return [*pieces, BenchPiece("part", "part", mold_set.plan.mesh.moved(frame))]


def _at_the_pour(mold_set: MoldSet) -> list[BenchPiece]:
    """What stands in the box: the rods of a two-part mold wait for its second half."""
    pieces = standing_pieces(mold_set)
    return [p for p in pieces if not (mold_set.plan.two_part and p.role in _FILLS)]


def _name(piece: Piece) -> str:
    return piece.name if piece.count == 1 else f"{piece.name} ×{piece.count}"


def assembled_view(mold_set: MoldSet) -> Paper:
    """The box ready for the rubber, its front walls as glass, the level marked inside."""
    block = bench_block(mold_set.plan)
    pieces = [_shown(p, block) for p in _at_the_pour(mold_set)]
    glass = [_hides(p, block) for p in pieces]
    corners = np.concatenate([p.mesh.bounds for p in pieces])
    corners = _corners(corners.min(axis=0), corners.max(axis=0))
    view = fit_view(BENCH_EYE, corners, WINDOW.shrunk(20.0, 110.0, 20.0, 20.0))
    bodies = [Body(p.mesh, p.fill, clear) for p, clear in zip(pieces, glass, strict=True)]
    drawing = draw(bodies, view.enlarged(FINENESS), enlarged(WINDOW))
    paper, labels = Paper(), Labels(LEFT_COLUMN, RIGHT_COLUMN)
    paper.paste(drawing)
    paper.wire(drawing, level_ring(block, block.high[2]), VENT, 3.0, (16.0, 9.0))
    for i, piece in enumerate(pieces):
        at = drawing.spot(i) if not glass[i] else _glass_spot(piece, view)
        if at is not None:
            share = FINENESS if not glass[i] else 1
            fill = PAPER if glass[i] else INK
            labels.add((at[0] / share, at[1] / share), piece.label, INK, fill)
    _mark_pour(paper, labels, block, view)
    labels.set_on(paper)
    return paper


def _shown(piece: BenchPiece, block: Block) -> BenchPiece:
    """Long boards broken off, so that the box is what fills the picture."""
    if piece.role not in ("wall", "base"):
        return piece
    mesh = broken_off(piece.mesh, block)
    if mesh is piece.mesh:
        return piece
    low, high = piece.mesh.bounds
    return replace(piece, mesh=mesh, whole_mm=float((high - low).max()))


def _corners(low: FloatArray, high: FloatArray) -> FloatArray:
    pick = np.array([(i, j, k) for i in (0, 1) for j in (0, 1) for k in (0, 1)])
    return np.where(pick == 0, low, high)


def _hides(piece: BenchPiece, block: Block) -> bool:
    """Whether a wall stands between the eye and the part."""
    if piece.role != "wall":
        return False
    way = piece.mesh.bounds.mean(axis=0) - np.array([block.low, block.high]).mean(axis=0)
    way[2] = 0.0
    return bool(way @ BENCH_EYE[2] > 0)


def _glass_spot(piece: BenchPiece, view: View) -> Point:
    """A spot on the outline of a wall seen through: its top edge, near the paper's border."""
    low, high = piece.mesh.bounds
    long = int(np.argmax((high - low)[:2]))
    ends = np.tile(np.where(view.toward > 0, high, low), (2, 1))
    ends[:, long], ends[:, 2] = (low[long], high[long]), high[2]
    a, b = sorted(ends, key=lambda p: -abs(spot(view, p)[0] - view.middle_px[0]))
    return spot(view, a + 0.2 * (b - a))


def _mark_pour(paper: Paper, labels: Labels, block: Block, view: View) -> None:
    """The level to pour to, and the corner to pour into."""
    ring = level_ring(block, block.high[2])
    right = int(np.argmax(view.on_paper(ring[:4])[:, 0]))
    back = int(np.argmin(ring[:4] @ view.toward))
    x, y = spot(view, 0.6 * ring[right] + 0.4 * ring[(right - 1) % 4])
    paper.level((x, y), VENT)
    labels.add((x + 12.0, y - 12.0), "rubber\nto here", VENT, None)
    inward = ring[back] + 0.14 * (ring[:4].mean(axis=0) - ring[back])
    x, y = spot(view, inward)
    paper.arrow((x, y - 150.0), (x, y - 20.0), INK, 14.0, filled=False)
    labels.add((x - 10.0, y - 110.0), "thin stream,\none corner", INK, None)


def exploded_view(mold_set: MoldSet) -> Paper:
    """The pieces pulled apart upward and outward, each by itself and named."""
    block = bench_block(mold_set.plan)
    pieces = [_shown(p, block) for p in standing_pieces(mold_set)]
    apart = pulled_apart(pieces, block, BENCH_EYE)
    points = np.concatenate([_points(p.mesh) for p in apart])
    view = fit_view(BENCH_EYE, points, WINDOW.shrunk(6.0, 6.0, 6.0, 6.0))
    drawing = draw([Body(p.mesh, p.fill) for p in apart], view.enlarged(FINENESS), enlarged(WINDOW))
    paper, labels = Paper(), Labels(LEFT_COLUMN, RIGHT_COLUMN)
    paper.paste(drawing)
    for i, piece in enumerate(apart):
        at = drawing.spot(i)
        if at is not None:
            labels.add((at[0] / FINENESS, at[1] / FINENESS), piece.label)
    labels.set_on(paper)
    return paper


def _points(mesh: Mesh) -> FloatArray:
    return mesh.vertices[np.unique(mesh.faces)]


def pulled_apart(pieces: list[BenchPiece], block: Block, axes: FloatArray) -> list[BenchPiece]:
    """The pieces moved until no two overlap on the paper.

    Pieces inside the box go up in stories, side by side within one; walls go outward. `axes` are
    the view's, (3, 3).
    """
    walls = [i for i, p in enumerate(pieces) if p.role == "wall"]
    inner = [i for i in range(len(pieces)) if i not in walls]
    moved = dict(zip(inner, _storeys([pieces[i] for i in inner], axes), strict=True))
    taken = [_shadow(p.mesh, axes) for p in moved.values()]
    for i in walls:
        moved[i] = _pushed(pieces[i], _outward(pieces[i], block), taken, axes)
        taken.append(_shadow(moved[i].mesh, axes))
    return [moved[i] for i in range(len(pieces))]


def _outward(wall: BenchPiece, block: Block) -> FloatArray:
    """The direction along X or Y that leads from the block to its wall, (3,)."""
    low, high = np.array(block.low), np.array(block.high)
    way = (wall.mesh.bounds.mean(axis=0) - (low + high) / 2.0) / (high - low)
    axis = int(np.argmax(np.abs(way[:2])))
    out = np.zeros(3)
    out[axis] = np.sign(way[axis])
    return out


def _pushed(
    wall: BenchPiece, out: FloatArray, taken: list[Polygon], axes: FloatArray
) -> BenchPiece:
    """The wall moved out along a direction until its shadow is clear of the others."""
    shadow, step = _shadow(wall.mesh, axes), np.array(axes[:2] @ out)
    distance = APART_MM
    while any(_shifted(shadow, step * distance).distance(t) < APART_MM for t in taken):
        distance *= PUSH
    return wall.moved(out * distance)


def _shadow(mesh: Mesh, axes: FloatArray) -> Polygon:
    """The convex outline of a piece on the paper [mm]."""
    flat = _points(mesh) @ axes[:2].T
    return Polygon(flat[ConvexHull(flat).vertices])


def _shifted(shadow: Polygon, by: FloatArray) -> Polygon:
    return Polygon(np.asarray(shadow.exterior.coords) + by)


def _storeys(pieces: list[BenchPiece], axes: FloatArray) -> list[BenchPiece]:
    """Pieces stacked on the paper from the lowest to the highest, equals side by side."""
    part = next(p for p in pieces if p.role == "part")
    levels = [_level(p, part) for p in pieces]
    floor, moved = -np.inf, dict[int, BenchPiece]()
    for level in sorted(set(levels)):
        members = [i for i, own in enumerate(levels) if own == level]
        beside = _side_by_side([pieces[i] for i in members], axes)
        low = min(float((_points(p.mesh) @ axes[1]).min()) for p in beside)
        lift = max(0.0, floor + APART_MM - low) / float(axes[1][2]) if np.isfinite(floor) else 0.0
        raised = [p.moved(np.array([0.0, 0.0, lift])) for p in beside]
        floor = max(float((_points(p.mesh) @ axes[1]).max()) for p in raised)
        moved.update(zip(members, raised, strict=True))
    return [moved[i] for i in range(len(pieces))]


def _level(piece: BenchPiece, part: BenchPiece) -> int:
    """Its storey: what lies below the part's middle under it, what lies above over it."""
    if piece.role == "base":
        return 0
    middles = [p.mesh.bounds[:, 2].mean() for p in (piece, part)]
    above = int(middles[0] > middles[1]) - int(middles[0] < middles[1])
    return 3 + above * (2 if piece.role in ("bridge", "hold-down") else 1)


def _side_by_side(pieces: list[BenchPiece], axes: FloatArray) -> list[BenchPiece]:
    """Pieces spread along the paper's width so that none is behind another."""
    across = [_points(p.mesh) @ axes[0] for p in pieces]
    sizes = [float(np.ptp(a)) + APART_MM for a in across]
    middles = [float(a.min() + a.max()) / 2.0 for a in across]
    room = sum(sizes) + max(middles) - min(middles)
    starts = spread(middles, sizes, min(middles) - room, max(middles) + room)
    shifts = [s + w / 2.0 - m for s, w, m in zip(starts, sizes, middles, strict=True)]
    return [p.moved(axes[0] * shift) for p, shift in zip(pieces, shifts, strict=True)]
