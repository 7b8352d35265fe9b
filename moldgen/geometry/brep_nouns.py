"""Every recipe noun as an exact body, in the exact kernel's own words.

Only `geometry.brep` calls this; the recipe has already passed the mesh kernel's checks.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from moldgen.errors import SolidError
from moldgen.geometry.brep_kernel import Shape
from moldgen.geometry.brep_read import read_exact
from moldgen.geometry.facets import tidy_profile
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.recipe import (
    Ball,
    Box,
    Difference,
    Drawn,
    Facets,
    Intersection,
    Placed,
    Point3,
    Prism,
    Recipe,
    Taper,
    Turned,
    Union,
)
from moldgen.geometry.solids import oriented_rings

MOST_FACETS = 4000  # beyond, one cut takes many seconds and the STEP file many megabytes
FUZZY_MM = 1e-5  # faces nearer than this count as touching; halves the kernel's wrong answers
SLANTED = (0.28735, 0.53193, 0.79652)  # a direction that nobody draws anything along


def exact_noun(recipe: Recipe) -> Shape:
    """The recipe as an exact body, unchecked."""
    match recipe:
        case Union(bodies):
            return _joined([exact_noun(body) for body in bodies])
        case Intersection(bodies):
            return _common([exact_noun(body) for body in bodies])
        case Difference(body, tools):
            return _cut(exact_noun(body), [exact_noun(tool) for tool in tools])
        case Placed(body, rows):
            return _moved(exact_noun(body), np.asarray(rows))
        case Box(low, high):
            return _box(low, high)
        case Prism():
            return _prism(recipe)
        case Turned():
            return _turned(recipe)
        case Ball():
            return _ball(recipe)
        case Taper():
            return _taper(recipe)
        case Facets(mesh):
            return _faceted(mesh)
        case Drawn(step, scale):
            return _drawn(step, scale)


def _joined(shapes: list[Shape]) -> Shape:
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Fuse

    return _boolean(BRepAlgoAPI_Fuse(), "joining", shapes[0], shapes[1:])


def _cut(body: Shape, tools: list[Shape]) -> Shape:
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut

    return _boolean(BRepAlgoAPI_Cut(), "cutting", body, tools)


def _common(shapes: list[Shape]) -> Shape:
    """One after the other: the kernel would intersect the first with the union of the rest."""
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Common

    common = shapes[0]
    for shape in shapes[1:]:
        common = _boolean(BRepAlgoAPI_Common(), "intersecting", common, [shape])
    return common


def _boolean(operation: Any, word: str, body: Shape, tools: list[Shape]) -> Shape:
    from OCP.TopTools import TopTools_ListOfShape

    if not tools:
        return body
    arguments, others = TopTools_ListOfShape(), TopTools_ListOfShape()
    arguments.Append(body)
    for tool in tools:
        others.Append(tool)
    operation.SetArguments(arguments)
    operation.SetTools(others)
    operation.SetNonDestructive(True)
    operation.SetFuzzyValue(FUZZY_MM)
    operation.Build()
    if not operation.IsDone():
        raise SolidError(f"{word} failed in the exact kernel: use the mesh of this piece")
    return operation.Shape()


def _moved(shape: Shape, rows: FloatArray) -> Shape:
    from OCP.gp import gp_Trsf
    from OCP.TopLoc import TopLoc_Location

    turn = gp_Trsf()
    turn.SetValues(*(float(value) for value in rows[:3].ravel()))
    return shape.Moved(TopLoc_Location(turn))


def _box(low: Point3, high: Point3) -> Shape:
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    from OCP.gp import gp_Pnt

    return BRepPrimAPI_MakeBox(gp_Pnt(*low), gp_Pnt(*high)).Solid()


def _ball(ball: Ball) -> Shape:
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere
    from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt

    axis = gp_Ax2(gp_Pnt(*ball.center), gp_Dir(*SLANTED))
    return BRepPrimAPI_MakeSphere(axis, ball.radius_mm).Solid()


def _taper(bar: Taper) -> Shape:
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeCone, BRepPrimAPI_MakeCylinder
    from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt

    along = np.subtract(bar.end, bar.start)
    axis = gp_Ax2(gp_Pnt(*bar.start), gp_Dir(*map(float, along)))
    length = float(np.linalg.norm(along))
    if bar.start_radius_mm == bar.end_radius_mm:
        return BRepPrimAPI_MakeCylinder(axis, bar.start_radius_mm, length).Solid()
    return BRepPrimAPI_MakeCone(axis, bar.start_radius_mm, bar.end_radius_mm, length).Solid()


def _turned(body: Turned) -> Shape:
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeRevol
    from OCP.gp import gp_Ax1, gp_Dir, gp_Pnt

    profile = tidy_profile(body.profile)
    ends = [(0.0, z) for radius, z in (profile[-1], profile[0]) if radius > 0.0]
    face = _face([(radius, 0.0, z) for radius, z in (*profile, *ends)])
    return BRepPrimAPI_MakeRevol(face, gp_Ax1(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1))).Shape()


def _prism(prism: Prism) -> Shape:
    from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
    from OCP.gp import gp_Vec

    z = prism.z0_mm
    outline, *holes = [[(x, y, z) for x, y in ring] for ring in oriented_rings(prism)]
    height = gp_Vec(0.0, 0.0, prism.z1_mm - prism.z0_mm)
    return BRepPrimAPI_MakePrism(_face(outline, holes), height).Shape()


def _face(outline: Sequence[Point3], holes: Sequence[Sequence[Point3]] = ()) -> Shape:
    """A flat face; holes run the other way round."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace

    made = BRepBuilderAPI_MakeFace(_wire(outline), True)
    for hole in holes:
        made.Add(_wire(hole))
    return made.Face()


def _wire(points: Sequence[Point3]) -> Any:
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakePolygon
    from OCP.gp import gp_Pnt

    polygon = BRepBuilderAPI_MakePolygon()
    for point in points:
        polygon.Add(gp_Pnt(*map(float, point)))
    polygon.Close()
    return polygon.Wire()


def _drawn(step: bytes, scale: float) -> Shape:
    """The body of a STEP file that was read once without harm, in its size."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
    from OCP.gp import gp_Pnt, gp_Trsf

    shape = read_exact(step)
    if scale == 1.0:
        return shape
    sized = gp_Trsf()
    sized.SetScale(gp_Pnt(0.0, 0.0, 0.0), scale)
    return BRepBuilderAPI_Transform(shape, sized, True).Shape()


def _faceted(mesh: Mesh) -> Shape:
    """A solid with one flat face a triangle, neighbors sharing their edge."""
    from OCP.BRep import BRep_Builder
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeSolid
    from OCP.gp import gp_Dir, gp_Pln, gp_Pnt
    from OCP.TopoDS import TopoDS_Shell

    if mesh.n_triangles > MOST_FACETS:
        raise SolidError(
            f"a faceted body of {mesh.n_triangles} triangles is too fine for the exact kernel, "
            f"which takes {MOST_FACETS}: use the mesh of this piece or simplify the part"
        )
    builder, shell = BRep_Builder(), TopoDS_Shell()
    builder.MakeShell(shell)
    edges = _shared_edges(mesh)
    for face, outward in zip(mesh.faces.tolist(), mesh.area_vectors.tolist(), strict=True):
        plane = gp_Pln(gp_Pnt(*mesh.vertices[face[0]].tolist()), gp_Dir(*outward))
        builder.Add(shell, BRepBuilderAPI_MakeFace(plane, _loop(face, edges), True).Face())
    shell.Closed(True)
    return BRepBuilderAPI_MakeSolid(shell).Solid()


def _shared_edges(mesh: Mesh) -> dict[tuple[int, int], Any]:
    """The edge from the lower to the higher corner number, once for both triangles."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeVertex
    from OCP.gp import gp_Pnt

    corners = [BRepBuilderAPI_MakeVertex(gp_Pnt(*p)).Vertex() for p in mesh.vertices.tolist()]
    ends = np.sort(mesh.faces[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2), axis=1)
    return {
        (a, b): BRepBuilderAPI_MakeEdge(corners[a], corners[b]).Edge()
        for a, b in np.unique(ends, axis=0).tolist()
    }


def _loop(face: list[int], edges: dict[tuple[int, int], Any]) -> Any:
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeWire
    from OCP.TopoDS import TopoDS

    a, b, c = face
    wire = BRepBuilderAPI_MakeWire()
    for start, end in ((a, b), (b, c), (c, a)):
        edge = edges[min(start, end), max(start, end)]
        wire.Add(edge if start < end else TopoDS.Edge_s(edge.Reversed()))
    return wire.Wire()
