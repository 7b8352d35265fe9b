"""The bare halves of a rigid mold, before channels, keys and bolts: what a router would cut."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from moldgen.build.piece import TURNED_OVER
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.parting import parting_sheet
from moldgen.geometry.recipe import Point3
from moldgen.geometry.rigid import inverse, placement, rotation_to_z
from moldgen.geometry.solids import Solid

SLOPE_DEG = 87.0  # rigid halves slide on steep faces; rubber would fold
UNDER_MM = 2.0
NAMES = ("half-a", "half-b")


@dataclass(frozen=True, eq=False)
class BareHalf:
    """A half on its back, opening up.

    Attributes
    ----------
    name : str
    half, part : Mesh
        The half, and the part where it lies in it [mm].
    home : (4, 4) float
        From their frame back to the part file's [mm].
    """

    name: str
    half: Mesh
    part: Mesh
    home: FloatArray


def bare_halves(mesh: Mesh, pull: FloatArray, room_mm: Point3) -> tuple[BareHalf, BareHalf]:
    """Both halves of a part.

    Parameters
    ----------
    mesh : Mesh
        The part [mm].
    pull : (3,) float
        Half A is drawn off this way, half B the other.
    room_mm : (3,) float
        Beside the part both ways, and behind it along the pull.

    Raises
    ------
    SolidError
        If the part casts no shadow along the pull.
    """
    turn = placement(rotation_to_z(pull))
    laid = mesh.moved(turn)
    low, high = laid.bounds[0] - room_mm, laid.bounds[1] + room_mm
    parting = parting_sheet(laid, low[:2], high[:2], slope_deg=SLOPE_DEG)
    part = Solid.from_mesh(laid, "part")
    rest = Solid.box(tuple(low), tuple(high)) - part
    under = Solid.from_mesh(parting.sheet.under(low[2] - UNDER_MM), "parting sheet")
    over = placement(TURNED_OVER)
    return (
        _lying(NAMES[0], rest - under, mesh, over @ turn, over),
        _lying(NAMES[1], rest & under, mesh, turn, np.eye(4)),
    )


def _lying(name: str, body: Solid, mesh: Mesh, turn: FloatArray, over: FloatArray) -> BareHalf:
    half = body.components()[0].moved(over).mesh()
    return BareHalf(name, half, mesh.moved(turn), inverse(turn))
