"""How long one direction takes, as ratios: against sorting the heights, and against GUDHI.

GUDHI gets the surface's edges only and pairs births with joins: no rays, no volumes, one
side. All figures are CPU time of one process, best of several, so that they compare across
machines as ratios only. Run: python docs/benchmarks/pockets.py
"""

from __future__ import annotations

from collections.abc import Callable
from time import process_time

import gudhi
import numpy as np
import trimesh

from moldgen.geometry.mergetree import Side, Superlevels
from moldgen.geometry.mesh import Mesh

LIMIT_MM3 = 1.0
NOISE_MM = 0.02
DIRECTIONS = 8


def lumpy_ball(subdivisions: int) -> Mesh:
    ball = trimesh.creation.icosphere(subdivisions=subdivisions, radius=30.0)
    x, y, z = ball.vertices.T
    swell = 1.0 + 0.2 * np.sin(x / 4) + 0.2 * np.cos(y / 5) + 0.1 * np.sin(z / 3)
    noise = np.random.default_rng(0).normal(size=ball.vertices.shape) * NOISE_MM
    return Mesh(ball.vertices * swell[:, None] + noise, ball.faces)


def milliseconds(work: Callable[[np.ndarray], object], ups: np.ndarray, rounds: int = 3) -> float:
    work(ups[0])
    best = np.inf
    for _ in range(rounds):
        start = process_time()
        for up in ups:
            work(up)
        best = min(best, (process_time() - start) / len(ups))
    return 1e3 * best


def both_sides(levels: Superlevels, up: np.ndarray) -> None:
    lifted = levels.along(up)
    for side in Side:
        lifted.tops(side, LIMIT_MM3)


def surface_persistence(mesh: Mesh, edges: np.ndarray, up: np.ndarray) -> None:
    depth = -(mesh.vertices @ up)
    tree = gudhi.SimplexTree()
    tree.insert_batch(np.arange(len(depth), dtype=np.int64)[None], depth)
    tree.insert_batch(edges, depth[edges].max(axis=0))
    tree.compute_persistence(min_persistence=0.0, persistence_dim_max=True)


def edges_of(mesh: Mesh) -> np.ndarray:
    sides = np.concatenate([mesh.faces[:, [0, 1]], mesh.faces[:, [1, 2]], mesh.faces[:, [2, 0]]])
    unique = np.unique(np.sort(sides, axis=1), axis=0)
    return np.ascontiguousarray(unique.T.astype(np.int64))


def report(subdivisions: int) -> str:
    mesh = lumpy_ball(subdivisions)
    ups = np.random.default_rng(1).normal(size=(DIRECTIONS, 3))
    ups /= np.linalg.norm(ups, axis=1)[:, None]
    start = process_time()
    levels, edges = Superlevels(mesh), edges_of(mesh)
    ready = 1e3 * (process_time() - start)
    ours = milliseconds(lambda up: both_sides(levels, up), ups)
    sorting = milliseconds(lambda up: np.argsort(mesh.vertices @ up), ups)
    theirs = milliseconds(lambda up: surface_persistence(mesh, edges, up), ups[:2], rounds=1)
    return (
        f"{mesh.n_triangles:>9} triangles: ready in {ready:6.0f} ms, both pours {ours:7.2f} ms "
        f"a direction, {ours / sorting:5.1f} x sorting, 1/{theirs / ours:.0f} of GUDHI"
    )


if __name__ == "__main__":
    lumpy = [3, 5, 6, 7]
    Superlevels(lumpy_ball(2)).along((0, 0, 1)).tops(Side.SOLID, 1.0)  # compiles
    for subdivisions in lumpy:
        print(report(subdivisions))
