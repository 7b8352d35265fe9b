"""The picture of the seam: a ball's line is its great circle, seen half from either side."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import cast

import numpy as np
import pytest
import trimesh

from moldgen.build.nouns import MoldSet
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.parting import parting_sheet
from moldgen.plan.two_part_nouns import TO_PULL, TwoPart
from moldgen.report.seam_view import SIDES, seam_of, seam_view


@pytest.fixture(scope="module")
def parted(standing_set: MoldSet) -> MoldSet:
    """A ball of 20 mm about (0, 0, 20), parted in its middle."""
    ball = trimesh.creation.icosphere(4, 20.0)
    mesh = Mesh(np.add(ball.vertices, (0.0, 0.0, 20.0)), ball.faces)
    parting = parting_sheet(mesh.moved(TO_PULL), (-30.0, -10.0), (30.0, 60.0))
    halves = cast(TwoPart, SimpleNamespace(parting=parting))
    return replace(standing_set, plan=replace(standing_set.plan, mesh=mesh, two_part=halves))


def test_the_line_of_a_ball_is_a_great_circle_across_the_pull(parted: MoldSet) -> None:
    (ring,) = seam_of(parted.plan)
    assert np.ptp(ring[:, 1]) < 1e-9
    assert (ring[0] == ring[-1]).all()
    radii = np.linalg.norm(ring - (0.0, ring[0, 1], 20.0), axis=1)
    assert radii == pytest.approx(20.0, abs=0.2)


def test_both_sides_are_drawn_and_named(parted: MoldSet) -> None:
    paper = seam_view(parted)
    assert len(paper.places) == len(SIDES)
    assert all(paper.whole.holds(p) for p in paper.places)
