"""Faces of any number of corners, as OBJ and PLY list them, made into triangles."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import chain

import numpy as np
from numpy.typing import NDArray

from moldgen.errors import PartError
from moldgen.files.limits import check_triangles
from moldgen.geometry.mesh import FloatArray, IntArray
from moldgen.geometry.polygon import fan, flattened, is_strictly_convex, triangulate

MAX_CORNERS = 1000
MAX_CONCAVE_CORNERS = 20_000  # cutting ears off takes the square of the corners

NumberArray = NDArray[np.int64]


def split_polygons(
    vertices: FloatArray, polygons: NDArray[np.generic] | Sequence[Sequence[int]]
) -> IntArray:
    """Triangles of polygons over (n, 3) vertices, (m, 3).

    Raises
    ------
    PartError
        If a polygon has fewer than three corners, names no vertex, or is too long.
    """
    sizes, numbers = _counted(polygons)
    _check_sizes(sizes)
    check_triangles(int((sizes - 2).sum()))
    _check_numbers(numbers, sizes, len(vertices))
    starts = np.cumsum(sizes) - sizes
    triangles = numbers[starts[sizes == 3][:, None] + np.arange(3)]
    larger = (numbers[s : s + n] for s, n in zip(starts, sizes, strict=True) if n > 3)
    return np.concatenate([triangles, *_split(vertices, larger)]).astype(np.int32)


def _counted(
    polygons: NDArray[np.generic] | Sequence[Sequence[int]],
) -> tuple[NumberArray, NumberArray]:
    """Corners of each polygon, and all corner numbers in one row."""
    if isinstance(polygons, np.ndarray):
        sizes = np.full(len(polygons), polygons.shape[1], dtype=np.int64)
        with np.errstate(invalid="ignore"):  # a number that is none is refused as out of range
            return sizes, polygons.astype(np.int64).reshape(-1)
    sizes = np.fromiter(map(len, polygons), dtype=np.int64, count=len(polygons))
    clipped = (min(max(int(k), -1), 2**31) for k in chain.from_iterable(polygons))
    return sizes, np.fromiter(clipped, dtype=np.int64, count=int(sizes.sum()))


def _check_sizes(sizes: NumberArray) -> None:
    for bad in np.flatnonzero((sizes < 3) | (sizes > MAX_CORNERS))[:1]:
        raise PartError(
            f"face {bad + 1} has {sizes[bad]} corners and 3 to {MAX_CORNERS} are read: "
            "export it again as triangles"
        )


def _check_numbers(numbers: NumberArray, sizes: NumberArray, n_vertices: int) -> None:
    for bad in np.flatnonzero((numbers < 0) | (numbers >= n_vertices))[:1]:
        face = int(np.searchsorted(np.cumsum(sizes), bad, side="right"))
        raise PartError(
            f"face {face + 1} names a vertex that is not among the {n_vertices:,} given: "
            "the file is cut short or damaged, export it again"
        )


def _split(vertices: FloatArray, polygons: Iterable[NumberArray]) -> list[NumberArray]:
    blocks, concave = [], 0
    for corners in polygons:
        points = vertices[corners]
        if is_strictly_convex(flattened(points)):
            blocks.append(corners[fan(len(corners))])
            continue
        concave += len(corners)
        if concave > MAX_CONCAVE_CORNERS:
            raise PartError(
                f"its concave faces have more than {MAX_CONCAVE_CORNERS:,} corners together: "
                "export it again as triangles"
            )
        blocks.append(corners[triangulate(points)])
    return blocks
