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
    rest = block - part
    upper = (rest - Solid.from_mesh(parting.sheet.under(low[2] - 2.0))).components()[0]
    lower = (rest - upper).components()[0]
    return Parted(parting, part, block, rest - lower, lower)
