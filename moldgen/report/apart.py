"""Pieces pulled apart for a picture, until none is behind another."""

from __future__ import annotations

import numpy as np
from scipy.spatial import ConvexHull
from shapely.geometry import Polygon

from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.plan.nouns import Block
from moldgen.report.bench import BenchPiece
from moldgen.report.labels import spread

APART_MM = 6.0
PUSH = 1.12  # walls move out by this factor until nothing overlaps


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
    flat = corners_of(mesh) @ axes[:2].T
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
        low = min(float((corners_of(p.mesh) @ axes[1]).min()) for p in beside)
        lift = max(0.0, floor + APART_MM - low) / float(axes[1][2]) if np.isfinite(floor) else 0.0
        raised = [p.moved(np.array([0.0, 0.0, lift])) for p in beside]
        floor = max(float((corners_of(p.mesh) @ axes[1]).max()) for p in raised)
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
    across = [corners_of(p.mesh) @ axes[0] for p in pieces]
    sizes = [float(np.ptp(a)) + APART_MM for a in across]
    middles = [float(a.min() + a.max()) / 2.0 for a in across]
    room = sum(sizes) + max(middles) - min(middles)
    starts = spread(middles, sizes, min(middles) - room, max(middles) + room)
    shifts = [s + w / 2.0 - m for s, w, m in zip(starts, sizes, middles, strict=True)]
    return [p.moved(axes[0] * shift) for p, shift in zip(pieces, shifts, strict=True)]


def corners_of(mesh: Mesh) -> FloatArray:
    """The corners that its triangles use, (n, 3) [mm]."""
    return mesh.vertices[np.unique(mesh.faces)]
