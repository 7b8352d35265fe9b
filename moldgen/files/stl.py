"""Binary STL of our own bodies: the same mesh gives the same bytes."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from moldgen.errors import CheckError
from moldgen.geometry.mesh import FloatArray, IntArray, Mesh

HEADER = b"moldgen binary STL, numbers in mm".ljust(80)
RECORD = np.dtype(
    [("normal", "<f4", (3,)), ("corners", "<f4", (3, 3)), ("attribute", "<u2")]
)  # 50 bytes a triangle, little-endian: the STL layout of 1989


def write_stl(path: Path, mesh: Mesh) -> None:
    """Write a mesh as binary STL, its coordinates rounded to single precision [mm].

    Triangles that rounding makes flat are left out.
    """
    path.write_bytes(stl_bytes(mesh))


def stl_bytes(mesh: Mesh) -> bytes:
    """The file's content: 80 bytes of header, the count, 50 bytes for each triangle."""
    mesh = single_precision(mesh)
    records = np.zeros(mesh.n_triangles, dtype=RECORD)
    records["corners"] = mesh.corners
    length = np.linalg.norm(mesh.area_vectors, axis=1, keepdims=True)
    records["normal"] = np.divide(
        mesh.area_vectors, length, out=np.zeros_like(mesh.area_vectors), where=length > 0.0
    )
    records["normal"] += 0.0
    count = len(records).to_bytes(4, "little")
    return HEADER + count + bytes(records.tobytes())


def read_stl(path: Path) -> Mesh:
    """Read back a binary STL that `write_stl` wrote, equal corners joined [mm].

    Raises
    ------
    CheckError
        If the file is not one of ours or is cut short.
    """
    data = path.read_bytes()
    n_triangles = int.from_bytes(data[80:84], "little")
    if data[:80] != HEADER or len(data) != 84 + RECORD.itemsize * n_triangles:
        raise CheckError(
            f"{path.name} did not read back as it was written: {len(data)} bytes"
            f" for {n_triangles} triangles; check the disk and run again"
        )
    corners = np.frombuffer(data, dtype=RECORD, offset=84)["corners"]
    return _welded(corners.reshape(-1, 3), np.arange(3 * n_triangles).reshape(-1, 3))


def single_precision(mesh: Mesh) -> Mesh:
    """The mesh as a file of single precision holds it: corners rounded, equal ones joined [mm]."""
    return _welded(mesh.vertices.astype("<f4"), mesh.faces)


def _welded(points: np.ndarray, faces: IntArray | np.ndarray) -> Mesh:
    """Join equal points in their order of first use; drop triangles left with two equal corners."""
    points = np.ascontiguousarray(points) + np.float32(0.0)  # -0.0 and 0.0 are one place
    _, first, place = np.unique(
        points.view([("", points.dtype)] * 3).ravel(), return_index=True, return_inverse=True
    )
    order = np.argsort(first, kind="stable")
    rank = np.empty_like(order)
    rank[order] = np.arange(len(order))
    joined = rank[place.ravel()][faces]
    distinct = (
        (joined[:, 0] != joined[:, 1])
        & (joined[:, 1] != joined[:, 2])
        & (joined[:, 2] != joined[:, 0])
    )
    vertices: FloatArray = points[first[order]].astype(np.float64)
    return Mesh(vertices, joined[distinct])
