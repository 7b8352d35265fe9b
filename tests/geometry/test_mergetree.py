"""Components above a level: against GUDHI on tetrahedra, and against a plain sweep written here."""

from __future__ import annotations

from collections.abc import Callable

import gudhi
import manifold3d
import numpy as np
import pytest
import tetgen
import trimesh

from moldgen.demo import demo_part_path
from moldgen.files.read import read_part
from moldgen.geometry.bvh import Bvh
from moldgen.geometry.mergetree import Side, Superlevels
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.rigid import placement, rotation_xyz, unit_vector

HEIGHT_MM = 1e-9  # double precision on bodies of about 50 mm
SKY = -1


def level_set(seed: int, edge_mm: float) -> Mesh:
    """A level set of swelling and hollowing balls: handles, arms, dents, now and then a void."""
    rng = np.random.default_rng(seed)
    middles, reach = rng.uniform(-10, 10, (20, 3)), rng.uniform(3, 7, 20)
    signs = np.where(np.arange(20) % 2, -2.0, 1.0)

    def field(x: float, y: float, z: float) -> float:
        away = ((middles - (x, y, z)) ** 2).sum(axis=1)
        return float((signs * np.exp(1.0 - away / reach**2)).sum() - 0.4)

    bounds = (*[-24.0] * 3, *[24.0] * 3)
    made = manifold3d.Manifold.level_set(field, bounds, edge_mm, 0.0).to_mesh64()
    vertices = np.array(made.vert_properties[:, :3], dtype=np.float64)
    return Mesh(vertices, np.array(made.tri_verts, dtype=np.int32))


def lump(seed: int, edge_mm: float = 3.0) -> Mesh:
    """The first of a row of level sets that nowhere touches itself in a vertex.

    Where two sheets touch, tetgen makes one vertex of the two and joins what is apart.
    """
    meshes = (level_set(seed + 1000 * row, edge_mm) for row in range(20))
    return next(m for m in meshes if len(np.unique(m.vertices, axis=0)) == len(m.vertices))


def directions(n: int, seed: int = 0) -> np.ndarray:
    rows = np.random.default_rng(seed).normal(size=(n, 3))
    return rows / np.linalg.norm(rows, axis=1)[:, None]


# GUDHI: zeroth persistence of the superlevel filtration on the edges of tetrahedra


class Tetrahedra:
    """A body and the box around it, filled with tetrahedra that keep the body's surface."""

    def __init__(self, mesh: Mesh) -> None:
        box = trimesh.creation.box(bounds=mesh.bounds + np.array([[-7, -8, -9], [9, 7, 8]]))
        surface = np.vstack([mesh.vertices, box.vertices])
        facets = np.vstack([mesh.faces, box.faces + len(mesh.vertices)])
        maker = tetgen.TetGen(surface, facets.astype(np.int32))
        made = maker.tetrahedralize(plc=True, nobisect=True, quality=False, verbose=0)
        self.nodes, cells = made[0], made[1]
        inside = Bvh(mesh).inside(self.nodes[cells].mean(axis=1))
        self.cells = {Side.SOLID: cells[inside], Side.AROUND: cells[~inside]}
        spread = self.nodes[cells[inside]]
        volume = np.abs(np.linalg.det(spread[:, 1:] - spread[:, :1])).sum() / 6
        assert volume == pytest.approx(mesh.volume_mm3, rel=1e-9)

    def pairs(self, side: Side, up: np.ndarray) -> np.ndarray:
        """Births and deaths above a falling level, (k, 2), highest birth first."""
        cells = self.cells[side]
        edges = np.vstack([cells[:, [i, j]] for i in range(4) for j in range(i)])
        edges = np.unique(np.sort(edges, axis=1), axis=0).astype(np.int64)  # int32 goes wrong there
        depth = -(self.nodes @ up)
        used = np.unique(edges)
        tree = gudhi.SimplexTree()
        tree.insert_batch(used[None], depth[used])
        tree.insert_batch(np.ascontiguousarray(edges.T), depth[edges].max(axis=1))
        tree.compute_persistence(min_persistence=0.0, persistence_dim_max=True)
        found = -tree.persistence_intervals_in_dimension(0)
        if side is Side.AROUND:
            found = np.delete(found, np.argmax(found[:, 0]), axis=0)  # the top of the box
        return found


def lasting(pairs: np.ndarray) -> np.ndarray:
    """Highest birth first, without those that join at the height where they were born."""
    pairs = pairs[pairs[:, 0] - pairs[:, 1] > HEIGHT_MM]
    return pairs[np.lexsort((-pairs[:, 1], -pairs[:, 0]))]


class Tally:
    """What was compared: directions of bodies, and components born for each side."""

    def __init__(self) -> None:
        self.directions = 0
        self.born = dict.fromkeys(Side, 0)

    def compare(self, mesh: Mesh, ups: np.ndarray) -> None:
        """Both sides of a body in each direction, (k, 3): same births, same joins."""
        tetrahedra, levels = Tetrahedra(mesh), Superlevels(mesh)
        for up in ups:
            for side in Side:
                expected = lasting(tetrahedra.pairs(side, up))
                found = lasting(np.stack(levels.along(up).pairs(side), axis=1))
                self._same(found, expected)
                self.born[side] += len(found)
            self.directions += 1

    @staticmethod
    def _same(found: np.ndarray, expected: np.ndarray) -> None:
        assert found.shape == expected.shape
        finite = np.isfinite(expected)
        assert (np.isfinite(found) == finite).all()
        assert np.abs(found[finite] - expected[finite]).max(initial=0.0) < HEIGHT_MM


@pytest.mark.parametrize("seed", range(8))
def test_births_and_joins_equal_gudhi(seed: int) -> None:
    """8 bodies x 10 directions, both sides of each."""
    tally = Tally()
    tally.compare(lump(seed), directions(10, seed))
    assert tally.directions == 10
    assert tally.born[Side.SOLID] >= 10


@pytest.mark.slow
def test_births_and_joins_equal_gudhi_at_length(
    record_property: Callable[[str, object], None],
) -> None:
    """50 bodies x 20 directions, both sides of each: none is left out."""
    tally = Tally()
    for seed in range(100, 150):
        tally.compare(lump(seed), directions(20, seed))
    record_property("directions of bodies compared", tally.directions)
    record_property("components compared", str(tally.born))
    assert tally.directions == 1000
    assert tally.born[Side.SOLID] > 3500  # 3799 with these seeds
    assert tally.born[Side.AROUND] > 250  # 286


def box(low: list[float], high: list[float]) -> trimesh.Trimesh:
    return trimesh.creation.box(bounds=[low, high])


def cup() -> trimesh.Trimesh:
    return box([0, 0, 0], [40, 40, 40]).difference(box([5, 5, 5], [35, 35, 50]), engine="manifold")


def two_legs() -> trimesh.Trimesh:
    legs = [box([0, 0, 5], [10, 10, 40]), box([40, 0, 5], [50, 10, 30])]
    return trimesh.boolean.union([box([0, 0, 0], [50, 10, 10]), *legs], engine="manifold")


def hollow_block() -> trimesh.Trimesh:
    block = box([0, 0, 0], [20, 20, 20])
    return block.difference(box([5, 5, 5], [15, 15, 15]), engine="manifold")


def torus() -> trimesh.Trimesh:
    return trimesh.creation.torus(20.0, 5.0, major_sections=48, minor_sections=24)


def two_bodies() -> trimesh.Trimesh:
    return trimesh.util.concatenate([box([0, 0, 0], [5, 5, 5]), box([9, 0, 0], [12, 3, 9])])


@pytest.mark.parametrize("shape", [cup, two_legs, hollow_block, torus, two_bodies])
def test_bodies_with_level_faces_equal_gudhi(shape: Callable[[], trimesh.Trimesh]) -> None:
    """Along the axes many corners lie level: births that join at once are left out."""
    body, tally = shape(), Tally()
    ups = np.vstack([np.eye(3), -np.eye(3), directions(6)])
    tally.compare(Mesh(body.vertices, body.faces), ups)
    assert tally.directions == 12
    assert tally.born[Side.SOLID] >= 12


FILLED = ("fluted-knob", "leaf-pull", "bracket")  # tetgen takes minutes over the finial


@pytest.mark.parametrize(
    ("fitting", "n"),
    [("bracket", 4), *(pytest.param(f, 20, marks=pytest.mark.slow) for f in FILLED)],
)
def test_fittings_equal_gudhi(fitting: str, n: int) -> None:
    tally = Tally()
    tally.compare(read_part(demo_part_path(fitting)).mesh, directions(n))
    assert tally.directions == n
    assert tally.born[Side.SOLID] >= n


# a plain sweep: every vertex in turn, rays by solving, volumes by cutting triangles


def sorted_down(mesh: Mesh, up: np.ndarray) -> list[int]:
    return [int(v) for v in np.lexsort((np.arange(len(mesh.vertices)), -(mesh.vertices @ up)))]


def cut_volume(mesh: Mesh, up: np.ndarray, faces: list[int], level: float) -> float:
    """Volume under faces above a level, each cut as a polygon: area seen from above x mean rise."""
    total = 0.0
    for face in faces:
        corners = mesh.corners[face]
        rises = corners @ up - level
        kept: list[np.ndarray] = []
        for k in range(3):
            p, q, a, b = corners[k], corners[(k + 1) % 3], rises[k], rises[(k + 1) % 3]
            if a >= 0:
                kept.append(p)
            if (a > 0 > b) or (a < 0 < b):
                kept.append(p + (q - p) * a / (a - b))
        for i in range(1, len(kept) - 1):
            fan = np.array([kept[0], kept[i], kept[i + 1]])
            area = 0.5 * np.cross(fan[1] - fan[0], fan[2] - fan[0]) @ up
            total += area * (fan @ up - level).mean()
    return total


def face_above(mesh: Mesh, up: np.ndarray, vertex: int) -> int:
    """The first face above a vertex, by solving for barycentric numbers; SKY for none."""
    a, b, c = (mesh.corners[:, k] for k in range(3))
    systems = np.stack([b - a, c - a, np.broadcast_to(-up, a.shape)], axis=2)
    s, t, way = np.linalg.solve(systems, (mesh.vertices[vertex] - a)[:, :, None])[:, :, 0].T
    met = (s >= 0) & (t >= 0) & (s + t <= 1) & (way > 0) & ~(mesh.faces == vertex).any(axis=1)
    return int(np.where(met, way, np.inf).argmin()) if met.any() else SKY


class PlainSweep:
    """Joins every vertex with its higher neighbors, one by one, and measures at every join."""

    def __init__(self, mesh: Mesh, up: np.ndarray, side: Side, least: float) -> None:
        self.mesh, self.up, self.side, self.least = mesh, up, side, least
        self.z = mesh.vertices @ up
        self.order = sorted_down(mesh, up)
        self.place = {v: k for k, v in enumerate(self.order)}
        self.leader: dict[int, int] = {SKY: SKY}
        self.members: dict[int, list[int]] = {SKY: []}
        self.vents: dict[int, int] = {SKY: 0}
        self.counts = {SKY: True}
        self._fans()
        for v in self.order:
            self._take(v)

    def _fans(self) -> None:
        self.near: dict[int, set[int]] = {v: set() for v in self.order}
        self.topped: dict[int, list[int]] = {v: [] for v in self.order}
        for number, face in enumerate(self.mesh.faces.tolist()):
            for v in face:
                self.near[v] |= set(face) - {v}
            self.topped[min(face, key=self.place.__getitem__)].append(number)

    def _take(self, v: int) -> None:
        self.leader[v], self.members[v], self.vents[v], self.counts[v] = v, [v], 0, False
        higher = [u for u in self.near[v] if self.place[u] < self.place[v]]
        if not higher and not self._is_trap(v):
            face = face_above(self.mesh, self.up, v)
            top = SKY if face == SKY else min(self.mesh.faces[face], key=self.place.__getitem__)
            self._join(v, int(top), self.z[v])
        for u in higher:
            self._join(u, v, self.z[v])

    def _is_trap(self, v: int) -> bool:
        """Whether the region lies just below a peak: sign of what a low cut takes off."""
        drop = min(self.z[v] - self.z[u] for u in self.near[v]) * 1e-3
        faces = np.flatnonzero((self.mesh.faces == v).any(axis=1)).tolist()
        return self.side.value * cut_volume(self.mesh, self.up, faces, self.z[v] - drop) > 0

    def _root(self, v: int) -> int:
        while self.leader[v] != v:
            v = self.leader[v]
        return v

    def _holds(self, root: int, level: float) -> float:
        faces = [f for v in self.members[root] for f in self.topped[v]]
        return self.side.value * cut_volume(self.mesh, self.up, faces, level)

    def _join(self, u: int, v: int, level: float) -> None:
        a, b = self._root(u), self._root(v)
        if a == b:
            return
        for root in (a, b):
            if not self.counts[root] and self._holds(root, level) > self.least:
                self.counts[root], self.vents[root] = True, 1
        if a == SKY:
            a, b = b, a
        self.leader[a] = b
        self.members[b] = self.members[b] + self.members[a]
        self.vents[b] += self.vents[a]
        self.counts[b] |= self.counts[a]

    def connections(self) -> int:
        roots = [v for v in self.leader if self.leader[v] == v and v != SKY]
        if self.side is Side.SOLID:
            return sum(max(self.vents[r], 1) for r in roots)
        return self.vents[SKY]


@pytest.mark.parametrize("least_mm3", [0.001, 1.0, 20.0])
@pytest.mark.parametrize("side", Side)
def test_fast_route_equals_the_plain_sweep(side: Side, least_mm3: float) -> None:
    for seed in range(3):
        mesh = lump(seed, edge_mm=5.0)
        levels = Superlevels(mesh)
        for up in directions(4, seed):
            plain = PlainSweep(mesh, up, side, least_mm3).connections()
            assert len(levels.along(up).tops(side, least_mm3).vertices) == plain


@pytest.mark.slow
def test_fast_route_equals_the_plain_sweep_at_length() -> None:
    """40 bodies x 5 directions x 3 limits x 2 sides: 1200 checks."""
    for seed in range(200, 240):
        mesh = lump(seed, edge_mm=6.0)
        levels = Superlevels(mesh)
        for up in directions(5, seed):
            for side in Side:
                for least in (0.001, 1.0, 20.0):
                    plain = PlainSweep(mesh, up, side, least).connections()
                    assert len(levels.along(up).tops(side, least).vertices) == plain


# outlets that stay


def test_opening_every_top_shuts_nothing_in_but_what_is_small() -> None:
    mesh = lump(4)
    levels = Superlevels(mesh)
    for up in directions(10):
        lifted = levels.along(up)
        tops = lifted.tops(Side.SOLID, 0.0)
        outlets = levels.outlets(mesh.vertices[tops.vertices])
        assert lifted.shut_in(Side.SOLID, outlets).sum() < 1e-9 * mesh.volume_mm3


def test_without_one_outlet_its_own_volume_is_shut_in() -> None:
    """The volume of a top is what stays when its outlet alone is left out."""
    mesh, compared = lump(4), 0
    levels = Superlevels(mesh)
    for up in directions(40):
        lifted = levels.along(up)
        tops = lifted.tops(Side.SOLID, 0.0)
        for k, volume in enumerate(tops.volumes_mm3):
            others = np.delete(mesh.vertices[tops.vertices], k, axis=0)
            if len(others):
                shut = lifted.shut_in(Side.SOLID, levels.outlets(others)).sum()
                assert shut == pytest.approx(volume, rel=1e-9, abs=1e-9)
                compared += 1
    assert compared > 20


def test_an_outlet_half_way_up_a_box_shuts_in_the_upper_half() -> None:
    solid = trimesh.creation.box(extents=(10, 20, 30))
    levels = Superlevels(Mesh(solid.vertices, solid.faces))
    shut = levels.along((0, 0, 1)).shut_in(Side.SOLID, levels.outlets([[5, 3, 0]]))
    assert shut.tolist() == pytest.approx([10 * 20 * 15])


def test_a_body_without_outlet_is_shut_in_whole() -> None:
    levels = Superlevels(lump(4))
    shut = levels.along((1, 2, 3)).shut_in(Side.SOLID, levels.outlets(np.empty((0, 3))))
    assert shut.sum() == pytest.approx(levels.mesh.volume_mm3)


# the answer belongs to the body, not to its mesh or axes


def figures(mesh: Mesh, up: np.ndarray, side: Side) -> np.ndarray:
    return np.sort(Superlevels(mesh).along(up).tops(side, 0.5).volumes_mm3)


@pytest.mark.parametrize("side", Side)
@pytest.mark.parametrize("seed", range(3))
def test_turning_body_and_direction_together_changes_nothing(seed: int, side: Side) -> None:
    mesh, turn = lump(seed), rotation_xyz(20, -35, 71)
    turned = mesh.moved(placement(turn, (30, -4, 9)))
    for up in directions(5, seed):
        expected = figures(mesh, up, side)
        assert figures(turned, turn @ up, side) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("side", Side)
@pytest.mark.parametrize("seed", range(3))
def test_mirroring_body_and_direction_together_changes_nothing(seed: int, side: Side) -> None:
    mesh, mirror = lump(seed), np.diag([-1.0, 1.0, 1.0, 1.0])
    for up in directions(5, seed):
        expected = figures(mesh, up, side)
        found = figures(mesh.moved(mirror), mirror[:3, :3] @ up, side)
        assert found == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("side", Side)
@pytest.mark.parametrize("seed", range(3))
def test_splitting_every_triangle_in_four_changes_nothing(seed: int, side: Side) -> None:
    mesh = lump(seed)
    finer = Mesh(*trimesh.remesh.subdivide(mesh.vertices, mesh.faces))
    for up in directions(5, seed):
        assert figures(finer, up, side) == pytest.approx(figures(mesh, up, side), rel=1e-9)


def test_numbering_the_vertices_otherwise_changes_nothing() -> None:
    mesh = lump(1)
    order = np.random.default_rng(0).permutation(len(mesh.vertices))
    shuffled = Mesh(mesh.vertices[order], np.argsort(order)[mesh.faces])
    for up in directions(5):
        expected = figures(mesh, up, Side.SOLID)
        assert figures(shuffled, up, Side.SOLID) == pytest.approx(expected, rel=1e-9)


# unsound meshes are told


def test_sound_bodies_have_no_ray_misses() -> None:
    for seed in range(6):
        levels = Superlevels(lump(seed))
        assert all(levels.along(up).tops(Side.SOLID, 1.0).ray_misses == 0 for up in directions(30))


def test_a_body_turned_inside_out_has_ray_misses() -> None:
    mesh = lump(2)
    levels = Superlevels(Mesh(mesh.vertices, mesh.faces[:, ::-1]))
    assert levels.along(unit_vector((0.3, 0.2, 1))).tops(Side.SOLID, 1.0).ray_misses > 0


def test_vertices_no_face_uses_are_left_alone() -> None:
    mesh = lump(1)
    strays = Mesh(np.vstack([mesh.vertices, [[0, 0, 99]]]), mesh.faces)
    up = unit_vector((0.3, 0.2, 1))
    assert figures(strays, up, Side.SOLID) == pytest.approx(figures(mesh, up, Side.SOLID))
