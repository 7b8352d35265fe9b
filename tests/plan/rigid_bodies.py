"""Bodies for rigid molds whose draft, undercut and parting are known by hand."""

from __future__ import annotations

import math

import numpy as np
import trimesh

from moldgen.geometry.mesh import Mesh
from moldgen.part.part import Part
from moldgen.units import LengthUnit


def part_of(body: trimesh.Trimesh) -> Part:
    return Part(Mesh(body.vertices, body.faces), "made", "made.stl", "0", LengthUnit.MM)


def turned(*profile: tuple[float, float], sections: int = 96) -> trimesh.Trimesh:
    """A body of revolution about Z, from (radius, height) pairs."""
    return trimesh.creation.revolve(profile, sections=sections)


def cylinder() -> trimesh.Trimesh:
    return turned((0, 0), (10, 0), (10, 20), (0, 20))


def cone(draft_deg: float, high: float = 20.0) -> trimesh.Trimesh:
    """A cone frustum whose side leans so far from its axis."""
    top = 20.0 - high * math.tan(math.radians(draft_deg))
    return turned((0, 0), (20, 0), (top, high), (0, high), sections=256)


def frustum() -> trimesh.Trimesh:
    """A pyramid frustum: foot 40 x 30, top 34 x 24, 12 high; 3 mm of lean on every side."""
    foot = [(x, y, 0.0) for x in (-20, 20) for y in (-15, 15)]
    top = [(x, y, 12.0) for x in (-17, 17) for y in (-12, 12)]
    return trimesh.convex.convex_hull(np.array(foot + top, dtype=float))


def mushroom() -> trimesh.Trimesh:
    """A cap of radius 20 on a stem of radius 5, on a foot of radius 12: a groove 12 high, and
    7 mm deep along the axis."""
    return turned((0, 0), (12, 0), (12, 4), (5, 4), (5, 16), (20, 16), (20, 24), (0, 24))


def hub() -> trimesh.Trimesh:
    """A disc with three square arms of another thickness, all about the plane z = 0."""
    arms = [
        trimesh.creation.box(bounds=[[0, -3, -2], [30, 3, 2]]).apply_transform(
            trimesh.transformations.rotation_matrix(2 * np.pi * k / 3, [0, 0, 1])
        )
        for k in range(3)
    ]
    disc = trimesh.creation.cylinder(12.0, 10.0, sections=96)
    return trimesh.boolean.union([disc, *arms], engine="manifold")


def torus() -> trimesh.Trimesh:
    return trimesh.creation.torus(20.0, 5.0, major_sections=64, minor_sections=32)


def drilled(across: bool) -> trimesh.Trimesh:
    """A block 40 x 30 x 20 with a hole of 6 mm along Z, and another along X if asked for."""
    body = trimesh.creation.box((40, 30, 20))
    tools = [trimesh.creation.cylinder(3.0, 60.0, sections=48)]
    if across:
        turn = trimesh.transformations.rotation_matrix(np.pi / 2, [0, 1, 0], [0, 8, 0])
        side = trimesh.creation.cylinder(3.0, 80.0, sections=48)
        side.apply_translation((0, 8, 0)).apply_transform(turn)
        tools.append(side)
    return trimesh.boolean.difference([body, *tools], engine="manifold")


def wavy(n: int = 24) -> trimesh.Trimesh:
    """A plate 4 mm thick whose rim climbs along the pull."""
    x = np.linspace(-25.0, 25.0, n)
    flat = np.stack(np.meshgrid(x, x, indexing="ij"), axis=-1).reshape(-1, 2)
    z = 3.0 * np.sin(flat[:, 0] / 8.0) * np.cos(flat[:, 1] / 9.0)
    top, foot = (np.column_stack([flat, z + s]) for s in (2.0, -2.0))
    i, j = (k.ravel() for k in np.meshgrid(np.arange(n - 1), np.arange(n - 1), indexing="ij"))
    a, b, c, d = i * n + j, (i + 1) * n + j, (i + 1) * n + j + 1, i * n + j + 1
    lid = np.vstack([np.column_stack([a, b, c]), np.column_stack([a, c, d])])
    rim = np.concatenate(
        [
            np.arange(n) * n,
            (n - 1) * n + np.arange(1, n),
            np.arange(n - 2, -1, -1) * n + n - 1,
            np.arange(n - 2, 0, -1),
        ]
    )
    after, size = np.roll(rim, -1), n * n
    walls = [
        np.column_stack([rim, rim + size, after]),
        np.column_stack([after, rim + size, after + size]),
    ]
    faces = np.vstack([lid, lid[:, ::-1] + size, *walls])
    return trimesh.Trimesh(np.vstack([top, foot]), faces, process=False)
