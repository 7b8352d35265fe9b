"""Whether a body is one a file can hold: closed, outward, in one piece, of positive volume."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from moldgen.errors import CheckError
from moldgen.geometry.closed import is_closed
from moldgen.geometry.edges import Edges
from moldgen.geometry.mesh import Mesh


def require_all_sound(wanted: Collection[str], meshes: Mapping[str, Mesh]) -> None:
    """Promise 1 of every set: the bodies that it should have, no other, and each one sound.

    Parameters
    ----------
    wanted : collection of str
        Their names.
    meshes : mapping
        Every body by name.

    Raises
    ------
    CheckError
        If a body is missing, not in the plan, open, inside out or in pieces; says which.
    """
    missing, extra = sorted(set(wanted) - set(meshes)), sorted(set(meshes) - set(wanted))
    if missing or extra:
        raise CheckError(
            f"the set is not complete: {missing or 'nothing'} missing, "
            f"{extra or 'nothing'} not in the plan"
        )
    for name, mesh in meshes.items():
        require_sound(name, mesh)


def require_sound(name: str, mesh: Mesh) -> None:
    """Promise 1 of every set, for one body.

    Parameters
    ----------
    name : str
    mesh : Mesh

    Raises
    ------
    CheckError
        If it is open, inside out or in pieces; says which.
    """
    if not is_closed(mesh):
        raise CheckError(f"{name} is not closed, or not all of it faces outward")
    if _has_twin_corners(mesh):
        raise CheckError(f"{name} has a triangle with two corners in one place")
    pieces = Edges.of(mesh).face_groups(mesh)[0]
    if pieces != 1:
        raise CheckError(f"{name} is in {pieces} pieces, or shuts in a void")
    if not mesh.volume_mm3 > 0.0:
        raise CheckError(f"{name} encloses {mesh.volume_mm3:.3f} mm³: it is inside out")


def _has_twin_corners(mesh: Mesh) -> bool:
    a, b, c = mesh.corners[:, 0], mesh.corners[:, 1], mesh.corners[:, 2]
    return any(bool((p == q).all(axis=1).any()) for p, q in ((a, b), (b, c), (c, a)))
