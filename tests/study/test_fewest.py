"""The fewest pockets of small polyhedra: by hand, by great circles, by covering the sphere.

Great circles: the arrangement of P. Bose, M. van Kreveld, G. Toussaint, Filling polyhedral molds,
Computer-Aided Design 30(4) 1998, 245-254 (abstract), written for these tests.
"""

from __future__ import annotations

import runpy
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
import trimesh

from moldgen.geometry.mesh import Mesh
from moldgen.job.job import ChannelWishes, Job
from moldgen.study.cover import cover_sphere
from moldgen.study.directions import even_directions
from moldgen.study.pockets import PocketFinder
from moldgen.study.search import study_poses
from moldgen.study.survey import survey

BODIES = SimpleNamespace(**runpy.run_path(str(Path(__file__).with_name("bodies.py"))))
CIRCLES = SimpleNamespace(**runpy.run_path(str(Path(__file__).with_name("great_circles.py"))))
NO_LIMIT = replace(Job(), channels=ChannelWishes(limit_mm3=0.0))


def spiky(seed: int, subdivisions: int | None = None) -> Mesh:
    """A ball of 20 or 80 flat faces, each raised to a spike of its own height."""
    ball = trimesh.creation
    core = ball.icosphere(subdivisions) if subdivisions else ball.icosahedron()
    return BODIES.mesh_of(BODIES.spiky_ball(seed, core))


def lumpy(seed: int) -> Mesh:
    """A ball of 80 flat faces whose 42 corners are drawn out at random."""
    core = trimesh.creation.icosphere(subdivisions=1)
    out = np.random.default_rng(seed).uniform(0.5, 1.6, (len(core.vertices), 1))
    return Mesh(10 * core.vertices * out, core.faces)


def test_a_convex_body_needs_one_whichever_way() -> None:
    box = trimesh.creation.box(extents=(10, 20, 30))
    fewest, _ = CIRCLES.fewest_raw_pockets(Mesh(box.vertices, box.faces))
    assert fewest == 1


def test_two_bodies_need_one_each() -> None:
    boxes = [trimesh.creation.box(bounds=[[9 * k, 0, 0], [9 * k + 5, 5, 5]]) for k in range(2)]
    two = trimesh.util.concatenate(boxes)
    assert CIRCLES.fewest_raw_pockets(Mesh(two.vertices, two.faces))[0] == 2


def test_a_cube_with_six_spikes_needs_one_along_a_spike() -> None:
    """Along +x the edges of the spikes on +-y and +-z rise to the cube's corners at x = 1, whose
    edges rise to the tip at x = 5."""
    cube = trimesh.creation.box(extents=(2, 2, 2))
    spikes = [
        trimesh.convex.convex_hull(np.vstack([5 * a, cube.vertices[cube.vertices @ a > 0], 0 * a]))
        for a in np.vstack([np.eye(3), -np.eye(3)])
    ]
    star = trimesh.boolean.union([cube, *spikes], engine="manifold")
    fewest, directions = CIRCLES.fewest_raw_pockets(Mesh(star.vertices, star.faces))
    assert fewest == 1
    assert np.abs(directions).max(axis=1) == pytest.approx(1.0, abs=0.15)


@pytest.mark.parametrize("seed", range(4))
def test_each_direction_handed_back_needs_the_fewest(seed: int) -> None:
    mesh = spiky(seed)
    fewest, directions = CIRCLES.fewest_raw_pockets(mesh)
    finder = PocketFinder(mesh)
    counts = [len(finder.needed(d, 0.0)) for d in directions]
    assert min(counts) == fewest
    assert counts[-1] == fewest  # a corner of a cell lies in it; a middle may not


@pytest.mark.parametrize("seed", range(4))
def test_no_direction_sampled_needs_fewer(seed: int) -> None:
    mesh = spiky(seed)
    found = survey(PocketFinder(mesh), even_directions(2000), 0.0)
    assert found.connections.min() >= CIRCLES.fewest_raw_pockets(mesh)[0]


# seeds not used while anything here was built
SPIKY_20 = range(5000, 5032)
LUMPY_80 = range(6000, 6024)
SPIKY_80 = range(7000, 7010)


@pytest.mark.parametrize("seed", SPIKY_20)
def test_covering_finds_the_fewest_of_twenty_spikes(seed: int) -> None:
    assert_same_fewest(spiky(seed))


@pytest.mark.parametrize("seed", LUMPY_80)
def test_covering_finds_the_fewest_of_lumpy_balls(seed: int) -> None:
    assert_same_fewest(lumpy(seed))


@pytest.mark.slow
@pytest.mark.parametrize("seed", SPIKY_80)
def test_covering_finds_the_fewest_of_eighty_spikes(seed: int) -> None:
    assert_same_fewest(spiky(seed, 1))


def assert_same_fewest(mesh: Mesh) -> None:
    cover = cover_sphere(PocketFinder(mesh), 99, 0.0)
    assert cover.is_proved
    assert cover.fewest == CIRCLES.fewest_raw_pockets(mesh)[0]


@pytest.mark.parametrize("seed", [5040, 5041, 6040])
def test_the_study_reaches_the_fewest_and_says_so(seed: int) -> None:
    mesh = spiky(seed) if seed < 6000 else lumpy(seed)
    study = study_poses(mesh, replace(NO_LIMIT, level_error_deg=0.0))
    assert study.claim == "fewest possible"
    assert study.open_share == 0.0
    assert study.poses[0].connections == CIRCLES.fewest_raw_pockets(mesh)[0]


def test_what_was_not_looked_at_is_not_claimed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("moldgen.study.search.affordable", lambda _finder: 30.0)
    study = study_poses(spiky(7040, 1), Job())
    assert study.claim == "best found"
    assert study.open_share > 0.0
