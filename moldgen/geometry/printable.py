"""A skin as files can keep it: corners in single precision, closed, and moved by nothing else.

STL stores three single-precision corners a triangle and nothing else, so corners are the same if
and only if they are equal. Rounding lets corners fall together: triangles lose their width, and
sheets meet along an edge. What has become flat is left out, and where sheets share an edge all but
one of them get a corner of their own on it. So the skin closes, and no corner moves by more than
its own rounding: bodies that shared a face share it still.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from moldgen.errors import SolidError
from moldgen.geometry.closed import is_closed
from moldgen.geometry.edges import Edges
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.solid import Solid
from moldgen.geometry.weld import canonical

NumberArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]

CRUMB_MM3 = 1e-3  # a cube of 0.1 mm, once held by less than a step of single precision
SHARES = (0.5, 0.375, 0.625, 0.25, 0.75)  # of an edge: where it may be given a corner
REACH = range(-2, 3)
ASIDE = sorted(  # in steps of single precision, nearest first
    ((x, y, z) for x in REACH for y in REACH for z in REACH),
    key=lambda step: (sum(k * k for k in step), step),
)


def printable(solid: Solid) -> Mesh:
    """The skin with single-precision corners, closed even after a file has forgotten which meet.

    Parameters
    ----------
    solid : Solid

    Raises
    ------
    SolidError
        If it is too small for single precision, or its sheets lie too near to be told apart.
    """
    mesh = single_precision(solid.mesh())
    if not is_closed(mesh):
        step = float(np.spacing(np.float32(np.abs(solid.bounds).max())))
        raise SolidError(
            f"{solid.name or 'a body'} does not close in single precision, whose steps are "
            f"{step:.1g} mm here: walls that thin, or that touch along an edge, must overlap"
        )
    return canonical(mesh)


def single_precision(mesh: Mesh) -> Mesh:
    """A closed mesh with its corners rounded, equal ones joined, and what became flat left out.

    Parameters
    ----------
    mesh : Mesh
        Two faces at every edge.
    """
    places, number = np.unique(
        mesh.vertices.astype(np.float32).astype(np.float64) + 0.0, axis=0, return_inverse=True
    )
    skin = _Skin(mesh, number.reshape(-1)[mesh.faces])
    faces = skin.faces[skin.stays].astype(np.int32)
    rounded = Mesh(places, faces)
    if len(faces) and not is_closed(rounded):
        rounded = _with_corners(rounded, skin.shared())
    return _without_crumbs(rounded)


class _Skin:
    """The faces after rounding, and which of them hang together through what became flat."""

    def __init__(self, mesh: Mesh, faces: NumberArray) -> None:
        self.faces = faces
        self._twin = _twins(mesh)
        self._partner = _back_to_back(faces)
        self._flat = _has_twins(faces)
        self.stays: BoolArray = ~self._flat & (self._partner < 0)
        self._new = np.cumsum(self.stays) - 1

    def shared(self) -> Iterator[tuple[int, int]]:
        """Pairs of sides, as rows of the faces that stay, that need a corner of their own."""
        rows = np.flatnonzero(np.repeat(self.stays, 3))
        ends = np.sort(self._ends(rows), axis=1)
        _, number, count = np.unique(ends, axis=0, return_inverse=True, return_counts=True)
        number = number.reshape(-1)
        crowded = rows[count[number] > 2]
        owner = dict(zip(rows.tolist(), number.tolist(), strict=True))
        seen: set[int] = set()
        first: set[int] = set()
        for side in crowded.tolist():
            if side in seen:
                continue
            other = self._across(side)
            seen.update((side, other))
            if owner[side] in first:
                yield self._renumbered(side), self._renumbered(other)
            first.add(owner[side])

    def _ends(self, sides: NumberArray) -> NumberArray:
        face, k = sides // 3, sides % 3
        return np.column_stack([self.faces[face, k], self.faces[face, (k + 1) % 3]])

    def _renumbered(self, side: int) -> int:
        return int(3 * self._new[side // 3] + side % 3)

    def _across(self, side: int) -> int:
        """The side of the next face that stays, through all that became flat between."""
        while True:
            side = int(self._twin[side])
            face = side // 3
            if self.stays[face]:
                return side
            side = self._other_side(side) if self._flat[face] else self._same_side(side)

    def _other_side(self, side: int) -> int:
        """The other side with a length of a face without a width."""
        face, k = divmod(side, 3)
        b, c = (self.faces[face, (k + i) % 3] for i in (1, 2))
        return 3 * face + (k + (1 if b != c else 2)) % 3

    def _same_side(self, side: int) -> int:
        """The side along the same edge of the face that lies back to back."""
        face, k = divmod(side, 3)
        a = self.faces[face, k]
        back = int(self._partner[face])
        k = int(np.flatnonzero(self.faces[back] == a)[0])
        return 3 * back + (k + 2) % 3


def _twins(mesh: Mesh) -> NumberArray:
    """For every side of every face the side it lies along, (3 m,)."""
    edges = Edges.of(mesh)
    order = np.argsort(edges.number, kind="stable").reshape(-1, 2)
    twin = np.empty(len(edges.number), dtype=np.int64)
    twin[order[:, 0]], twin[order[:, 1]] = order[:, 1], order[:, 0]
    return twin


def _has_twins(faces: NumberArray) -> BoolArray:
    a, b, c = faces.T
    return np.asarray((a == b) | (b == c) | (c == a))


def _back_to_back(faces: NumberArray) -> NumberArray:
    """The face over the same corners turned the other way, each taken once; -1 for none, (m,)."""
    partner = np.full(len(faces), -1, dtype=np.int64)
    real = np.flatnonzero(~_has_twins(faces))
    turn = faces[real].argmin(axis=1)
    first = np.take_along_axis(faces[real], (turn[:, None] + np.arange(3)) % 3, axis=1)
    over = first[:, 1] > first[:, 2]
    ordered = np.sort(faces[real], axis=1)
    _, number, count = np.unique(ordered, axis=0, return_inverse=True, return_counts=True)
    number = number.reshape(-1)
    many = np.flatnonzero(count[number] > 1)
    many = many[np.argsort(number[many], kind="stable")]
    for run in np.split(many, np.flatnonzero(np.diff(number[many])) + 1):
        there, back = real[run[over[run]]], real[run[~over[run]]]
        for f, g in zip(there, back, strict=False):
            partner[f], partner[g] = g, f
    return partner


def _with_corners(mesh: Mesh, pairs: Iterator[tuple[int, int]]) -> Mesh:
    """The mesh with a new corner on each pair of sides."""
    places = [tuple(p) for p in mesh.vertices.tolist()]
    taken = set(places)
    on_side: dict[int, int] = {}
    for side, other in pairs:
        a, b = (mesh.vertices[mesh.faces[side // 3, (side % 3 + i) % 3]] for i in range(2))
        place = next((p for p in _between(a, b) if p not in taken), None)
        if place is None:
            continue
        taken.add(place)
        on_side[side] = on_side[other] = len(places)
        places.append(place)
    split = {side // 3 for side in on_side}
    kept = np.array([f not in split for f in range(len(mesh.faces))], dtype=bool)
    new = [t for f in sorted(split) for t in _divided(mesh.faces[f], [*_corners(on_side, f)])]
    return Mesh(np.array(places), np.vstack([mesh.faces[kept], np.array(new, dtype=np.int32)]))


def _between(a: FloatArray, b: FloatArray) -> Iterator[tuple[float, ...]]:
    """Single-precision places on an edge or a few steps beside it."""
    steps = np.spacing(np.maximum(np.abs(a), np.abs(b)).astype(np.float32)).astype(np.float64)
    for aside in ASIDE:
        for share in SHARES:
            place = a + share * (b - a) + np.array(aside) * steps
            yield tuple((place.astype(np.float32).astype(np.float64) + 0.0).tolist())


def _corners(on_side: dict[int, int], face: int) -> Iterator[int]:
    """The new corner on each side of a face; -1 for none."""
    return (on_side.get(3 * face + k, -1) for k in range(3))


def _divided(face: NumberArray, new: list[int]) -> list[tuple[int, int, int]]:
    """A face as triangles round the new corners on its sides: the old corners are cut off."""
    ring: list[int] = []
    for corner, on_side in zip(face.tolist(), new, strict=True):
        ring += [corner] if on_side < 0 else [corner, on_side]
    triangles = []
    while len(ring) > 3:
        k = next(i for i, c in enumerate(ring) if c not in new and _beside(ring, i) & set(new))
        triangles.append((ring[k - 1], ring[k], ring[(k + 1) % len(ring)]))
        ring.pop(k)
    return [*triangles, (ring[0], ring[1], ring[2])]


def _beside(ring: list[int], i: int) -> set[int]:
    return {ring[i - 1], ring[(i + 1) % len(ring)]}


def _without_crumbs(mesh: Mesh) -> Mesh:
    """The mesh without loose pieces too small to see."""
    count, label = Edges.of(mesh).face_groups(mesh) if mesh.n_triangles else (0, np.empty(0))
    if count < 2:
        return mesh
    pieces = [Mesh(mesh.vertices, mesh.faces[label == k]) for k in range(count)]
    kept = [k for k, piece in enumerate(pieces) if abs(piece.volume_mm3) > CRUMB_MM3]
    return Mesh(mesh.vertices, mesh.faces[np.isin(label, kept)])
