"""The box tree against brute force over every triangle, written here on other formulas."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh

from moldgen.geometry.bvh import Bvh
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.rigid import frame_along

ROUNDING_MM = 1e-9  # double precision on bodies of about 20 mm


def knob(seed: int = 3) -> Mesh:
    """A lumpy sphere with a hundred-odd slanting triangles of all sizes."""
    ball = trimesh.creation.icosphere(subdivisions=2, radius=10.0)
    bumps = 1.0 + 0.35 * np.random.default_rng(seed).uniform(-1, 1, (len(ball.vertices), 1))
    return Mesh(ball.vertices * bumps, ball.faces)


def box(x: float = 20.0, y: float = 30.0, z: float = 10.0) -> Mesh:
    solid = trimesh.creation.box(extents=(x, y, z))
    return Mesh(solid.vertices, solid.faces)


def around(n: int = 300, reach: float = 12.0, seed: int = 1) -> np.ndarray:
    return np.random.default_rng(seed).uniform(-reach, reach, (n, 3))


def brute_distance(mesh: Mesh, points: np.ndarray) -> np.ndarray:
    """Closest point by regions of the plane: C. Ericson, Real-Time Collision Detection, 5.1.5."""

    def one(p: np.ndarray, a: np.ndarray, b: np.ndarray, c: np.ndarray) -> float:
        ab, ac, ap, bp, cp = b - a, c - a, p - a, p - b, p - c
        d1, d2, d3, d4, d5, d6 = ab @ ap, ac @ ap, ab @ bp, ac @ bp, ab @ cp, ac @ cp
        va, vb, vc = d3 * d6 - d5 * d4, d5 * d2 - d1 * d6, d1 * d4 - d3 * d2
        if d1 <= 0 and d2 <= 0:
            q = a
        elif d3 >= 0 and d4 <= d3:
            q = b
        elif d6 >= 0 and d5 <= d6:
            q = c
        elif vc <= 0 and d1 >= 0 and d3 <= 0:
            q = a + ab * d1 / (d1 - d3)
        elif vb <= 0 and d2 >= 0 and d6 <= 0:
            q = a + ac * d2 / (d2 - d6)
        elif va <= 0 and d4 >= d3 and d5 >= d6:
            q = b + (c - b) * (d4 - d3) / ((d4 - d3) + (d5 - d6))
        else:
            q = a + (ab * vb + ac * vc) / (va + vb + vc)
        return float(np.linalg.norm(p - q))

    return np.array([min(one(p, *corners) for corners in mesh.corners) for p in points])


def brute_hits(mesh: Mesh, origin: np.ndarray, direction: np.ndarray) -> np.ndarray:
    """Ways along one ray to all triangles it meets, by solving 3 x 3 systems."""
    a, b, c = (mesh.corners[:, k] for k in range(3))
    systems = np.stack([b - a, c - a, np.broadcast_to(-direction, a.shape)], axis=2)
    s, t, way = np.linalg.solve(systems, (origin - a)[:, :, None])[:, :, 0].T
    return np.sort(way[(s >= 0) & (t >= 0) & (s + t <= 1) & (way > 0)])


def test_distance_equals_brute_force() -> None:
    mesh, points = knob(), around()
    assert np.abs(Bvh(mesh).distance(points) - brute_distance(mesh, points)).max() < ROUNDING_MM


def test_distance_from_a_corner_of_the_surface_is_zero() -> None:
    mesh = knob()
    assert Bvh(mesh).distance(mesh.vertices).max() < ROUNDING_MM


def test_distance_from_a_box_by_hand() -> None:
    points = [[0, 0, 0], [13, 0, 0], [13, 19, 0], [13, 19, 17], [0, 0, 4]]
    assert Bvh(box()).distance(points) == pytest.approx([5, 3, 5, 13, 1])


def test_nearest_point_lies_on_its_face_at_the_distance() -> None:
    mesh, points = knob(), around(50)
    tree = Bvh(mesh)
    spots, faces = tree.nearest(points)
    assert np.linalg.norm(points - spots, axis=1) == pytest.approx(tree.distance(points))
    for spot, face in zip(spots, faces, strict=True):
        alone = Mesh(mesh.corners[face], np.array([[0, 1, 2]]))
        assert Bvh(alone).distance([spot])[0] < ROUNDING_MM


def test_first_hit_equals_brute_force() -> None:
    mesh, points = knob(), around()
    direction = np.array([0.3, -0.8, 0.5]) / np.linalg.norm([0.3, -0.8, 0.5])
    ways, faces = Bvh(mesh).first_hit(points, direction)
    expected = [(*brute_hits(mesh, p, direction), np.inf)[0] for p in points]
    assert np.allclose(ways, expected, atol=ROUNDING_MM)
    assert ((faces >= 0) == np.isfinite(expected)).all()


def test_first_hit_names_the_face_the_ray_ends_on() -> None:
    mesh, points = knob(), around()
    ways, faces = Bvh(mesh).first_hit(points, (0, 0, 1))
    met = faces >= 0
    ends = points[met] + ways[met, None] * (0, 0, 1)
    heights = np.einsum(
        "ij,ij->i", ends - mesh.corners[faces[met], 0], mesh.area_vectors[faces[met]]
    )
    assert met.sum() > 50
    assert (
        np.abs(heights / np.linalg.norm(mesh.area_vectors[faces[met]], axis=1)).max() < ROUNDING_MM
    )


@pytest.mark.parametrize("spot", [(0, 0), (10, 0), (10, 15), (0, 15), (2, 3), (-10, -15)])
def test_a_ray_through_edges_and_corners_is_all_in_or_all_out(spot: tuple[float, float]) -> None:
    """Below a box, a ray along its diagonal, side or corner meets two faces or none, never one."""
    tree = Bvh(box())
    start = np.array([[*spot, -50.0]])
    first = tree.first_hit(start, (0, 0, 1))[0][0]
    second = tree.first_hit(start, (0, 0, 1), beyond_mm=50.0)[0][0]
    assert (first, second) in {(45.0, 55.0), (np.inf, np.inf)}


def test_hits_nearer_than_wanted_are_passed_over() -> None:
    tree = Bvh(box())
    ways, _ = tree.first_hit([[1, 2, -25]], (0, 0, 3), beyond_mm=20.0)
    assert ways[0] == pytest.approx(30.0)


@pytest.mark.parametrize("direction", [(0, 0, -1), (1e-9, 0, -1), (0.6, 0, -0.8), (1, 2, 3)])
def test_a_frame_is_square_and_ends_on_its_direction(direction: tuple[float, ...]) -> None:
    d = np.array(direction) / np.linalg.norm(direction)
    frame = frame_along(d)
    assert np.abs(frame @ frame.T - np.eye(3)).max() < 1e-15
    assert (frame[2] == d).all()


def test_inside_equals_brute_force() -> None:
    mesh, points = knob(), around()
    direction = np.array([0.6, 0.0, 0.8])
    expected = [len(brute_hits(mesh, p, direction)) % 2 == 1 for p in points]
    assert 40 < sum(expected) < 260
    assert (Bvh(mesh).inside(points) == expected).all()


def test_inside_a_hollow_shell_is_only_the_wall() -> None:
    outer, inner = box(20, 20, 20), box(10, 10, 10)
    shell = Mesh(
        np.vstack([outer.vertices, inner.vertices]),
        np.vstack([outer.faces, inner.faces[:, ::-1] + len(outer.vertices)]),
    )
    inside = Bvh(shell).inside([[0, 0, 0], [7, 0, 0], [12, 0, 0], [0, 0, -9.9]])
    assert inside.tolist() == [False, True, False, True]


def test_one_triangle_is_tree_enough() -> None:
    mesh = Mesh(np.eye(3), np.array([[0, 1, 2]]))
    assert Bvh(mesh).distance([[0, 0, 0]])[0] == pytest.approx(3**-0.5)


def test_a_mesh_without_triangles_is_refused() -> None:
    with pytest.raises(ValueError, match="without triangles"):
        Bvh(Mesh(np.eye(3), np.empty((0, 3))))


def test_points_need_three_columns() -> None:
    with pytest.raises(ValueError, match=r"\(n, 3\)"):
        Bvh(knob()).distance([[1.0, 2.0]])
