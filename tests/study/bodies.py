"""Bodies for the judges of the pose study: some with names and sizes, some clustered at random."""

from __future__ import annotations

import math

import numpy as np
import trimesh
from numpy.typing import ArrayLike

from moldgen.geometry.mesh import Mesh


def mesh_of(body: trimesh.Trimesh) -> Mesh:
    return Mesh(body.vertices, body.faces)


def box(low: ArrayLike, high: ArrayLike) -> trimesh.Trimesh:
    return trimesh.creation.box(bounds=[low, high])


def union(*bodies: trimesh.Trimesh) -> trimesh.Trimesh:
    return trimesh.boolean.union(bodies, engine="manifold")


def ball(radius: float, at: ArrayLike = (0, 0, 0), subdivisions: int = 3) -> trimesh.Trimesh:
    made = trimesh.creation.icosphere(subdivisions=subdivisions, radius=radius)
    return made.apply_translation(at)


def cube() -> trimesh.Trimesh:
    """Side 20."""
    return box([0, 0, 0], [20, 20, 20])


def plate() -> trimesh.Trimesh:
    """100 x 60 x 5."""
    return box([0, 0, 0], [100, 60, 5])


def two_legs() -> trimesh.Trimesh:
    """A foot 50 x 10 x 10 with legs 10 x 10 that stand 30 and 20 above it."""
    return union(
        box([0, 0, 0], [50, 10, 10]), box([0, 0, 5], [10, 10, 40]), box([40, 0, 5], [50, 10, 30])
    )


def cup() -> trimesh.Trimesh:
    """Outside 40 x 40 x 40, hollow 30 x 30 x 35."""
    return box([0, 0, 0], [40, 40, 40]).difference(box([5, 5, 5], [35, 35, 50]), engine="manifold")


def comb(n: int = 4) -> trimesh.Trimesh:
    """A bar with n teeth 6 x 6, tooth i standing 12 + i above it."""
    teeth = [box([12 * i, 0, 2], [12 * i + 6, 6, 16 + i]) for i in range(n)]
    return union(box([0, 0, 0], [12 * n - 6, 6, 4]), *teeth)


def hourglass() -> trimesh.Trimesh:
    """Radius 10 at its ends, 2 at its waist, 40 tall."""
    profile = [(0, -20), (10, -20), (2, 0), (10, 20), (0, 20)]
    return trimesh.creation.revolve(profile, sections=48)


def torus(sections: int = 48) -> trimesh.Trimesh:
    """Radius 20 to the middle of a tube of radius 5."""
    return trimesh.creation.torus(20.0, 5.0, major_sections=sections, minor_sections=sections // 2)


def star(n: int = 5, hub_splits: int = 3, tip_splits: int = 3) -> trimesh.Trimesh:
    """A hub ball of radius 8 with n level arms of radius 2 that end 30 out in balls of radius 4."""
    bodies = [ball(8.0, subdivisions=hub_splits)]
    for k in range(n):
        way = np.array([math.cos(2 * math.pi * k / n), math.sin(2 * math.pi * k / n), 0.0])
        arm = trimesh.creation.cylinder(2.0, segment=[np.zeros(3), 30 * way], sections=96)
        bodies += [arm, ball(4.0, 30 * way, tip_splits)]
    return union(*bodies)


def cluster(seed: int) -> trimesh.Trimesh:
    """Nine balls grown onto one another, with four taken out again: arms, dents, now and then
    a handle or a void."""
    rng = np.random.default_rng(seed)
    middles = [np.zeros(3)]
    for _ in range(8):
        way = rng.normal(size=3)
        step = rng.uniform(7, 12) * way / np.linalg.norm(way)
        middles.append(middles[rng.integers(len(middles))] + step)
    grown = union(*(ball(rng.uniform(5, 9), at) for at in middles))
    taken = [ball(rng.uniform(3, 7), at + rng.uniform(-6, 6, 3)) for at in middles[:4]]
    return grown.difference(union(*taken), engine="manifold")


def spiky_ball(seed: int, core: trimesh.Trimesh) -> trimesh.Trimesh:
    """A round body of flat faces, each raised to a spike of its own height, ten times as large."""
    rng = np.random.default_rng(seed)
    tips = core.triangles.mean(axis=1) * rng.uniform(1.2, 3.0, (len(core.faces), 1))
    n = len(core.vertices)
    faces = [
        (a, b, n + k)
        for k, face in enumerate(core.faces)
        for a, b in zip(face, np.roll(face, -1), strict=True)
    ]
    return trimesh.Trimesh(10.0 * np.vstack([core.vertices, tips]), faces, process=False)
