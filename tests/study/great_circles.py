"""The fewest pockets of a small polyhedron over all directions, with no volume limit.

A vertex holds air for exactly those directions along which all its neighbors lie lower: an
open cone, bounded by planes square to its edges. All these planes cut the sphere of
directions into cells in which the set of such vertices is fixed, and every cell has a corner
where two planes cross; so a look into each sector around each crossing sees every cell.
Cells narrower than the step into a sector could be missed.

This is the second route to the fewest connections, kept for the tests: it knows no volume limit
and shares with the program only the side test of a peak.

Related: P. Bose, M. van Kreveld, G. Toussaint, Filling polyhedral molds, Computer-Aided
Design 30(4) 1998, 245-254.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from moldgen.geometry.mergetree import Superlevels
from moldgen.geometry.mesh import FloatArray, Mesh

STEP = 1e-6  # into a sector [rad]
SAME = 1e-9  # two planes this close are one
CHUNK = 20_000


def fewest_raw_pockets(mesh: Mesh) -> tuple[int, FloatArray]:
    """The least number of peaks with the solid below them, and a direction in each such cell.

    Parameters
    ----------
    mesh : Mesh
        Closed, with outward normals; every pair of edges is looked at, so a small one.

    Returns
    -------
    fewest : int
    directions : (k, 3) float
    """
    rays, starts, owners = _rays(mesh)
    samples = _samples(_planes(rays))
    peaks = np.concatenate(
        [
            _peaks(chunk, rays, starts)
            for chunk in np.array_split(samples, len(samples) // CHUNK + 1)
        ]
    )
    traps = peaks[:, _solid_below(mesh, samples, peaks, owners)]
    counts = traps.sum(axis=1)
    fewest = int(counts.min())
    least = counts == fewest
    return fewest, _cells(samples[least], traps[least])


def _rays(mesh: Mesh) -> tuple[FloatArray, NDArray[np.intp], NDArray[np.intp]]:
    """Unit edges leaving each vertex, grouped by vertex: (2e, 3), where groups start, whose."""
    sides = np.concatenate([mesh.faces[:, [0, 1]], mesh.faces[:, [1, 2]], mesh.faces[:, [2, 0]]])
    sides = np.unique(np.concatenate([sides, sides[:, ::-1]]), axis=0)
    rays = mesh.vertices[sides[:, 1]] - mesh.vertices[sides[:, 0]]
    owners, starts = np.unique(sides[:, 0], return_index=True)
    return rays / np.linalg.norm(rays, axis=1)[:, None], starts, owners.astype(np.intp)


def _planes(rays: FloatArray) -> FloatArray:
    """The rays without repeats, opposite ones taken as one, (k, 3)."""
    lead = np.argmax(np.abs(rays) > SAME, axis=1)
    signs = np.sign(rays[np.arange(len(rays)), lead])
    _, first = np.unique(np.round(rays * signs[:, None] / SAME), axis=0, return_index=True)
    planes: FloatArray = rays[first]
    return planes


def _samples(planes: FloatArray) -> FloatArray:
    """A step from each crossing of two planes into each of its four sectors, (k, 3).

    Where more planes cross, a step may end on one of them; it is left out, and the sectors
    on both sides are seen from the pairs that bound them.
    """
    i, j = np.triu_indices(len(planes), 1)
    a, b = planes[i], planes[j]
    crossing = np.cross(a, b)
    sine = np.linalg.norm(crossing, axis=1)
    cross = sine > SAME
    a, b, crossing = a[cross], b[cross], crossing[cross] / sine[cross, None]
    along_a, along_b = np.cross(crossing, a), np.cross(crossing, b)
    sectors = [s * along_a + t * along_b for s in (-1, 1) for t in (-1, 1)]
    steps = [STEP * v / np.linalg.norm(v, axis=1)[:, None] for v in sectors]
    rows = np.concatenate([sign * crossing + step for sign in (-1, 1) for step in steps])
    samples = rows / np.linalg.norm(rows, axis=1)[:, None]
    off_every_plane = [
        (np.abs(chunk @ planes.T) > SAME).all(axis=1)
        for chunk in np.array_split(samples, len(samples) // CHUNK + 1)
    ]
    in_cells: FloatArray = samples[np.concatenate(off_every_plane)]
    return in_cells


def _peaks(directions: FloatArray, rays: FloatArray, starts: NDArray[np.intp]) -> NDArray[np.bool_]:
    """Which vertices have all neighbors lower, (n directions, n vertices)."""
    return np.logical_and.reduceat(directions @ rays.T < 0.0, starts, axis=1)


def _solid_below(
    mesh: Mesh, samples: FloatArray, peaks: NDArray[np.bool_], owners: NDArray[np.intp]
) -> NDArray[np.bool_]:
    """Vertices that, where they are peaks, have the solid below them."""
    levels, below = Superlevels(mesh), np.zeros(len(owners), dtype=bool)
    for k in np.flatnonzero(peaks.any(axis=0)):
        lift = levels.along(samples[np.argmax(peaks[:, k])]).lift
        below[k] = (lift.weights[lift.peaks == owners[k]] > 0.0).any()
    return below


def _cells(samples: FloatArray, traps: NDArray[np.bool_]) -> FloatArray:
    """The middle of the corners of each cell, and one corner, (2k, 3)."""
    _, first, cell = np.unique(traps, axis=0, return_index=True, return_inverse=True)
    middles = np.zeros((len(first), 3))
    np.add.at(middles, cell.ravel(), samples)
    lengths = np.linalg.norm(middles, axis=1)
    inner = middles[lengths > SAME] / lengths[lengths > SAME, None]
    directions: FloatArray = np.concatenate([inner, samples[first]])
    return directions
