"""What the edges of a mesh say: open or closed, which way the faces turn, which hang together."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from moldgen.geometry.mesh import FloatArray, Mesh

NumberArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Edges:
    """The edges of a mesh with shared vertices.

    Attributes
    ----------
    start, end : (3 m,) int
        Ends of every face's edges, in the direction the face turns.
    number : (3 m,) int
        Which undirected edge each of them is.
    count : (k,) int
        How many faces meet at each undirected edge.
    balance : (k,) int
        Faces that run along it one way less those that run the other.
    """

    start: NumberArray
    end: NumberArray
    number: NumberArray
    count: NumberArray
    balance: NumberArray

    @classmethod
    def of(cls, mesh: Mesh) -> Edges:
        """The edges of a mesh."""
        start = mesh.faces.reshape(-1).astype(np.int64)
        end = np.roll(mesh.faces, -1, axis=1).reshape(-1).astype(np.int64)
        keys = np.minimum(start, end) * len(mesh.vertices) + np.maximum(start, end)
        _, number, count = np.unique(keys, return_inverse=True, return_counts=True)
        turn = np.where(start < end, 1.0, -1.0)
        balance = np.bincount(number, weights=turn, minlength=len(count)).astype(np.int64)
        return cls(start, end, number, count, balance)

    @cached_property
    def is_closed(self) -> bool:
        """Whether every edge is run along as often one way as the other."""
        return not self.balance.any()

    @cached_property
    def open(self) -> NumberArray:
        """Which rows of `start` and `end` belong to one face only."""
        return np.flatnonzero(self.count[self.number] == 1)

    @cached_property
    def crowded(self) -> NumberArray:
        """Which rows lie where three or more faces meet that do not cancel in pairs."""
        return np.flatnonzero((self.count > 2)[self.number] & (self.balance != 0)[self.number])

    @cached_property
    def _pairs(self) -> NumberArray:
        """Rows of the two faces at every edge that has just two, (p, 2)."""
        rows = np.flatnonzero(self.count[self.number] == 2)
        return rows[np.argsort(self.number[rows], kind="stable")].reshape(-1, 2)

    def face_groups(self, mesh: Mesh) -> tuple[int, NDArray[np.int32]]:
        """Faces of a closed mesh that hang together: how many groups, and each face's, (m,).

        Where four or more faces meet at an edge, those hang together that bound the same wedge
        of material, so bodies that touch come apart.
        """
        rows = [self._pairs, self._wedges(mesh)]
        return grouped(np.concatenate(rows) // 3, mesh.n_triangles)

    def _wedges(self, mesh: Mesh) -> NumberArray:
        """Rows of faces that bound one wedge of material at edges of many faces, (p, 2)."""
        rows = np.flatnonzero((self.count > 2)[self.number])
        rows = rows[np.argsort(self.number[rows], kind="stable")]
        angle = self._angles(mesh, rows)
        runs = np.split(np.arange(len(rows)), np.flatnonzero(np.diff(self.number[rows])) + 1)
        pairs = [pair for run in runs for pair in self._matched(rows[run], angle[run])]
        return np.array(pairs, dtype=np.int64).reshape(-1, 2)

    def _angles(self, mesh: Mesh, rows: NumberArray) -> FloatArray:
        """Angle of each row's face about its edge, seen along from the lower vertex number."""
        low = np.minimum(self.start[rows], self.end[rows])
        high = np.maximum(self.start[rows], self.end[rows])
        axis = mesh.vertices[high] - mesh.vertices[low]
        axis /= np.linalg.norm(axis, axis=1, keepdims=True)
        tip = mesh.faces[rows // 3, (rows % 3 + 2) % 3]
        arm = mesh.vertices[tip] - mesh.vertices[low]
        aside = np.eye(3)[np.abs(axis).argmin(axis=1)]
        across = np.cross(axis, aside)
        up = np.cross(axis, across)
        turn = np.arctan2((arm * up).sum(axis=1), (arm * across).sum(axis=1))
        return np.asarray(turn.round(9))

    def _matched(self, rows: NumberArray, angle: FloatArray) -> list[tuple[int, int]]:
        """Pairs of a face where material begins and the one where it ends, going round.

        Material lies at lower angles of a face that runs the edge upward. Going twice round
        finds the end of a wedge that was open at the start.
        """
        ends = self.start[rows] < self.end[rows]
        order = np.lexsort([~ends, angle])
        waiting: list[int] = []
        pairs: list[tuple[int, int]] = []
        closed: set[int] = set()
        for k in np.concatenate([order, order]):
            if ends[k] and waiting and k not in closed:
                closed.add(int(k))
                pairs.append((int(rows[waiting.pop(0)]), int(rows[k])))
            elif not ends[k] and k not in closed:
                closed.add(int(k))
                waiting.append(int(k))
        return pairs

    def turned_faces(self) -> tuple[BoolArray, BoolArray]:
        """Faces to turn over so that neighbors agree, and faces where that cannot be, (m,) each.

        Of the two ways to make a group agree, the one that turns fewer faces.
        """
        n_faces = len(self.start) // 3
        first, second = self._pairs.T
        agree = (self.start[first] != self.start[second]).astype(np.int64)
        f, g = first // 3, second // 3
        links = np.concatenate(  # nodes 0..m-1: face as it is; m..2m-1: face turned over
            [
                np.column_stack([f, g + n_faces * (1 - agree)]),
                np.column_stack([f + n_faces, g + n_faces * agree]),
            ]
        )
        _, label = grouped(links, 2 * n_faces)
        as_is, over = label[:n_faces], label[n_faces:]
        size = np.bincount(as_is, minlength=int(label.max(initial=0)) + 1)
        turn = (size[as_is] < size[over]) | ((size[as_is] == size[over]) & (as_is > over))
        return turn & (as_is != over), as_is == over


def grouped(links: NumberArray, n: int) -> tuple[int, NDArray[np.int32]]:
    """How many groups n things fall into under (p, 2) links, and which is each one's, (n,)."""
    ones = np.ones(len(links), dtype=np.int8)
    graph = coo_array((ones, (links[:, 0], links[:, 1])), shape=(n, n))
    count, label = connected_components(graph, directed=False)
    return int(count), label.astype(np.int32)
