"""What a list of cutters leaves of a half, as ratios to a library's gray closing, and its memory.

A lumpy body is parted at its middle and its half cut; every cutter of the usual list is tried, both
bounds. The judge closes the same heights by the thinnest cutter alone, once. CPU time of one
process, in one run. Run: python docs/benchmarks/reach.py
"""

from __future__ import annotations

import resource
from time import process_time

import numpy as np
import trimesh
from scipy.ndimage import grey_dilation, grey_erosion

from moldgen.geometry.height_field import HeightField, Reacher
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.reach_tool import RoundTool
from moldgen.geometry.solids import Solid
from moldgen.job.cutters import CutterList
from moldgen.plan.reach import plan_reach, tool_of
from moldgen.plan.reach_surface import pitch_for, surface_of

EDGE_MM = 15.0


def lumpy_ball(subdivisions: int, radius_mm: float) -> Mesh:
    ball = trimesh.creation.icosphere(subdivisions=subdivisions, radius=radius_mm)
    x, y, z = ball.vertices.T
    swell = 1.0 + 0.1 * np.sin(x / 4) * np.cos(y / 5) + 0.05 * np.sin(z / 3)
    return Mesh(ball.vertices * swell[:, None], ball.faces)


def half_of(body: Mesh) -> Mesh:
    low, high = body.bounds[0] - EDGE_MM, body.bounds[1] + EDGE_MM
    block = Solid.box(tuple(low), (float(high[0]), float(high[1]), 0.0))
    return (block - Solid.from_mesh(body, "body")).mesh()


def library_closing(field: HeightField, tool: RoundTool) -> np.ndarray:
    reach = int(tool.radius_mm / field.pitch_mm + 1e-6)
    steps = np.arange(-reach, reach + 1) * field.pitch_mm
    away = np.hypot(steps[:, None], steps[None, :])
    under = away <= tool.radius_mm + 1e-6 * field.pitch_mm
    end = -tool.over_tip(np.minimum(away, tool.radius_mm))
    wide = np.pad(field.heights, 2 * reach, constant_values=-1e6)
    tips = grey_dilation(wide, footprint=under, structure=end)
    inner = slice(2 * reach, -2 * reach)
    return grey_erosion(tips, footprint=under, structure=end)[inner, inner]


def megabytes() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3


def report(subdivisions: int, radius_mm: float) -> str:
    body, cutters = lumpy_ball(subdivisions, radius_mm), CutterList()
    half = half_of(body)
    before, start = megabytes(), process_time()
    pitch = pitch_for(cutters, np.ptp(half.bounds, axis=0))
    surface = surface_of("half", half, body, pitch)
    seen = process_time()
    found = plan_reach(surface, cutters)
    done = process_time()
    thinnest = tool_of(cutters.largest_first[-1])
    start_one = process_time()
    ours = Reacher(surface.field).left(thinnest)
    end_one = process_time()
    theirs = library_closing(surface.field, thinnest)
    library = process_time() - end_one
    assert np.abs(ours - theirs).max() < 1e-4
    n, m = surface.field.heights.shape
    return (
        f"{half.n_triangles:>7} triangles, {n} x {m} cells of {pitch:.3f} mm: surface "
        f"{seen - start:.2f} s, {len(found.uses)} cutters {done - seen:.2f} s, of which "
        f"{len(found.used)} are used; both together {(done - start) / library:.1f} x one library "
        f"closing by the thinnest alone, which takes {library / (end_one - start_one):.0f} x ours; "
        f"memory {megabytes() - before:.0f} MB more"
    )


if __name__ == "__main__":
    report(3, 10.0)  # compiles
    for subdivisions, radius in ((5, 15.0), (6, 30.0), (7, 30.0), (7, 60.0)):
        print(report(subdivisions, radius))
