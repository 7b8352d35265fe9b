"""Exact bodies with curved faces, made of recipes.

The exact kernel knows several ways to be wrong without saying so; every body is therefore held
against the mesh kernel's volume before it leaves this file.
"""

from __future__ import annotations

from typing import Any

from moldgen.errors import SolidError
from moldgen.geometry.brep_kernel import Shape, require_exact_kernel
from moldgen.geometry.brep_nouns import SLANTED, exact_noun
from moldgen.geometry.recipe import Recipe
from moldgen.geometry.solids import mesh_solid

VOLUME_TOLERANCE = 1e-6  # relative, of the integration over each face
AGREEMENT = 2e-4  # relative; polygons of 64 sides stay below 5e-5 on workshop bodies
FINE_SIDES = 256  # sixteen times closer, for a body that is a thin remnant of round ones


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
