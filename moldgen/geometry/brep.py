"""Exact bodies with curved faces: the only door to the exact kernel (OCP, CadQuery's binding).

The kernel is large and needs a graphics library to load, so it is imported inside functions: the
mesh part of a job works without it. It knows several ways to be wrong without saying so; every
body is therefore held against the mesh kernel's volume before it leaves this file.
"""

from __future__ import annotations

import io
import re
from functools import cache
from typing import Any

import numpy as np

from moldgen.errors import PartError, SolidError
from moldgen.geometry.brep_nouns import SLANTED, Shape, exact_noun
from moldgen.geometry.mesh import IntArray, Mesh
from moldgen.geometry.recipe import Recipe
from moldgen.geometry.solids import Solid, mesh_solid
from moldgen.geometry.weld import weld_equal

VOLUME_TOLERANCE = 1e-6  # relative, of the integration over each face
AGREEMENT = 2e-4  # relative; polygons of 64 sides stay below 5e-5 on workshop bodies
FINE_SIDES = 256  # sixteen times closer, for a body that is a thin remnant of round ones
ANGLE_RAD = 0.2

_DEBIAN_PACKAGES = {"libGL.so.1": "libgl1", "libEGL.so.1": "libegl1", "libX11.so.6": "libx11-6"}


@cache
def exact_kernel_missing() -> str | None:
    """Why the exact kernel does not load and what to do, in one sentence; None if it loads."""
    try:
        from OCP.Message import Message
    except ModuleNotFoundError:
        return "the exact kernel is not installed; install it with: pip install cadquery"
    except ImportError as error:
        return _loading_sentence(str(error))
    _silence(Message.DefaultMessenger_s())
    return None


def _loading_sentence(reason: str) -> str:
    """The loader's own words turned into what is missing and where it comes from."""
    found = re.match(r"(\S+): cannot open shared object file", reason)
    if not found:
        return f"the exact kernel does not load: {reason}"
    library = found[1]
    package = _DEBIAN_PACKAGES.get(library)
    remedy = f"install the Debian package {package}" if package else "install that library"
    return f"the exact kernel does not load because {library} is missing; {remedy}"


def _silence(messenger: Any) -> None:
    """Keep the kernel's remarks off standard output, where a program may be reading."""
    for printer in list(messenger.Printers()):
        messenger.RemovePrinter(printer)


def require_exact_kernel() -> None:
    """Load the exact kernel.

    Raises
    ------
    SolidError
        If it does not load; the message says what to install.
    """
    if missing := exact_kernel_missing():
        raise SolidError(missing)


def exact_solid(recipe: Recipe) -> Shape:
    """A recipe as an exact body, held against the mesh kernel's.

    Parameters
    ----------
    recipe : Recipe

    Returns
    -------
    OCP.TopoDS.TopoDS_Shape

    Raises
    ------
    SolidError
        If the exact kernel is missing, a body cannot be made, a faceted body has more than 4000
        triangles, or the two kernels disagree about the volume by more than 2e-4.
    """
    require_exact_kernel()
    rough = mesh_solid(recipe)
    if rough.volume_mm3 <= 0.0:
        raise SolidError("the recipe leaves no material")
    shape = _made(recipe)
    measured, expected = exact_volume(shape), rough.volume_mm3
    if not _agree(measured, expected):
        expected = mesh_solid(recipe, FINE_SIDES).volume_mm3
    if not _agree(measured, expected):
        raise SolidError(
            f"the exact kernel makes {measured:.6g} mm³ of a body that has {expected:.6g} mm³ "
            "in triangles: use the mesh of this piece"
        )
    return _tidied(shape, measured)


def _agree(measured: float, expected: float) -> bool:
    return abs(measured - expected) <= AGREEMENT * expected


def _made(recipe: Recipe) -> Shape:
    from OCP.Standard import Standard_Failure

    try:
        return exact_noun(recipe)
    except Standard_Failure as failure:
        raise SolidError(
            f"the exact kernel gives up ({failure}): use the mesh of this piece"
        ) from failure


def _tidied(shape: Shape, volume_mm3: float) -> Shape:
    """The shape with neighboring faces of one surface joined, where that leaves it as large."""
    from OCP.ShapeUpgrade import ShapeUpgrade_UnifySameDomain

    tidy = ShapeUpgrade_UnifySameDomain(shape, True, True, False)
    tidy.Build()
    same = abs(exact_volume(tidy.Shape()) - volume_mm3) <= VOLUME_TOLERANCE * volume_mm3
    return tidy.Shape() if same else shape


def exact_volume(shape: Shape, tolerance_share: float = VOLUME_TOLERANCE) -> float:
    """Volume by Gauss-Kronrod integration [mm³].

    Parameters
    ----------
    shape : OCP.TopoDS.TopoDS_Shape
    tolerance_share : float
        Greatest relative error of each face's share.

    Raises
    ------
    SolidError
        If the exact kernel is missing.

    Notes
    -----
    The kernel integrates in three ways. Where one long spline bounds a flat face, the plain way
    has been seen 27 % off and the one that promises a tolerance 25 % off. Gauss-Kronrod was right,
    but it asks of every face a share with a small relative error, and a face whose share is zero
    held it up for minutes; measured from a slanted plane, no face that anyone draws has none.
    """
    require_exact_kernel()
    from OCP.BRepGProp import BRepGProp
    from OCP.gp import gp_Dir, gp_Pln
    from OCP.GProp import GProp_GProps

    plane, properties = gp_Pln(_middle(shape), gp_Dir(*SLANTED)), GProp_GProps()
    BRepGProp.VolumePropertiesGK_s(shape, properties, plane, tolerance_share, False, True)
    return float(properties.Mass())


def _middle(shape: Shape) -> Any:
    from OCP.Bnd import Bnd_Box
    from OCP.BRepBndLib import BRepBndLib
    from OCP.gp import gp_Pnt

    box = Bnd_Box()
    BRepBndLib.Add_s(shape, box)
    if box.IsVoid():
        return gp_Pnt(0.0, 0.0, 0.0)
    low, high = box.CornerMin(), box.CornerMax()
    return gp_Pnt(*(0.5 * (a + b) for a, b in zip(low.Coord(), high.Coord(), strict=True)))


def read_exact(step: bytes) -> Shape:
    """The bodies of a STEP file, in mm.

    Raises
    ------
    PartError
        If the bytes are no STEP file or hold no shape.
    SolidError
        If the exact kernel is missing.

    Notes
    -----
    A malformed file can keep the kernel busy for ever: read what comes from outside in a child
    process with a time limit.
    """
    require_exact_kernel()
    from OCP.IFSelect import IFSelect_ReturnStatus
    from OCP.STEPControl import STEPControl_Reader

    reader = STEPControl_Reader()
    if reader.ReadStream("part", io.BytesIO(step)) != IFSelect_ReturnStatus.IFSelect_RetDone:
        raise PartError(
            "the file cannot be read as STEP: export it again, as AP203, AP214 or AP242"
        )
    reader.TransferRoots()
    shape = reader.OneShape()
    if shape is None or shape.IsNull():
        raise PartError("the STEP file holds no shape: export the body itself, not a sketch")
    return shape


def longest_side_mm(shape: Shape) -> float:
    """Longest side of a shape's bounding box, from its control points: never too short [mm].

    Raises
    ------
    PartError
        If the shape has no extent.
    SolidError
        If the exact kernel is missing.
    """
    require_exact_kernel()
    from OCP.Bnd import Bnd_Box
    from OCP.BRepBndLib import BRepBndLib

    box = Bnd_Box()
    BRepBndLib.Add_s(shape, box, False)
    if box.IsVoid():
        raise PartError("the STEP file holds no face: export the body itself, not a sketch")
    low, high = box.CornerMin(), box.CornerMax()
    return float(max(high.X() - low.X(), high.Y() - low.Y(), high.Z() - low.Z()))


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
