"""How much the main job costs over its bare parts, as ratios taken in one run.

Run: `python docs/benchmarks/make.py`. For a ribbed ball of about 10k, 100k and 300k triangles:
seconds of the whole job over the seconds of its bare booleans (block - part - one channel, part +
channel) and of reading the file. Last, `moldgen --help` over `python -c pass`.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

from moldgen.build.channels import gate_recipe
from moldgen.files.read import read_part
from moldgen.files.stl import write_stl
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.solids import Solid, mesh_solid
from moldgen.job.job import Job
from moldgen.pose.pose import Pose
from moldgen.workflow import make_plan, make_set

SIZES = (10_000, 100_000, 300_000)


def ribbed_ball(triangles: int) -> Mesh:
    """A ball of radius 25 mm with shallow ribs, from a grid of latitude and longitude."""
    rows = max(8, round((triangles / 4) ** 0.5))
    columns = 2 * rows
    theta = np.linspace(0, np.pi, rows + 1)[1:-1]
    phi = np.arange(columns) * 2 * np.pi / columns
    t, p = np.meshgrid(theta, phi, indexing="ij")
    r = 25 + 0.4 * np.sin(8 * p) * np.sin(t) ** 2 + 0.2 * np.sin(9 * t)
    ring = np.stack([r * np.sin(t) * np.cos(p), r * np.sin(t) * np.sin(p), r * np.cos(t)], axis=-1)
    points = np.concatenate([ring.reshape(-1, 3), [[0, 0, 25], [0, 0, -25]]])
    i, j = np.meshgrid(np.arange(rows - 2), np.arange(columns), indexing="ij")
    a, b = i * columns + j, i * columns + (j + 1) % columns
    quads = np.concatenate(
        [
            np.stack([a, a + columns, b], -1).reshape(-1, 3),
            np.stack([b, a + columns, b + columns], -1).reshape(-1, 3),
        ]
    )
    k = np.arange(columns)
    top, bottom, last = len(points) - 2, len(points) - 1, (rows - 2) * columns
    caps = np.concatenate(
        [
            np.stack([np.full(columns, top), k, (k + 1) % columns], -1),
            np.stack([np.full(columns, bottom), last + (k + 1) % columns, last + k], -1),
        ]
    )
    return Mesh(points, np.concatenate([quads, caps]))


def seconds(work: Callable[[], object]) -> float:
    """The better of two runs [s]."""
    times = []
    for _ in range(2):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def bare_booleans(mesh: Mesh, pose: Pose) -> float:
    """Seconds of cutting the rubber and joining the casting, and nothing else [s]."""
    plan = make_plan(_part(mesh), Job(), pose)
    part, gate = Solid.from_mesh(plan.mesh), mesh_solid(gate_recipe(plan.gate, 2.0))

    def cut() -> None:
        (Solid.box(plan.block.low, plan.block.high) - (part + gate)).mesh()
        (part + gate).mesh()

    return seconds(cut)


def _part(mesh: Mesh):  # type: ignore[no-untyped-def]
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "ball.stl"
        write_stl(path, mesh)
        return read_part(path)


def main() -> None:
    pose = Pose.from_up((0.0, 0.0, 1.0))
    make_set(_part(ribbed_ball(2_000)), Job(), pose)  # compile first
    print("| triangles | make s | reading s | booleans s | make/(both) | with pose search |")
    print("|---|---|---|---|---|---|")
    for size in SIZES:
        mesh = ribbed_ball(size)
        part = _part(mesh)
        read = seconds(lambda mesh=mesh: _part(mesh))
        bare = bare_booleans(mesh, pose)
        made = seconds(lambda part=part: make_set(part, Job(), pose))
        searched = seconds(lambda part=part: make_set(part, Job()))
        print(
            f"| {mesh.n_triangles} | {made:.2f} | {read:.2f} | {bare:.2f} "
            f"| {made / (read + bare):.1f} "
            f"| {searched / (read + bare):.1f} |",
            flush=True,
        )
    helped = seconds(
        lambda: subprocess.run([sys.executable, "-m", "moldgen", "--help"], capture_output=True)
    )
    bare = seconds(lambda: subprocess.run([sys.executable, "-c", "pass"]))
    print(f"\nmoldgen --help over python -c pass: {helped / bare:.1f}")


if __name__ == "__main__":
    main()
