"""Undercuts: where rubber reaches behind the part, how deep, and whether it bears to come out."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy import ndimage

from moldgen.errors import Finding, Grade
from moldgen.geometry.bvh import Bvh
from moldgen.geometry.columns import Columns, columns_along
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.recipe import Point3
from moldgen.materials.kinds import MoldRubber
from moldgen.plan.channel_notes import point_text

CELLS = 240  # along the longest side of the part
LEAST_GAP_MM = 0.05  # along the pull: less is the grain of the mesh
LEAST_MM3 = 1.0
BORNE_SHARE = 1.0 / 3.0  # of the strain at break, again and again: common practice, no source
_EVERY_SIDE = np.ones((3, 3), dtype=bool)


@dataclass(frozen=True)
class Undercut:
    """One place that the straight pull cannot clear.

    Attributes
    ----------
    point : (3,) float
        In its middle, in the frame of the mesh [mm].
    volume_mm3 : float
        Of what is caught there.
    depth_mm : float
        How far it reaches in sideways, square to the pull; inf where it is shut in.
    """

    point: Point3
    volume_mm3: float
    depth_mm: float


def find_undercuts(mesh: Mesh) -> tuple[Undercut, ...]:
    """The undercuts of a pull along Z, largest first.

    Parameters
    ----------
    mesh : Mesh
        In the frame of the pull [mm].

    Notes
    -----
    A place is caught where the part lies both before and behind it. What fills it leaves sideways,
    into the nearest place that is not caught; that way is its depth.
    """
    pitch = float(np.ptp(mesh.vertices, axis=0).max()) / CELLS
    seen = columns_along(mesh, np.eye(3), pitch)
    caught = seen.gaps_mm > LEAST_GAP_MM
    if not caught.any():
        return ()
    middles = _middles(mesh, seen, caught)
    label, count = ndimage.label(caught, structure=_EVERY_SIDE)
    ways = _ways_out(mesh, seen, caught, middles)
    found = [_undercut(seen, label == k + 1, middles, ways) for k in range(count)]
    kept = [u for u in found if u.volume_mm3 >= LEAST_MM3]
    return tuple(sorted(kept, key=lambda u: (-u.volume_mm3, u.point)))


def undercut_findings(
    undercuts: tuple[Undercut, ...], wall_mm: float, rubber: MoldRubber
) -> tuple[Finding, ...]:
    """What the maker has to know of undercuts.

    Parameters
    ----------
    undercuts : tuple of Undercut
        Points in the casting frame.
    wall_mm : float
        Rubber beside the part, which gives way [mm].
    rubber : MoldRubber

    Notes
    -----
    The rubber behind an undercut of depth d gives way by d over its own thickness w, a strain of
    d / w; a third of the strain at break is borne again and again (common practice, no source).
    """
    if not undercuts or rubber.elongation_percent is None:
        return ()
    borne = BORNE_SHARE * rubber.elongation_percent / 100.0
    hard = [u for u in undercuts if u.depth_mm / wall_mm > borne]
    easy = [u for u in undercuts if u.depth_mm / wall_mm <= borne]
    return (*(_hard(u, wall_mm, borne) for u in hard), *_easy(easy, wall_mm, borne))


def _hard(cut: Undercut, wall_mm: float, borne: float) -> Finding:
    where = f"at {point_text(cut.point)}, {cut.volume_mm3:.0f} mm³"
    if math.isinf(cut.depth_mm):
        text = f"a hollow {where}, is shut in along the pull: no rubber comes out of it"
        return Finding(Grade.CAUTION, text)
    strain = cut.depth_mm / wall_mm
    return Finding(
        Grade.CAUTION,
        f"an undercut {where} and {cut.depth_mm:.1f} mm deep, asks {100 * strain:.0f} % of "
        f"{wall_mm:g} mm of rubber, which bears {100 * borne:.0f} %: give it "
        f"--wall {math.ceil(cut.depth_mm / borne)}, another --pull, or cut the rubber there",
        strain,
        borne,
    )


def _easy(cuts: list[Undercut], wall_mm: float, borne: float) -> list[Finding]:
    """One note for all that the rubber bears: the deepest."""
    if not cuts:
        return []
    deepest = max(cuts, key=lambda u: u.depth_mm)
    strain = deepest.depth_mm / wall_mm
    others = f", and {len(cuts) - 1} lesser" if len(cuts) > 1 else ""
    return [
        Finding(
            Grade.NOTE,
            f"an undercut at {point_text(deepest.point)}, {deepest.depth_mm:.1f} mm deep{others}, "
            f"bends the rubber when the halves are drawn off: {100 * strain:.0f} %, it bears "
            f"{100 * borne:.0f} %",
            strain,
            borne,
        )
    ]


def _middles(mesh: Mesh, seen: Columns, caught: np.ndarray) -> FloatArray:
    """Middle height of the first gap of every caught column, (n, m); nan elsewhere [mm]."""
    tree, up = Bvh(mesh), (0.0, 0.0, 1.0)
    i, j = np.nonzero(caught)
    flat = seen.corner_mm + seen.pitch_mm * np.column_stack([i, j])
    grain = 1e-6 * float(np.abs(mesh.bounds).max() + 1.0)
    start = np.column_stack([flat, seen.low_mm[caught]])
    into, _ = tree.first_hit(start, up, grain)
    begin = start + np.where(np.isfinite(into), into, 0.0)[:, None] * np.array(up)
    across, _ = tree.first_hit(begin, up, grain)
    middles = np.full(caught.shape, np.nan)
    middles[caught] = begin[:, 2] + np.where(np.isfinite(across), across, 0.0) / 2.0
    return middles


def _ways_out(mesh: Mesh, seen: Columns, caught: np.ndarray, middles: FloatArray) -> FloatArray:
    """Way of every caught column to the nearest place beside it that is free, (n, m) [mm]."""
    padded = np.pad(caught, 1)
    beside = ndimage.binary_dilation(padded, structure=_EVERY_SIDE) & ~padded
    nearest = ndimage.distance_transform_edt(~padded, return_distances=False, return_indices=True)
    heights = np.pad(middles, 1, constant_values=np.nan)[tuple(nearest)]
    i, j = np.nonzero(beside)
    flat = seen.corner_mm + seen.pitch_mm * (np.column_stack([i, j]) - 1)
    open_ = ~Bvh(mesh).inside(np.column_stack([flat, heights[beside]]))
    free = np.zeros(padded.shape, dtype=bool)
    free[i[open_], j[open_]] = True
    if not free.any():
        return np.full(caught.shape, np.inf)
    ways: FloatArray = ndimage.distance_transform_edt(~free)[1:-1, 1:-1] * seen.pitch_mm
    return ways


def _undercut(seen: Columns, own: np.ndarray, middles: FloatArray, ways: FloatArray) -> Undercut:
    i, j = np.nonzero(own)
    gaps = seen.gaps_mm[own]
    deepest = int(np.argmax(ways[own]))
    x, y = seen.corner_mm + seen.pitch_mm * np.array([i[deepest], j[deepest]])
    point = (float(x), float(y), float(middles[own][deepest]))
    return Undercut(point, float(gaps.sum()) * seen.pitch_mm**2, float(ways[own].max()))
