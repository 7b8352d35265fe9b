"""Both halves put together, flooded with cubes that share nothing with the package.

What the halves leave open in the block is part, gate and vents. Resin rises in it; a cube of air
gets out if a way to the open top never goes below it. The level at which a pocket comes free lies
between two layers of cubes, so what one layer across its mouth holds is not counted against the
mold. Each set is flooded with cubes of two sizes; what the last vent lets out, which must appear
when it is shut, is carried on to cubes of no size.
"""

from __future__ import annotations

import json
import re
import runpy
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
import trimesh
from scipy import ndimage

from moldgen.build.two_part import cut_halves
from moldgen.demo import demo_part_path
from moldgen.files.read import read_part
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.solids import Solid
from moldgen.job.job import Job, MoldKind
from moldgen.part.part import Part
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.two_part import plan_two_part
from moldgen.plan.two_part_nouns import FROM_PULL
from moldgen.pose.pose import Pose
from moldgen.units import LengthUnit

HERE = Path(__file__)
VOXELS = SimpleNamespace(**runpy.run_path(str(HERE.parents[1] / "study" / "voxels.py")))
JOB = Job(kind=MoldKind.TWO_PART)
LIMIT_MM3 = JOB.channels.limit_mm3
FINE_MM, FINER_MM = 0.4, 0.25
OBLIQUE = (0.866, 0.266, -0.424)  # a way up in which the bunny has several high points
LEFT_MM3 = 1.0  # what the last vent's pocket must show at least when that vent is shut


@dataclass(frozen=True, eq=False)
class Flood:
    """The cavity between two built halves, as cubes of one size."""

    open_: np.ndarray
    last_vent: np.ndarray
    size_mm: float

    def greatest(self, shut: bool = False) -> tuple[float, float]:
        """The greatest pocket that stays, the last vent shut or not, and a layer of its mouth."""
        region = self.open_ & ~self.last_vent if shut else self.open_
        vents = np.zeros(region.shape, dtype=bool)
        vents[:, :, -1] = region[:, :, -1]
        kept = VOXELS._kept(region, vents, VOXELS.NEIGHBORS)
        pieces, count = ndimage.label(kept)
        if not count:
            return 0.0, 0.0
        sizes = ndimage.sum_labels(kept, pieces, np.arange(1, count + 1))
        own = pieces == int(np.argmax(sizes)) + 1
        leaving = own[:, :, 1:] & region[:, :, :-1] & ~kept[:, :, :-1]
        cube = self.size_mm**3
        return float(sizes.max()) * cube, float(leaving.sum()) * cube


def filled(body: Solid, plan: MoldPlan, size_mm: float) -> np.ndarray:
    """Cubes of the block whose middle lies in a body, (nx, ny, nz)."""
    low, high = np.array(plan.block.low), np.array(plan.block.high)
    shape = np.floor((high - low) / size_mm).astype(int)
    corner = high - size_mm * (shape - 0.5) + VOXELS.OFF_CENTER * (-1, -1, -1) * size_mm
    mesh = body.moved(FROM_PULL).mesh()
    crossings = np.zeros((*shape[:2], shape[2] + 1), dtype=np.int64)
    VOXELS._count_crossings(((mesh.vertices - corner) / size_mm)[mesh.faces], crossings)
    return np.cumsum(crossings, axis=2)[:, :, :-1] % 2 == 1


def flooded(plan: MoldPlan, size_mm: float) -> Flood:
    cut = cut_halves(plan)
    open_ = ~(filled(cut.half_a, plan, size_mm) | filled(cut.half_b, plan, size_mm))
    around = ndimage.find_objects(open_.astype(np.int8))[0]  # up to the top plane
    return Flood(open_[around], filled(cut.rods[-1], plan, size_mm)[around], size_mm)


def carried_on(coarse: float, fine: float) -> float:
    """To cubes of no size, for an error of the first order."""
    ratio = FINER_MM / FINE_MM
    return (fine - ratio * coarse) / (1.0 - ratio)


def made(body: trimesh.Trimesh) -> Part:
    return Part(Mesh(body.vertices, body.faces), "made", "made.stl", "0", LengthUnit.MM)


def ring() -> Part:
    return made(trimesh.creation.torus(20.0, 5.0, major_sections=64, minor_sections=32))


def comb() -> Part:
    """A bar with three teeth of 14, 15 and 16: a gate and two vents if they stand up."""
    teeth = [
        trimesh.creation.box(bounds=[[14 * i, 0, 2], [14 * i + 8, 8, 18 + i]]) for i in range(3)
    ]
    bar = trimesh.creation.box(bounds=[[0, 0, 0], [36, 8, 6]])
    return made(trimesh.boolean.union([bar, *teeth], engine="manifold"))


def fitting(name: str) -> Callable[[], Part]:
    return lambda: read_part(demo_part_path(name))


QUICK = {"ring": (ring, None), "comb": (comb, (0.0, 0.0, 1.0))}
SLOW = {name: (fitting(name), None) for name in ("bracket", "leaf-pull", "fluted-knob", "finial")}
ALL = [
    *(pytest.param(*case, id=name) for name, case in QUICK.items()),
    *(pytest.param(*case, id=name, marks=pytest.mark.slow) for name, case in SLOW.items()),
]


@pytest.mark.parametrize(("make", "up"), ALL)
def test_no_air_stays_between_the_halves(make, up):
    judge(plan_two_part(make(), JOB, Pose.from_up(up) if up else None))


@pytest.mark.slow
def test_no_air_stays_in_a_bunny_with_a_gate_and_three_vents(registry_parts):
    text = (registry_parts / "bunny" / "index.js").read_text()
    cells, points = (
        np.array(json.loads(re.search(rf"exports\.{name}=(\[\[.*?\]\])", text).group(1)))
        for name in ("cells", "positions")
    )
    body = trimesh.Trimesh(points * 60.0 / np.ptp(points, axis=0).max(), cells, process=False)
    plan = plan_two_part(made(body), JOB, Pose.from_up(OBLIQUE))
    assert plan.connections > 2
    judge(plan)


def judge(plan: MoldPlan) -> None:
    """No pocket above the limit; with the last vent shut, the pocket that it lets out."""
    floods = [flooded(plan, size) for size in (FINE_MM, FINER_MM)]
    left = [f.greatest() for f in floods]
    assert max(held - layer for held, layer in left) <= LIMIT_MM3, left
    shut = [f.greatest(shut=True) for f in floods]
    assert min(held for held, _ in shut) > max(held for held, _ in left) + LEFT_MM3, shut
    pocket = plan.vents[-1].pocket.trapped_mm3 if plan.vents else plan.mesh.volume_mm3
    found, layer = carried_on(*(held for held, _ in shut)), shut[-1][1]
    assert found == pytest.approx(pocket, abs=max(0.1 * pocket, layer)), shut
