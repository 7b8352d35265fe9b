"""What two bodies share, measured along straight lines: a judge for faces that nearly coincide.

The kernel cuts faces that lie a rounding apart into slivers and closes them as best it can; the
volume it then reports may be of either sign and far beyond what the slivers hold. Lines know
nothing of slivers: on each, what is inside both bodies is a length.
"""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import NDArray

from moldgen.geometry.columns import first_after, height_in, span_of
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.solid import Solid

NumberArray = NDArray[np.int64]

LINES = 400  # along the longer side of what the boxes of both share, in each direction
TURNS = (np.eye(3), np.eye(3)[[1, 2, 0]], np.eye(3)[[2, 0, 1]])


def shared_mm3(one: Mesh, other: Mesh, lines: int = LINES) -> float:
    """Volume inside both of two closed meshes, the largest of three directions [mm³].

    Parameters
    ----------
    one, other : Mesh
        Closed, with outward normals [mm].
    lines : int
        Along the longer side of the square grid on which they stand.
    """
    low = np.maximum(one.bounds[0], other.bounds[0])
    high = np.minimum(one.bounds[1], other.bounds[1])
    if not (low < high).all():
        return 0.0
    return max(_along(one, other, low @ turn.T, high @ turn.T, turn, lines) for turn in TURNS)


def overlap_mm3(one: Solid, other: Solid, enough_mm3: float) -> float:
    """What two bodies share: the kernel's word, and that of lines where it is more than enough.

    Parameters
    ----------
    one, other : Solid
    enough_mm3 : float
        Above it the kernel is not believed [mm³].
    """
    (low, high), (other_low, other_high) = one.bounds, other.bounds
    if not ((low < other_high) & (other_low < high)).all():
        return 0.0
    shared = abs((one & other).volume_mm3)
    return shared if shared <= enough_mm3 else shared_mm3(one.mesh(), other.mesh())


def _along(
    one: Mesh, other: Mesh, low: FloatArray, high: FloatArray, turn: FloatArray, lines: int
) -> float:
    across = (high - low)[:2]
    n = np.maximum(np.ceil(across / across.max() * lines).astype(np.int64), 1)
    pitch = across / n
    corner = low[:2] + pitch / 2.0
    points = [np.ascontiguousarray(m.vertices @ turn.T) for m in (one, other)]
    faces = [m.faces.astype(np.int64) for m in (one, other)]
    counts = np.zeros((n[0], n[1]), dtype=np.int64)
    nowhere, kinds = np.empty(0), np.empty(0, dtype=np.int64)
    for k in range(2):
        _meet(points[k], faces[k], corner, pitch, counts, nowhere, kinds, k)
    starts = np.concatenate([[0], np.cumsum(counts.reshape(-1))])
    heights, kinds = np.empty(starts[-1]), np.empty(starts[-1], dtype=np.int64)
    places = starts[:-1].reshape(counts.shape).copy()
    for k in range(2):
        _meet(points[k], faces[k], corner, pitch, places, heights, kinds, k)
    return float(_in_both(heights, kinds, starts)) * float(pitch[0] * pitch[1])


@njit(cache=True)
def _meet(points, faces, corner, pitch, places, heights, kinds, body):  # type: ignore[no-untyped-def]
    """Where lines meet faces: counts them, or notes height and kind where there is room for it.

    The kind is 4 for the second body, plus 1 where the line enters, 2 where it leaves.
    """
    n, m = places.shape
    for face in range(len(faces)):
        i, j, k = faces[face, 0], faces[face, 1], faces[face, 2]
        a = (points[i, 0], points[i, 1], points[i, 2])
        b = (points[j, 0], points[j, 1], points[j, 2])
        c = (points[k, 0], points[k, 1], points[k, 2])
        twice = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
        if twice == 0.0:
            continue
        row = first_after(min(a[1], b[1], c[1]) - pitch[1], corner[1], pitch[1], m)
        while row < m and corner[1] + row * pitch[1] <= max(a[1], b[1], c[1]):
            y = corner[1] + row * pitch[1]
            enter, leave = span_of(a, b, c, y)
            at = first_after(enter, corner[0], pitch[0], n) if enter < leave else n
            while at < n and corner[0] + at * pitch[0] <= leave:
                place = places[at, row]
                if len(heights):
                    heights[place] = height_in(a, b, c, corner[0] + at * pitch[0], y, twice)
                    kinds[place] = 4 * body + (2 if twice > 0.0 else 1)
                places[at, row] = place + 1
                at += 1
            row += 1


@njit(cache=True)
def _in_both(heights, kinds, starts):  # type: ignore[no-untyped-def]
    """Length inside both bodies over all lines."""
    total = 0.0
    for line in range(len(starts) - 1):
        begin, end = starts[line], starts[line + 1]
        order = np.argsort(heights[begin:end])
        first, second, last = 0, 0, 0.0
        for k in order:
            z, kind = heights[begin + k], kinds[begin + k]
            if first > 0 and second > 0:
                total += z - last
            step = 1 if kind % 4 == 1 else -1
            if kind < 4:
                first += step
            else:
                second += step
            last = z
    return total
