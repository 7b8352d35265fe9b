"""Every direction covered: the bound holds, the fewest is the great circles' fewest."""

from __future__ import annotations

import runpy
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st

from moldgen.geometry.mesh import Mesh
from moldgen.study.cover import _Cell, _icosahedron, cover_sphere
from moldgen.study.directions import even_directions
from moldgen.study.pockets import PocketFinder
from moldgen.study.survey import survey
from moldgen.study.tilt import leaning

BODIES = SimpleNamespace(**runpy.run_path(str(Path(__file__).with_name("bodies.py"))))


def star(seed: int, subdivisions: int = 0) -> Mesh:
    """A ball of 20 or 80 spikes."""
    return BODIES.mesh_of(BODIES.spiky_ball(seed, trimesh.creation.icosphere(subdivisions)))


def comb(teeth: int) -> Mesh:
    """A bar with teeth 4 x 4 mm, 12, 14, 16 ... mm high, that stand up."""
    bar = trimesh.creation.box(bounds=[[0, 0, 0], [10 * teeth, 4, 4]])
    rows = [
        trimesh.creation.box(bounds=[[10 * k, 0, 2], [10 * k + 4, 4, 16 + 2 * k]])
        for k in range(teeth)
    ]
    mesh = trimesh.boolean.union([bar, *rows], engine="manifold")
    return Mesh(mesh.vertices, mesh.faces)


def test_the_triangles_cover_the_sphere_once() -> None:
    cells = [_Cell.of(c) for c in _icosahedron()]
    assert len(cells) == 20
    assert sum(c.area for c in cells) == pytest.approx(4.0 * np.pi, rel=1e-12)
    quarters = [q for c in cells for q in c.quarters()]
    assert sum(q.area for q in quarters) == pytest.approx(4.0 * np.pi, rel=1e-12)


@settings(max_examples=60, deadline=None)
@given(
    seed=st.integers(0, 10**6),
    limit=st.sampled_from([0.0, 1.0, 20.0, 200.0]),
    lean_deg=st.floats(0.05, 30.0),
)
def test_no_direction_within_the_lean_needs_fewer_than_last(
    seed: int, limit: float, lean_deg: float
) -> None:
    """The bound itself, against the count in 40 directions within the lean."""
    finder, rng = PocketFinder(star(seed)), np.random.default_rng(seed)
    up = rng.normal(size=3)
    counting, lasting = finder.lasting(up, limit, np.radians(lean_deg))
    assert 1 <= lasting <= counting == len(finder.needed(up, limit))
    for way, share in zip(rng.uniform(0, 2 * np.pi, 40), rng.uniform(0, 1, 40), strict=True):
        assert len(finder.needed(leaning(up, way, share * lean_deg), limit)) >= lasting


def test_upright_teeth_last_as_long_as_they_hold_the_limit() -> None:
    """Teeth 4 x 4 mm over the bar: above a level raised by 2 r sin a + H (1 - cos a), r half of
    the tooth's diagonal, a prism of 16 mm² must hold more than the limit. Of three teeth, two
    are cut off at the bar's top; the tallest is what remains, and a body keeps one anyway."""
    finder, a = PocketFinder(comb(3)), np.radians(2.0)
    raised = 2.0 * np.hypot(2.0, 2.0) * np.sin(a)
    held = [16.0 * (h - raised - h * (1.0 - np.cos(a))) for h in (12.0, 14.0, 16.0)]
    for limit, lasting in ((held[0] - 0.01, 3), (held[0] + 0.01, 2), (held[1] + 0.01, 1)):
        assert finder.lasting((0, 0, 1), limit, a)[1] == lasting


def test_one_connection_is_proved_by_twenty_directions() -> None:
    ball = trimesh.creation.icosphere(subdivisions=2, radius=20.0)
    cover = cover_sphere(PocketFinder(Mesh(ball.vertices, ball.faces)), 1, 20.0)
    assert cover.is_proved
    assert len(cover.tried.directions) == 20


def test_what_is_left_when_the_effort_ends_is_told() -> None:
    cover = cover_sphere(PocketFinder(star(1, 1)), 99, 1.0, most=600)
    assert len(cover.tried.directions) == 600
    assert 0.0 < cover.open_share < 1.0


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_no_direction_sampled_needs_fewer_than_proved(seed: int) -> None:
    """With a volume limit no other exact route is known; a dense sample must not beat it."""
    finder = PocketFinder(star(seed, 1))
    cover = cover_sphere(finder, 99, 5.0)
    dense = survey(finder, even_directions(8000), 5.0)
    assert cover.is_proved
    assert cover.fewest <= dense.connections.min()
    assert cover.tried.connections.min() == cover.fewest
