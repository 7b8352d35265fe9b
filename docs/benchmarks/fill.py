"""What a fill costs: setting up, a forecast, a size; as times and against the surface graph.

CPU time of one process, best of several. Run: python docs/benchmarks/fill.py
"""

from __future__ import annotations

from collections.abc import Callable
from time import process_time

import numpy as np
import trimesh

from moldgen.geometry.basins import Basins
from moldgen.geometry.mergetree import Side, Superlevels
from moldgen.geometry.mesh import Mesh
from moldgen.job.job import Job
from moldgen.materials.read import resin
from moldgen.plan.bores import bores_for
from moldgen.plan.cavity import Hollow
from moldgen.plan.forecast import forecast_fill
from moldgen.plan.liquid import mixed_liquid
from moldgen.plan.nouns import Channel, Gate
from moldgen.plan.sizes import modelled
from moldgen.study.pocket import Pocket

ROUNDS = 5
OVER_MM = 18.0


def lumpy_ball(subdivisions: int) -> Mesh:
    ball = trimesh.creation.icosphere(subdivisions=subdivisions, radius=30.0)
    x, y, z = ball.vertices.T
    swell = 1.0 + 0.2 * np.sin(x / 4) + 0.2 * np.cos(y / 5) + 0.1 * np.sin(z / 3)
    noise = np.random.default_rng(0).normal(size=ball.vertices.shape) * 0.02
    return Mesh(ball.vertices * swell[:, None] + noise, ball.faces)


def milliseconds(work: Callable[[], object]) -> float:
    work()
    times = []
    for _ in range(ROUNDS):
        start = process_time()
        work()
        times.append(process_time() - start)
    return 1e3 * min(times)


def upright(foot: np.ndarray, top: float, radius: float) -> Channel:
    x, y, z = (float(v) for v in foot)
    return Channel(
        ((x, y, z), (x, y, top)), (radius, radius), Pocket((x, y, z), 1.0), "straight", 3.0
    )


def main() -> None:
    print("| triangles | graph ms | basins ms | order ms | set-up / graph | march ms | size ms |")
    print("|---" * 7 + "|")
    job, liquid = Job(), mixed_liquid(resin("urethane-slow"), 23.0)
    for subdivisions in (4, 5, 6, 7):
        mesh = lumpy_ball(subdivisions)
        surface = Superlevels(mesh)
        tops = mesh.vertices[surface.along((0, 0, 1)).tops(Side.SOLID, 20.0).vertices]
        level = float(mesh.vertices[:, 2].max()) + OVER_MM
        tops = tops[np.argsort(-tops[:, 2])]
        gate = Gate(upright(tops[0], level, 4.0), 4.0, 8.0, 20.0, 10.0)
        vents = [upright(t, level, 1.5) for t in tops[1:]]
        hollow = Hollow(mesh)
        filling = hollow.filling(gate, vents)

        def size() -> None:
            for bore in bores_for(job.channels):
                forecast_fill(filling, modelled(gate, bore), level, liquid, job)  # noqa: B023

        graph = milliseconds(lambda: Superlevels(mesh))  # noqa: B023
        basins = milliseconds(lambda: Basins(surface))  # noqa: B023
        order = milliseconds(lambda: hollow.filling(gate, vents))  # noqa: B023
        march = milliseconds(lambda: forecast_fill(filling, gate, level, liquid, job))  # noqa: B023
        print(
            f"| {mesh.n_triangles} | {graph:.1f} | {basins:.1f} | {order:.1f} "
            f"| {(basins + order) / graph:.2f} | {march:.2f} | {milliseconds(size):.1f} |"
        )


if __name__ == "__main__":
    main()
