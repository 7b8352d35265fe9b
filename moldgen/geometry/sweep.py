"""A body swept straight up: everything that has the body below it.

What lies outside the sweep can drop away from the body, what lies in it cannot. The sweep is the
union of upright columns over patches of the skin that faces down, each a graph over the plane.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray

from moldgen.geometry.edges import grouped
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.recipe import Point2, Prism
from moldgen.geometry.solid import Solid, covered_mm2
from moldgen.geometry.solids import mesh_solid

IndexArray = NDArray[np.int64]

UPRIGHT = 1e-5  # the cosine below which a triangle may count as upright: it bounds no column
NARROW_MM = 3e-6  # and how wide it may look from above: what rounding makes of an upright one
SAME_MM2, SAME_AREA = 1e-7, 1e-10  # and of a patch: so nearly it covers the plane once
CUT_ALONG = (2, 2, 0, 2, 2, 1)  # axes: by height mostly, but a level fold needs other cuts
FLAKE_MM3 = 1e-6


def swept_up(mesh: Mesh, top_mm: float) -> Solid:
    """The body and everything straight above it, up to a level plane.

    Parameters
    ----------
    mesh : Mesh
        Closed, with outward normals [mm].
    top_mm : float
        Above the body [mm].
    """
    columns = [
        Solid.from_mesh(_column(mesh.vertices, faces, top_mm), "sweep") for faces in _patches(mesh)
    ]
    whole = Solid.union(columns)
    kept = [piece for piece in whole.components() if piece.volume_mm3 > FLAKE_MM3]
    return Solid.union(kept).named("sweep")


def over_area(body: Solid, area: shapely.Geometry) -> Solid:
    """What of a body lies straight over or under an area of the plane.

    Parameters
    ----------
    body : Solid
    area : shapely geometry
        In X and Y [mm].
    """
    low, high = (float(z) for z in body.bounds[:, 2])
    prisms = [
        Prism(_ring(p.exterior), low - 1.0, high + 1.0, tuple(map(_ring, p.interiors)))
        for p in shapely.get_parts(area)
    ]
    return body & Solid.union([mesh_solid(prism) for prism in prisms])


def _ring(ring: shapely.LinearRing) -> tuple[Point2, ...]:
    return tuple((float(x), float(y)) for x, y in ring.coords[:-1])


def _patches(mesh: Mesh) -> Iterator[IndexArray]:
    """The skin that faces down, in patches that cover the plane once, (m, 3) each."""
    down = (mesh.area_vectors[:, 2] < 0.0) & ~_is_upright(mesh)
    waiting = [(faces, 0) for faces in _connected(mesh.faces[down].astype(np.int64))]
    while waiting:
        faces, cuts = waiting.pop()
        if len(faces) == 1 or _is_graph(mesh.vertices, faces):
            yield faces
            continue
        along = mesh.vertices[faces, CUT_ALONG[cuts % len(CUT_ALONG)]].mean(axis=1)
        order = np.argsort(along, kind="stable")
        for half in np.split(order, [len(faces) // 2]):
            waiting += [(piece, cuts + 1) for piece in _connected(faces[half])]


def _is_upright(mesh: Mesh) -> NDArray[np.bool_]:
    areas, seen = np.linalg.norm(mesh.area_vectors, axis=1), np.abs(mesh.area_vectors[:, 2])
    sides = np.roll(mesh.corners, -1, axis=1)[:, :, :2] - mesh.corners[:, :, :2]
    longest = np.linalg.norm(sides, axis=2).max(axis=1)
    narrow = 2.0 * seen <= NARROW_MM * longest
    return np.asarray((seen <= UPRIGHT * areas) & narrow)


def _connected(faces: IndexArray) -> list[IndexArray]:
    """Triangles in groups that share edges."""
    if not len(faces):
        return []
    n = int(faces.max()) + 1
    edges = np.sort(np.concatenate([faces[:, (k, (k + 1) % 3)] for k in range(3)]), axis=1)
    owner = np.tile(np.arange(len(faces)), 3)
    keys = edges[:, 0] * n + edges[:, 1]
    order = np.argsort(keys, kind="stable")
    same = keys[order][1:] == keys[order][:-1]
    links = np.column_stack([owner[order][1:][same], owner[order][:-1][same]])
    count, label = grouped(links, len(faces))
    by_label = np.argsort(label, kind="stable")
    ends = np.cumsum(np.bincount(label, minlength=count))[:-1]
    return [faces[rows] for rows in np.split(by_label, ends)]


def _is_graph(vertices: FloatArray, faces: IndexArray) -> bool:
    """Whether a patch covers the plane once.

    All its triangles face down, so over a point lie as many as its rim winds round it: the rim
    alone tells what is covered.
    """
    flat = vertices[faces][:, :, :2]
    u, v = flat[:, 1] - flat[:, 0], flat[:, 2] - flat[:, 0]
    total = 0.5 * float(np.abs(u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]).sum())
    loops = _loops(_rim(faces, int(faces.max()) + 1))
    covered = covered_mm2([vertices[loop, :2] for loop in loops])
    return covered >= total * (1.0 - SAME_AREA) - SAME_MM2


def _loops(rim: IndexArray) -> list[IndexArray]:
    """Directed edges (k, 2) as closed loops of corners; where loops touch, any way on will do."""
    starts, ends = np.argsort(rim[:, 0], kind="stable"), np.argsort(rim[:, 1], kind="stable")
    after = np.empty(len(rim), dtype=np.int64)
    after[ends] = starts
    loops, left = [], np.ones(len(rim), dtype=bool)
    for first in range(len(rim)):
        edges = []
        edge = first
        while left[edge]:
            left[edge] = False
            edges.append(edge)
            edge = after[edge]
        if edges:
            loops.append(rim[edges, 0])
    return loops


def _column(vertices: FloatArray, faces: IndexArray, top_mm: float) -> Mesh:
    """What lies straight above a patch; a point where it touches itself is doubled."""
    faces, source = _split_pinches(faces)
    n = len(source)
    bottom = vertices[source]
    top = np.column_stack([bottom[:, :2], np.full(n, top_mm)])
    rim = _rim(faces, n)
    walls = [
        np.column_stack([rim[:, 1], rim[:, 0], rim[:, 0] + n]),
        np.column_stack([rim[:, 1], rim[:, 0] + n, rim[:, 1] + n]),
    ]
    every = np.vstack([faces, faces[:, ::-1] + n, *walls])
    return Mesh(np.vstack([bottom, top]), every.astype(np.int32))


def _split_pinches(faces: IndexArray) -> tuple[IndexArray, IndexArray]:
    """A corner of its own for each fan of triangles round a vertex, and its vertex."""
    n = int(faces.max()) + 1
    rows: list[IndexArray] = []
    corner = np.arange(3 * len(faces)).reshape(-1, 3)
    first = np.concatenate([faces[:, k] for k in range(3)])
    last = np.concatenate([faces[:, (k + 1) % 3] for k in range(3)])
    at_first = np.concatenate([corner[:, k] for k in range(3)])
    at_last = np.concatenate([corner[:, (k + 1) % 3] for k in range(3)])
    keys = np.minimum(first, last) * n + np.maximum(first, last)
    order = np.argsort(keys, kind="stable")
    pairs = np.flatnonzero(keys[order][1:] == keys[order][:-1])
    i, j = order[pairs], order[pairs + 1]  # the same edge, run the other way
    rows = [np.column_stack([at_first[i], at_last[j]]), np.column_stack([at_last[i], at_first[j]])]
    count, label = grouped(np.concatenate(rows), 3 * len(faces))
    source = np.empty(count, dtype=np.int64)
    source[label] = faces.reshape(-1)
    return label.reshape(-1, 3).astype(np.int64), source


def _rim(faces: IndexArray, n: int) -> IndexArray:
    edges = np.concatenate([faces[:, (k, (k + 1) % 3)] for k in range(3)])
    there, back = edges[:, 0] * n + edges[:, 1], edges[:, 1] * n + edges[:, 0]
    rim: IndexArray = edges[~np.isin(there, back)]
    return rim
