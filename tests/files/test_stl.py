"""STL of our own bodies: what is written comes back, and always as the same bytes."""

from __future__ import annotations

import struct
from pathlib import Path

import numpy as np
import pytest
import trimesh

from moldgen.errors import CheckError
from moldgen.files.stl import read_stl, single_precision, stl_bytes, write_stl
from moldgen.geometry.closed import is_closed
from moldgen.geometry.mesh import Mesh


def tetrahedron(size: float = 10.0) -> Mesh:
    corners = np.array([[0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]]) * size
    return Mesh(corners, np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]]))


def ball(radius: float = 17.3) -> Mesh:
    body = trimesh.creation.icosphere(3, radius)
    return Mesh(body.vertices, body.faces)


def test_layout_is_header_count_and_fifty_bytes_a_triangle() -> None:
    # The binary STL layout, from memory: 80 bytes, a uint32, then 50 bytes each.
    data = stl_bytes(tetrahedron())
    assert len(data) == 80 + 4 + 4 * 50
    assert struct.unpack_from("<I", data, 80) == (4,)
    assert not data.startswith(b"solid")  # the word that marks the text form


def test_normals_are_unit_and_point_out() -> None:
    data = stl_bytes(tetrahedron())
    normals = [struct.unpack_from("<3f", data, 84 + 50 * i) for i in range(4)]
    third = 1.0 / np.sqrt(3.0)
    wanted = [(0, 0, -1), (0, -1, 0), (third, third, third), (-1, 0, 0)]
    np.testing.assert_allclose(normals, wanted, atol=1e-7)


def test_another_reader_agrees(tmp_path: Path) -> None:
    # trimesh, an independent reader of the format.
    write_stl(tmp_path / "ball.stl", ball())
    read = trimesh.load_mesh(tmp_path / "ball.stl")
    assert read.is_watertight and read.is_winding_consistent
    assert read.volume == pytest.approx(ball().volume_mm3, rel=1e-6)


def test_write_then_read_gives_the_mesh_in_single_precision(tmp_path: Path) -> None:
    write_stl(tmp_path / "ball.stl", ball())
    read = read_stl(tmp_path / "ball.stl")
    wanted = single_precision(ball())
    assert is_closed(read)
    np.testing.assert_array_equal(read.corners, wanted.corners)
    assert np.abs(read.corners - ball().corners).max() <= 17.3 * 2.0**-24


def test_read_then_write_gives_the_same_bytes(tmp_path: Path) -> None:
    write_stl(tmp_path / "ball.stl", ball())
    assert stl_bytes(read_stl(tmp_path / "ball.stl")) == (tmp_path / "ball.stl").read_bytes()


def test_negative_zero_is_no_other_place() -> None:
    mesh = tetrahedron()
    vertices = mesh.vertices.copy()
    vertices[0] = -0.0
    assert stl_bytes(Mesh(vertices, mesh.faces)) == stl_bytes(mesh)


def test_triangles_that_rounding_makes_flat_are_left_out() -> None:
    # 1e-9 mm below 10 mm is less than single precision's half step, 10 * 2**-24 = 6e-7 mm.
    corners = np.array([[0, 0, 0], [10, 0, 0], [0, 10, 0], [0, 0, 10], [10 - 1e-9, 0, 0]])
    split = Mesh(
        corners,
        np.array([[0, 2, 4], [0, 4, 1], [0, 1, 3], [1, 4, 3], [4, 2, 3], [0, 3, 2]]),
    )
    assert is_closed(split)
    assert is_closed(single_precision(split))
    assert single_precision(split).n_triangles == 4


@pytest.mark.parametrize(
    "spoil",
    [lambda d: d[:-1], lambda d: d + b"x", lambda d: b"solid" + d[5:], lambda d: d[:60]],
    ids=["cut short", "too long", "foreign header", "no count"],
)
def test_a_spoiled_file_is_refused(tmp_path: Path, spoil) -> None:
    (tmp_path / "a.stl").write_bytes(spoil(stl_bytes(tetrahedron())))
    with pytest.raises(CheckError, match=r"a\.stl did not read back"):
        read_stl(tmp_path / "a.stl")
