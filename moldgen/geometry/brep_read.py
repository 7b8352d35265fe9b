"""Bodies of a STEP file in the exact kernel, and how large they are."""

from __future__ import annotations

import io

from moldgen.errors import PartError
from moldgen.geometry.brep_kernel import Shape, require_exact_kernel


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
