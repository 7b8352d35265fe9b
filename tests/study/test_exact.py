"""The exact count of small polyhedra: by hand, not beaten by sampling, reached by the search."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import trimesh

from moldgen.geometry.mesh import Mesh
from moldgen.job.job import ChannelWishes, Job
from moldgen.study.directions import even_directions
from moldgen.study.exact import fewest_raw_pockets
from moldgen.study.pockets import PocketFinder
from moldgen.study.search import study_poses
from moldgen.study.survey import refined, survey

NO_LIMIT = replace(Job(), channels=ChannelWishes(limit_mm3=0.0))


def spiky(seed: int) -> Mesh:
    """An icosahedron with each face raised to a spike of its own height: 60 triangles."""
    core = trimesh.creation.icosahedron()
    rng = np.random.default_rng(seed)
    tips = core.triangles.mean(axis=1) * rng.uniform(1.2, 3.0, (20, 1))
    n = len(core.vertices)
    faces = [
        (a, b, n + k)
        for k, face in enumerate(core.faces)
        for a, b in zip(face, np.roll(face, -1), strict=True)
    ]
    return Mesh(10 * np.vstack([core.vertices, tips]), np.array(faces))


def test_a_convex_body_needs_one_whichever_way() -> None:
    box = trimesh.creation.box(extents=(10, 20, 30))
    fewest, _ = fewest_raw_pockets(Mesh(box.vertices, box.faces))
    assert fewest == 1


def test_two_bodies_need_one_each() -> None:
    boxes = [trimesh.creation.box(bounds=[[9 * k, 0, 0], [9 * k + 5, 5, 5]]) for k in range(2)]
    two = trimesh.util.concatenate(boxes)
    assert fewest_raw_pockets(Mesh(two.vertices, two.faces))[0] == 2


def test_a_cube_with_six_spikes_needs_one_along_a_spike() -> None:
    """Along +x the edges of the spikes on +-y and +-z rise to the cube's corners at x = 1, whose
    edges rise to the tip at x = 5."""
    cube = trimesh.creation.box(extents=(2, 2, 2))
    spikes = [
        trimesh.convex.convex_hull(np.vstack([5 * a, cube.vertices[cube.vertices @ a > 0], 0 * a]))
        for a in np.vstack([np.eye(3), -np.eye(3)])
    ]
    star = trimesh.boolean.union([cube, *spikes], engine="manifold")
    fewest, directions = fewest_raw_pockets(Mesh(star.vertices, star.faces))
    assert fewest == 1
    assert np.abs(directions).max(axis=1) == pytest.approx(1.0, abs=0.15)


@pytest.mark.parametrize("seed", range(4))
def test_each_direction_handed_back_needs_the_fewest(seed: int) -> None:
    mesh = spiky(seed)
    fewest, directions = fewest_raw_pockets(mesh)
    finder = PocketFinder(mesh)
    counts = [len(finder.needed(d, 0.0)) for d in directions]
    assert min(counts) == fewest
    assert counts[-1] == fewest  # a corner of a cell lies in it; a middle may not


@pytest.mark.parametrize("seed", range(4))
def test_no_direction_sampled_needs_fewer(seed: int) -> None:
    mesh = spiky(seed)
    found = survey(PocketFinder(mesh), even_directions(2000), 0.0)
    assert found.connections.min() >= fewest_raw_pockets(mesh)[0]


def test_sampling_and_refining_reaches_the_fewest_nine_times_in_ten() -> None:
    above = []
    for seed in range(10, 20):
        mesh = spiky(seed)
        finder = PocketFinder(mesh)
        coarse = survey(finder, even_directions(1000), 0.0)
        best = coarse.joined(refined(finder, coarse, 1000, 0.0)).connections.min()
        above.append(int(best) - fewest_raw_pockets(mesh)[0])
    assert max(above) <= 1
    assert above.count(0) >= 9


def test_the_study_of_a_small_polyhedron_without_limit_claims_the_fewest() -> None:
    mesh = spiky(1)
    study = study_poses(mesh, replace(NO_LIMIT, level_error_deg=0.0))
    assert study.claim == "fewest possible"
    assert study.poses[0].connections == fewest_raw_pockets(mesh)[0]


def test_with_a_limit_the_study_claims_no_more_than_it_knows() -> None:
    assert study_poses(spiky(1), Job()).claim == "best found"
