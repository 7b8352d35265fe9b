"""How long a whole pose study takes: against sorting as often, and against GUDHI a direction.

2,000 directions, the three first poses with their tilt tolerance, every direction covered as far
as the study goes by itself. CPU time of one process each, so that memory is measured as well.
Run: python docs/benchmarks/study.py [1000 10000 ...]
"""

from __future__ import annotations

import json
import math
import subprocess
import sys
import tempfile
from pathlib import Path
from time import process_time

import numpy as np
import trimesh

from moldgen.geometry.mesh import Mesh

SIZES = (1_000, 10_000, 100_000, 1_000_000)
DIRECTIONS = (500, 1000, 2000, 4000)
NOISE_MM = 0.02
KIB_PER_MIB = 1024.0


def lumpy_ball(n_triangles: int) -> Mesh:
    """A ball of 30 mm with lumps, and noise as a scan has it, of about n triangles."""
    n = round(n_triangles / 2)
    k = np.arange(n)
    z = 1.0 - (2.0 * k + 1.0) / n
    turn = k * np.pi * (3.0 - np.sqrt(5.0))
    r = np.sqrt(1.0 - z * z)
    points = 30.0 * np.stack([r * np.cos(turn), r * np.sin(turn), z], axis=1)
    hull = trimesh.convex.convex_hull(points)
    x, y, z = hull.vertices.T
    swell = 1.0 + 0.2 * np.sin(x / 4) + 0.2 * np.cos(y / 5) + 0.1 * np.sin(z / 3)
    noise = np.random.default_rng(0).normal(size=hull.vertices.shape) * NOISE_MM
    return Mesh(hull.vertices * swell[:, None] + noise, hull.faces)


def peak_mib() -> float:
    """The most memory this process has held; getrusage would count its parent's as well [MiB]."""
    status = Path("/proc/self/status").read_text(encoding="ascii")
    line = next(line for line in status.splitlines() if line.startswith("VmHWM"))
    return float(line.split()[1]) / KIB_PER_MIB


def study_once(file: Path, n_directions: int) -> dict[str, float]:
    """Figures of one study, in this process."""
    from moldgen.job.job import Job
    from moldgen.study import search

    search.N_EVEN = n_directions
    search.study_poses(lumpy_ball(300), Job(), keep=3)  # compiles, or reads what was compiled
    held = np.load(file)
    mesh = Mesh(held["vertices"], held["faces"])
    before = peak_mib()
    start = process_time()
    found = search.study_poses(mesh, Job(), keep=3)
    took = process_time() - start
    peak = peak_mib()
    start = process_time()
    for _ in range(20):
        np.argsort(mesh.vertices @ np.array([0.6, 0.0, 0.8]))
    sorting = (process_time() - start) / 20.0
    return {
        "triangles": mesh.n_triangles,
        "directions": found.directions,
        "seconds": took,
        "sortings": took / (sorting * found.directions),
        "mib_before": before,
        "mib": peak,
        "poses": len(found.poses),
    }


def surface_persistence_s(n_triangles: int) -> float:
    """GUDHI on the surface's edges, one direction: no rays, no volumes, one side."""
    import gudhi

    mesh = lumpy_ball(n_triangles)
    sides = np.concatenate([mesh.faces[:, [0, 1]], mesh.faces[:, [1, 2]], mesh.faces[:, [2, 0]]])
    edges = np.ascontiguousarray(np.unique(np.sort(sides, axis=1), axis=0).T.astype(np.int64))
    depth = -(mesh.vertices @ np.array([0.6, 0.0, 0.8]))
    start = process_time()
    tree = gudhi.SimplexTree()
    tree.insert_batch(np.arange(len(depth), dtype=np.int64)[None], depth)
    tree.insert_batch(edges, depth[edges].max(axis=0))
    tree.compute_persistence(min_persistence=0.0, persistence_dim_max=True)
    return process_time() - start


def in_own_process(n_triangles: int, n_directions: int) -> dict[str, float]:
    """The same in a process of its own, which only reads the mesh, for its memory."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "ball.npz"
        mesh = lumpy_ball(n_triangles)
        np.savez(file, vertices=mesh.vertices, faces=mesh.faces)
        line = [sys.executable, __file__, "one", str(file), str(n_directions)]
        answer = subprocess.run(line, capture_output=True, check=True).stdout
    found: dict[str, float] = json.loads(answer)
    return found


def exponent(x: list[float], y: list[float]) -> float:
    """Slope of a line through the logarithms."""
    return float(np.polyfit([math.log(v) for v in x], [math.log(v) for v in y], 1)[0])


def main(sizes: list[int]) -> None:
    seconds: list[float] = []
    for size in sizes:
        row = in_own_process(size, 2000)
        theirs = surface_persistence_s(size)
        seconds.append(row["seconds"])
        print(
            f"{row['triangles']:>9} triangles: {row['seconds']:6.2f} s for {row['directions']} "
            f"directions, {row['sortings']:6.1f} x sorting as often, "
            f"1/{theirs * row['directions'] / row['seconds']:.0f} of GUDHI, "
            f"{row['mib']:.0f} MiB at most ({row['mib_before']:.0f} before)"
        )
    if len(sizes) > 1:
        print(
            f"time grows with triangles to the power {exponent([*map(float, sizes)], seconds):.2f}"
        )
    by_directions = [in_own_process(10_000, n)["seconds"] for n in DIRECTIONS]
    grows = exponent([*map(float, DIRECTIONS)], by_directions)
    print(f"with directions, at 10,000 triangles, to the power {grows:.2f}")


if __name__ == "__main__":
    if sys.argv[1:2] == ["one"]:
        print(json.dumps(study_once(Path(sys.argv[2]), int(sys.argv[3]))))
    else:
        main([int(a) for a in sys.argv[1:]] or list(SIZES))
