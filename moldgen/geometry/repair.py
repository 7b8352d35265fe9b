"""Making a surface sound, or saying exactly what is wrong with it.

Sound means closed, every face turned outward, positive volume, and no passing through itself.
What can be mended without changing the part's shape is mended, one sentence a change; what
cannot is refused with its place and size.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from moldgen.errors import PartError
from moldgen.geometry.crossing import crossed_faces
from moldgen.geometry.edges import Edges
from moldgen.geometry.holes import MAX_HOLES, Hole, close_holes, find_holes
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.sewing import (
    sew_equal,
    sew_near,
    without_degenerate,
    without_duplicates,
    without_unused,
)
from moldgen.geometry.shells import Shells, sort_shells

_REACH_SHARES = (1e-6, 1e-5, 1e-4)  # of the longest side, tried in turn
_MAX_JOINED_EDGES = 600_000  # beyond, open edges are counted, not mended
_MAX_TRACED_EDGES = 20_000
_LEAST_FILL = 1e-9  # least share of its bounding cube that a body fills


@dataclass(frozen=True, eq=False)
class Repaired:
    """A sound surface and how it came about.

    Attributes
    ----------
    mesh : Mesh
        All bodies together.
    closed_as_read : bool
        Whether the surface was closed once equal corners and equal triangles had been made one.
    changes : tuple of str
        What was mended, one sentence each.
    bodies : tuple of Mesh
        The separate bodies, by falling volume.
    """

    mesh: Mesh
    closed_as_read: bool
    changes: tuple[str, ...]
    bodies: tuple[Mesh, ...]


def repair(mesh: Mesh) -> Repaired:
    """Make a mesh sound.

    Raises
    ------
    PartError
        If holes are too wide to close by rule, more than two faces meet at an edge, the
        surface has only one side, encloses nothing, or passes through itself.
    """
    log: list[str] = []
    mesh = _without_waste(_shared(mesh), log)
    closed_as_read = Edges.of(mesh).is_closed
    if not closed_as_read:
        mesh = _mended(mesh, log)
    shells = sort_shells(mesh)
    log += shells.changes
    _check_volume(mesh, shells)
    for body in shells.bodies:
        _check_not_crossed(body)
    return Repaired(_together(shells.bodies), closed_as_read, tuple(log), shells.bodies)


def _shared(mesh: Mesh) -> Mesh:
    """The mesh with shared corners; as it is where they are, lest bodies that touch be joined."""
    edges = Edges.of(mesh)
    if edges.is_closed and (edges.count == 2).all():
        return without_unused(mesh)
    return sew_equal(mesh)


def _without_waste(mesh: Mesh, log: list[str]) -> Mesh:
    for step, what in (
        (without_degenerate, "that had shrunk to a line"),
        (without_duplicates, "that lay on others"),
    ):
        before, mesh = mesh.n_triangles, step(mesh)
        if gone := before - mesh.n_triangles:
            log.append(f"left out {_count(gone, 'triangle', 'triangles')} {what}")
    if not mesh.n_triangles:
        raise PartError("its triangles enclose nothing: export the part again as a solid")
    return mesh


def _mended(mesh: Mesh, log: list[str]) -> Mesh:
    edges = Edges.of(mesh)
    for step in (_joined, _turned, _patched):
        if edges.is_closed:
            break
        before, mesh = mesh, step(mesh, edges, log)
        edges = edges if mesh is before else Edges.of(mesh)
    _check_closed(mesh, edges)
    return mesh


def _joined(mesh: Mesh, edges: Edges, log: list[str]) -> Mesh:
    """Open edges whose ends nearly meet, made to meet, at the least reach that helps."""
    side = float(mesh.extents_mm.max())
    for share in _REACH_SHARES:
        if not 0 < len(edges.open) <= _MAX_JOINED_EDGES:
            break
        rim = np.unique(np.concatenate([edges.start[edges.open], edges.end[edges.open]]))
        trial = without_degenerate(sew_near(mesh, rim, share * side))
        gone = len(mesh.vertices) - len(trial.vertices)
        after = Edges.of(trial) if gone else edges
        if len(after.open) < len(edges.open):
            log.append(
                f"joined {_count(gone, 'corner', 'corners')} on open edges to others at most "
                f"{share * side:.2g} mm away"
            )
            mesh, edges = trial, after
    return mesh


def _turned(mesh: Mesh, edges: Edges, log: list[str]) -> Mesh:
    turn, one_sided = edges.turned_faces()
    if one_sided.any():
        place = _place(mesh.corners[one_sided][0].mean(axis=0))
        raise PartError(
            f"its surface has only one side (like a twisted band) near {place}: "
            "make it a solid in the program that made it"
        )
    if not turn.any():
        return mesh
    log.append(
        f"turned over {_count(int(turn.sum()), 'triangle', 'triangles')} that faced the wrong way"
    )
    return Mesh(mesh.vertices, np.where(turn[:, None], mesh.faces[:, ::-1], mesh.faces))


def _patched(mesh: Mesh, edges: Edges, log: list[str]) -> Mesh:
    side = float(mesh.extents_mm.max())
    holes = _traced(mesh, edges)
    if len(holes) > MAX_HOLES:
        return mesh
    small = [hole for hole in holes if hole.is_small(side)]
    if not small:
        return mesh
    log.append(
        f"closed {_count(len(small), 'hole or crack', 'holes or cracks')}, the longest "
        f"{small[0].span_mm:.3g} mm across near {_place(small[0].middle_mm)}"
    )
    return close_holes(mesh, small)


def _traced(mesh: Mesh, edges: Edges) -> list[Hole]:
    return find_holes(mesh, edges) if len(edges.open) <= _MAX_TRACED_EDGES else []


def _check_closed(mesh: Mesh, edges: Edges) -> None:
    if edges.is_closed:
        return
    if len(edges.crowded):
        row = edges.crowded[0]
        place = _place(mesh.vertices[[edges.start[row], edges.end[row]]].mean(axis=0))
        n_edges = len(np.unique(edges.number[edges.crowded]))
        raise PartError(
            f"more than two faces meet at {_count(n_edges, 'edge', 'edges')}, one near {place}: "
            "remove inner walls or unite its bodies in the program that made it"
        )
    raise PartError(_gap_complaint(mesh, edges, _traced(mesh, edges)))


def _gap_complaint(mesh: Mesh, edges: Edges, holes: list[Hole]) -> str:
    ends = mesh.vertices[edges.start[edges.open]], mesh.vertices[edges.end[edges.open]]
    longest = float(np.linalg.norm(ends[0] - ends[1], axis=1).max(initial=0.0))
    where = (
        f" round {_count(len(holes), 'hole', 'holes')}, the widest {holes[0].span_mm:.3g} mm "
        f"across near {_place(holes[0].middle_mm)}"
        if holes
        else f" near {_place(ends[0][0])}"
        if len(ends[0])
        else ""
    )
    return (
        f"its surface is not closed, with {_count(len(edges.open), 'open edge', 'open edges')} "
        f"(the longest {longest:.3g} mm){where}: close it in the program that made it"
    )


def _check_volume(mesh: Mesh, shells: Shells) -> None:
    least = _LEAST_FILL * float(mesh.extents_mm.max()) ** 3
    if not shells.bodies or shells.bodies[0].volume_mm3 <= least:
        raise PartError("its surface encloses no volume: give the part a thickness")


def _check_not_crossed(body: Mesh) -> None:
    crossed = crossed_faces(body)
    if len(crossed):
        place = _place(body.corners[crossed[0]].mean(axis=0))
        raise PartError(
            f"its surface passes through itself or lies on itself at {len(crossed):,} of "
            f"{body.n_triangles:,} triangles, one near {place}: unite its bodies or remove the "
            "folds in the program that made it"
        )


def _together(bodies: tuple[Mesh, ...]) -> Mesh:
    if len(bodies) == 1:
        return bodies[0]
    starts = np.cumsum([0, *(len(body.vertices) for body in bodies[:-1])])
    faces = [body.faces + start for body, start in zip(bodies, starts, strict=True)]
    return Mesh(np.concatenate([body.vertices for body in bodies]), np.concatenate(faces))


def _place(point: NDArray[np.float64]) -> str:
    return "({:.2f}, {:.2f}, {:.2f}) mm".format(*(point + 0.0))


def _count(n: int, one: str, many: str) -> str:
    return f"{n:,} {one if n == 1 else many}"
