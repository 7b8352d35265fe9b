"""The skin of an exact body as triangles."""

from __future__ import annotations

from typing import Any

import numpy as np

from moldgen.errors import SolidError
from moldgen.geometry.brep_kernel import Shape, require_exact_kernel
from moldgen.geometry.mesh import IntArray, Mesh
from moldgen.geometry.solids import Solid
from moldgen.geometry.weld import weld_equal

ANGLE_RAD = 0.2


def tessellate(shape: Shape, tolerance_mm: float) -> Mesh:
    """The skin of a shape as triangles; one closed skin a solid.

    Parameters
    ----------
    shape : OCP.TopoDS.TopoDS_Shape
    tolerance_mm : float
        Greatest distance between a triangle and the face it stands for [mm].

    Raises
    ------
    SolidError
        If the exact kernel is missing, or the triangles of a solid do not close.
    """
    require_exact_kernel()
    from OCP.BRepMesh import BRepMesh_IncrementalMesh
    from OCP.TopAbs import TopAbs_ShapeEnum

    BRepMesh_IncrementalMesh(shape, tolerance_mm, False, ANGLE_RAD, False)
    solids = _parts(shape, TopAbs_ShapeEnum.TopAbs_SOLID)
    if not solids:
        return weld_equal(_triangles(shape))
    return _together([Solid.from_mesh(_triangles(body), weld=True).mesh() for body in solids])


def _together(meshes: list[Mesh]) -> Mesh:
    starts = np.cumsum([0] + [len(mesh.vertices) for mesh in meshes])
    faces = [mesh.faces + start for mesh, start in zip(meshes, starts[:-1], strict=True)]
    return Mesh(np.vstack([mesh.vertices for mesh in meshes]), np.vstack(faces))


def _parts(shape: Shape, kind: Any) -> list[Any]:
    from OCP.TopExp import TopExp_Explorer

    found = []
    explorer = TopExp_Explorer(shape, kind)
    while explorer.More():
        found.append(explorer.Current())
        explorer.Next()
    return found


def faces_of(shape: Shape) -> list[Any]:
    """The faces of a shape, in the kernel's order."""
    from OCP.TopAbs import TopAbs_ShapeEnum

    return _parts(shape, TopAbs_ShapeEnum.TopAbs_FACE)


def face_meshes(shape: Shape) -> tuple[IntArray, Mesh]:
    """The triangles that the mesher left on every face, and each one's face, (m,).

    Corners are not shared between faces.

    Raises
    ------
    SolidError
        If no face has triangles.
    """
    made = [_face_triangles(face) for face in faces_of(shape)]
    meshes = [mesh for mesh in made if mesh is not None]
    if not meshes:
        raise SolidError("the exact body has no face that can be meshed")
    counts = [0 if mesh is None else mesh.n_triangles for mesh in made]
    return np.repeat(np.arange(len(made), dtype=np.int32), counts), _together(meshes)


def _triangles(shape: Shape) -> Mesh:
    return face_meshes(shape)[1]


def _face_triangles(face: Any) -> Mesh | None:
    from OCP.BRep import BRep_Tool
    from OCP.TopAbs import TopAbs_Orientation
    from OCP.TopLoc import TopLoc_Location
    from OCP.TopoDS import TopoDS

    place = TopLoc_Location()
    made = BRep_Tool.Triangulation_s(TopoDS.Face_s(face), place)
    if made is None:
        return None
    move = place.Transformation()
    nodes = [made.Node(i + 1).Transformed(move) for i in range(made.NbNodes())]
    faces = np.array([made.Triangle(i + 1).Get() for i in range(made.NbTriangles())]) - 1
    flipped = face.Orientation() == TopAbs_Orientation.TopAbs_REVERSED
    return Mesh(
        np.array([(p.X(), p.Y(), p.Z()) for p in nodes]), faces[:, ::-1] if flipped else faces
    )
