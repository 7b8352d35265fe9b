"""The closed shells of a surface: bodies to unite, hollows to fill, insides to turn out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse.csgraph import connected_components

from moldgen.errors import PartError, SolidError
from moldgen.geometry.bvh import Bvh
from moldgen.geometry.edges import Edges
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.sewing import without_unused
from moldgen.geometry.solid import Solid

MAX_SHELLS = 1000
_PROBES = 200
FLAKE_SHARE = 1e-6  # of the largest body's volume
_SAME_VOLUME = 1e-9  # relative: below it, uniting has changed nothing

BoolArray = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Shells:
    """Separate bodies by falling volume, without hollows, and what was changed to get them."""

    bodies: tuple[Mesh, ...]
    changes: tuple[str, ...]


def sort_shells(mesh: Mesh) -> Shells:
    """The bodies of a closed surface.

    A shell wholly inside another is the wall of a sealed hollow, or a body that nothing shows:
    either way it is left out. Outer shells are turned to positive volume, and those that
    overlap or touch are united.

    Raises
    ------
    PartError
        If there are more than 1,000 shells, or the kernel cannot unite them.
    """
    changes: list[str] = []
    outer = _without_inner(split_shells(mesh), changes)
    turned = [_turned_out(shell) for shell in outer]
    if wrong := sum(shell.volume_mm3 < 0.0 for shell in outer):
        what = "the surface" if len(outer) == 1 else f"{wrong} of {len(outer)} shells"
        changes.append(f"turned {what} inside out, so that the normals point outward")
    bodies = _without_flakes(_united(turned, changes), changes)
    return Shells(
        tuple(sorted(bodies, key=lambda b: (-b.volume_mm3, *b.bounds.ravel()))), tuple(changes)
    )


def split_shells(mesh: Mesh) -> list[Mesh]:
    """The shells of a closed surface; bodies that only touch count apart.

    Raises
    ------
    PartError
        If there are more than 1,000.
    """
    count, label = Edges.of(mesh).face_groups(mesh)
    if count > MAX_SHELLS:
        raise PartError(
            f"its surface falls into {count:,} separate shells and at most {MAX_SHELLS:,} are "
            "sorted: remove loose pieces in the program that made it"
        )
    if count == 1:
        return [mesh]
    order = np.argsort(label, kind="stable")
    ends = np.cumsum(np.bincount(label))[:-1]
    return [without_unused(Mesh(mesh.vertices, mesh.faces[k])) for k in np.split(order, ends)]


def _turned_out(shell: Mesh) -> Mesh:
    return shell if shell.volume_mm3 >= 0.0 else Mesh(shell.vertices, shell.faces[:, ::-1])


def _without_inner(shells: list[Mesh], changes: list[str]) -> list[Mesh]:
    depth = _depths(shells)
    hollow = sum(abs(s.volume_mm3) for s, d in zip(shells, depth, strict=True) if d == 1)
    if inner := sum(d > 0 for d in depth):
        what = "a sealed hollow" if inner == 1 else f"{inner} sealed hollows"
        changes.append(f"filled {what}, {hollow:.4g} mm³ that nothing outside can reach")
    return [shell for shell, d in zip(shells, depth, strict=True) if d == 0]


def _depths(shells: list[Mesh]) -> list[int]:
    """How many other shells each shell lies wholly inside."""
    nested = _nested_boxes(shells)
    depth = [0] * len(shells)
    for outside in np.flatnonzero(nested.any(axis=0)):
        tree = Bvh(shells[outside])
        for inside in np.flatnonzero(nested[:, outside]):
            points = shells[inside].vertices
            depth[inside] += bool(tree.inside(points[:: len(points) // _PROBES + 1]).all())
    return depth


def _nested_boxes(shells: list[Mesh]) -> BoolArray:
    """Whether shell i's bounding box lies strictly inside shell j's, (n, n)."""
    low, high = np.moveaxis(np.array([shell.bounds for shell in shells]), 1, 0)
    inside = (low[:, None] > low[None]) & (high[:, None] < high[None])
    return np.asarray(inside.all(axis=2))


def _without_flakes(bodies: list[Mesh], changes: list[str]) -> list[Mesh]:
    """The bodies without specks, such as uniting leaves between walls that nearly touch."""
    least = FLAKE_SHARE * max(abs(body.volume_mm3) for body in bodies)
    kept = [body for body in bodies if abs(body.volume_mm3) >= least]
    if gone := len(bodies) - len(kept):
        lost = sum(abs(body.volume_mm3) for body in bodies if abs(body.volume_mm3) < least)
        what = "1 loose speck" if gone == 1 else f"{gone:,} loose specks"
        changes.append(f"left out {what}, {lost:.4g} mm³ in all")
    return kept


def _united(shells: list[Mesh], changes: list[str]) -> list[Mesh]:
    low, high = np.moveaxis(np.array([shell.bounds for shell in shells]), 1, 0)
    meet = ((low[:, None] <= high[None]) & (high[:, None] >= low[None])).all(axis=2)
    n_clusters, label = connected_components(meet, directed=False)
    bodies: list[Mesh] = []
    for cluster in range(n_clusters):
        members = [shells[k] for k in np.flatnonzero(label == cluster)]
        bodies += members if len(members) == 1 else _unite(members, changes)
    return bodies


def _unite(members: list[Mesh], changes: list[str]) -> list[Mesh]:
    """The members as one where they overlap or touch, unchanged where they do not."""
    apart = sum(member.volume_mm3 for member in members)
    try:
        joined = Solid.union(Solid.from_mesh(member) for member in members)
    except SolidError as error:
        raise PartError(f"its {len(members)} bodies cannot be united ({error})") from error
    changed: list[str] = []
    bodies = _without_inner(split_shells(joined.mesh()), changed)
    lost = apart - joined.volume_mm3
    if len(bodies) == len(members) and abs(lost) <= _SAME_VOLUME * apart:
        return members
    changes.append(
        f"united {len(members)} bodies that overlap or touch into {len(bodies)}, "
        f"{max(lost, 0.0):.4g} mm³ of overlap counted once"
    )
    changes += changed
    return bodies
