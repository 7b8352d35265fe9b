"""Bodies to be parted along Z, and what the halves of their molds are."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import trimesh
from numpy.typing import ArrayLike
from scipy.spatial.transform import Rotation

from moldgen.geometry.mesh import Mesh
from moldgen.geometry.parting import Parting, parting_sheet
from moldgen.geometry.rigid import placement
from moldgen.geometry.solids import Solid

WALL_MM = 10.0
FLAKE_MM3 = 1e-6


def box(low: ArrayLike, high: ArrayLike) -> trimesh.Trimesh:
    return trimesh.creation.box(bounds=[low, high])


def union(*bodies: trimesh.Trimesh) -> trimesh.Trimesh:
    return trimesh.boolean.union(bodies, engine="manifold")


def turned(body: trimesh.Trimesh, seed: int) -> trimesh.Trimesh:
    turn = np.eye(4)
    turn[:3, :3] = Rotation.random(random_state=seed).as_matrix()
    return body.copy().apply_transform(turn)


def on_side(body: trimesh.Trimesh) -> trimesh.Trimesh:
    return body.copy().apply_transform(
        trimesh.transformations.rotation_matrix(np.pi / 2, [1, 0, 0])
    )


def torus() -> trimesh.Trimesh:
    return trimesh.creation.torus(20.0, 5.0, major_sections=48, minor_sections=24)


def armed_hub() -> trimesh.Trimesh:
    """A disc with three square arms of another thickness, all about the plane z = 0."""
    arms = [
        box([0, -3, -2], [30, 3, 2]).apply_transform(
            trimesh.transformations.rotation_matrix(2 * np.pi * k / 3, [0, 0, 1])
        )
        for k in range(3)
    ]
    return union(trimesh.creation.cylinder(10.0, 12.0, sections=48), *arms)


def bracket() -> trimesh.Trimesh:
    """An angle of plates 6 thick, extruded 30 along Z, with a hole along Z."""
    body = union(
        box([0, 0, 0], [40, 6, 30]), box([0, 0, 0], [6, 40, 30]), box([0, 0, 0], [16, 16, 30])
    )
    hole = trimesh.creation.cylinder(4.0, segment=[[9, 9, -5], [9, 9, 40]], sections=48)
    return body.difference(hole, engine="manifold")


def cup() -> trimesh.Trimesh:
    """A beaker that opens along Z."""
    outline = [(0, 0), (12, 0), (15, 40), (13, 40), (10, 2), (0, 2)]
    return trimesh.creation.revolve(outline, sections=64)


def knob() -> trimesh.Trimesh:
    """A turned knob on its side, its axis along Y."""
    outline = [(0, 0), (8, 0), (5, 6), (6, 12), (14, 20), (15, 26), (10, 32), (0, 34)]
    return on_side(trimesh.creation.revolve(outline, sections=64))


def wave() -> trimesh.Trimesh:
    """A strip 4 thick that climbs and falls by 12: its line cannot be flat."""
    x = np.linspace(0.0, 60.0, 61)
    z = 6.0 * np.sin(2 * np.pi * x / 60.0)
    ring = np.vstack([np.column_stack([x, z - 2]), np.column_stack([x, z + 2])[::-1]])
    import shapely

    body = trimesh.creation.extrude_polygon(shapely.Polygon(ring), 20.0)
    return on_side(body)


def nut() -> trimesh.Trimesh:
    """A hexagon nut that lies flat, its hole along Z."""
    body = trimesh.creation.cylinder(15.0, 12.0, sections=6)
    return body.difference(trimesh.creation.cylinder(8.0, 30.0, sections=48), engine="manifold")


def tube(path: np.ndarray, radius: float, sides: int = 16) -> trimesh.Trimesh:
    """A round rod along a line of points, straight ends, square to the line."""
    along = np.gradient(path, axis=0)
    along /= np.linalg.norm(along, axis=1)[:, None]
    rings, across = [], np.cross(along[0], [0.3, 0.4, 0.87])
    turns = 2.0 * np.pi * np.arange(sides) / sides
    for point, way in zip(path, along, strict=True):
        across = across - (across @ way) * way
        across /= np.linalg.norm(across)
        other = np.cross(way, across)
        rings.append(
            point + radius * (np.outer(np.cos(turns), across) + np.outer(np.sin(turns), other))
        )
    n, k = len(path), np.arange(sides)
    after = (k + 1) % sides
    faces = [np.column_stack([np.full(sides, n * sides), after, k])]
    for i in range(n - 1):
        a, b, c, d = i * sides + k, i * sides + after, (i + 1) * sides + after, (i + 1) * sides + k
        faces += [np.column_stack([a, b, c]), np.column_stack([a, c, d])]
    last = (n - 1) * sides
    faces.append(np.column_stack([np.full(sides, n * sides + 1), last + k, last + after]))
    points = np.vstack([*rings, path[0], path[-1]])
    return trimesh.Trimesh(points, np.vstack(faces), process=False)


def knot() -> trimesh.Trimesh:
    """A trefoil of round rod, open by a hair at its ends: from above it passes over itself."""
    t = np.linspace(0.0, 2.0 * np.pi, 240)[:-1] * 0.98
    way = np.column_stack(
        [np.sin(t) + 2 * np.sin(2 * t), np.cos(t) - 2 * np.cos(2 * t), -np.sin(3 * t)]
    )
    return tube(8.0 * way, 4.0)


def helix() -> trimesh.Trimesh:
    """A coil of round rod, lying down: from above its turns cross."""
    t = np.linspace(0.0, 5.0 * np.pi, 200)
    return on_side(tube(np.column_stack([16 * np.cos(t), 16 * np.sin(t), 7 * t / np.pi]), 3.0))


@dataclass(frozen=True, eq=False)
class Parted:
    """A block of mold in two halves round a part: upper and lower."""

    parting: Parting
    part: Solid
    block: Solid
    upper: Solid
    lower: Solid

    @property
    def closure(self) -> float:
        total = self.upper.volume_mm3 + self.lower.volume_mm3 + self.part.volume_mm3
        return abs(total / self.block.volume_mm3 - 1.0)

    def caught_mm3(self, half: Solid, lift_mm: float) -> float:
        """Overlap with the part once a half is drawn away by so much."""
        return (half.moved(placement(offset=(0.0, 0.0, lift_mm))) & self.part).volume_mm3


def mesh_of(body: trimesh.Trimesh) -> Mesh:
    return Mesh(body.vertices, body.faces)


def parted(body: trimesh.Trimesh) -> Parted:
    mesh = mesh_of(body)
    low, high = mesh.bounds[0] - WALL_MM, mesh.bounds[1] + WALL_MM
    parting = parting_sheet(mesh, low[:2], high[:2])
    part, block = Solid.from_mesh(mesh, "part"), Solid.box(low, high)
    behind, before = (block - part).split(Solid.from_mesh(parting.sheet.under(low[2] - 2.0)))
    upper, *shut_off_above = _pieces(before)
    lower, *shut_off_below = _pieces(behind)
    return Parted(
        parting,
        part,
        block,
        Solid.union([upper, *shut_off_below]).components()[0],
        Solid.union([lower, *shut_off_above]).components()[0],
    )


def _pieces(body: Solid) -> list[Solid]:
    return [c for c in body.components() if abs(c.volume_mm3) > FLAKE_MM3]
