"""The same body cut into other triangles, at random: points put into faces, diagonals flipped."""

from __future__ import annotations

import numpy as np

from moldgen.geometry.mesh import Mesh

SHARE = 0.3  # of the faces or edges that is touched
FLAT = 1e-12  # how far the normals of two faces of one plane may part


def dotted(mesh: Mesh, seed: int) -> Mesh:
    """Some faces split in three around a point inside."""
    rng = np.random.default_rng(seed)
    chosen = rng.random(mesh.n_triangles) < SHARE
    chosen[0] = True
    shares = rng.dirichlet((2, 2, 2), int(chosen.sum()))
    points = np.einsum("ik,ikj->ij", shares, mesh.corners[chosen])
    tips = len(mesh.vertices) + np.arange(len(points))
    a, b, c = mesh.faces[chosen].T
    fans = [np.stack(rows, axis=1) for rows in ((a, b, tips), (b, c, tips), (c, a, tips))]
    return Mesh(np.vstack([mesh.vertices, points]), np.vstack([mesh.faces[~chosen], *fans]))


def flipped(mesh: Mesh, seed: int) -> tuple[Mesh, int]:
    """Some diagonals of flat four-sided pieces exchanged for the other one, and how many."""
    rng = np.random.default_rng(seed)
    faces = mesh.faces.tolist()
    owner = {(f[k], f[k - 2]): n for n, f in enumerate(faces) for k in range(3)}
    edges = {frozenset(edge) for edge in owner}
    units = mesh.area_vectors / np.linalg.norm(mesh.area_vectors, axis=1)[:, None]
    done: set[int] = set()
    n_flips = 0
    for (a, b), one in owner.items():
        two = owner[b, a]
        if a > b or {one, two} & done or rng.random() > SHARE:
            continue
        (c,), (d,) = set(faces[one]) - {a, b}, set(faces[two]) - {a, b}
        new = [[c, d, b], [d, c, a]]
        if units[one] @ units[two] < 1.0 - FLAT or frozenset((c, d)) in edges:
            continue
        if all(_turns(mesh, rows, units[one]) for rows in new):
            faces[one], faces[two] = new
            edges.add(frozenset((c, d)))
            done |= {one, two}
            n_flips += 1
    return Mesh(mesh.vertices, np.array(faces)), n_flips


def _turns(mesh: Mesh, rows: list[int], normal: np.ndarray) -> bool:
    """Whether a triangle is no sliver and looks the way of its plane."""
    p, q, r = mesh.vertices[rows]
    longest = max(np.linalg.norm(q - p), np.linalg.norm(r - q), np.linalg.norm(p - r))
    return bool(np.cross(q - p, r - p) @ normal > 1e-3 * longest**2)
