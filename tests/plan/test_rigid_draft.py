"""Draft against closed forms: asin of normal and pull, by area."""

from __future__ import annotations

import math
import runpy
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from moldgen.geometry.mesh import Mesh
from moldgen.plan.rigid_draft import draft_deg, draft_findings, plan_draft

BODIES = SimpleNamespace(**runpy.run_path(str(Path(__file__).parent / "rigid_bodies.py")))
UP = (0.0, 0.0, 1.0)


def mesh_of(body) -> Mesh:
    return Mesh(body.vertices, body.faces)


def test_a_cone_of_five_degrees_leans_five_degrees():
    """Facets of 256 sides lean less by the cosine of half their angle: 5 (1 - 7.5e-5)."""
    lean = draft_deg(mesh_of(BODIES.cone(5.0)), UP)
    side = lean[lean < 45.0]
    assert side == pytest.approx(5.0, abs=1e-3)
    assert lean.max() == pytest.approx(90.0)


def test_a_cylinder_is_two_thirds_upright():
    """2 pi r h of 2 pi r h + 2 pi r²: h / (h + r) = 20 / 30."""
    draft = plan_draft(mesh_of(BODIES.cylinder()), UP)
    assert draft.shares == pytest.approx((2.0 / 3.0,) * 3, abs=5e-4)


def test_a_frustum_leans_by_its_closed_form():
    """3 mm of lean over 12 mm of height on each side: asin(n d) = atan(3 / 12)."""
    lean = draft_deg(mesh_of(BODIES.frustum()), UP)
    assert sorted(set(np.round(lean, 6))) == pytest.approx([math.degrees(math.atan(0.25)), 90.0])
    across = draft_deg(mesh_of(BODIES.frustum()), (0.0, 1.0, 0.0))
    assert across.min() == pytest.approx(0.0, abs=1e-9)


def test_a_ball_leans_less_than_k_degrees_on_sin_k_of_its_skin():
    """The zone of a ball between two planes has 2 pi R h: of all of it the share sin k."""
    ball = BODIES.trimesh.creation.icosphere(subdivisions=6, radius=20.0)
    draft = plan_draft(mesh_of(ball), UP)
    wanted = [math.sin(math.radians(k)) for k in (1.0, 2.0, 3.0)]
    assert draft.shares == pytest.approx(wanted, abs=3e-3)  # rings of facets are 0.7 degrees wide


@settings(max_examples=25, deadline=None)
@given(st.tuples(*[st.floats(-1.0, 1.0)] * 3).filter(lambda v: math.hypot(*v) > 0.1))
def test_both_ways_along_a_pull_are_one_draft(pull):
    mesh = mesh_of(BODIES.frustum())
    assert draft_deg(mesh, pull) == pytest.approx(draft_deg(mesh, [-c for c in pull]))


def test_upright_walls_are_a_caution_with_their_area():
    """2 pi 10 20 = 1256.6 mm², less 0.05 % since the side has 96 facets."""
    (told,) = draft_findings(plan_draft(mesh_of(BODIES.cylinder()), UP))
    assert told.grade.value == "caution"
    assert told.text.startswith("1256 mm² of the part, 67 % of its skin")
    assert "scrapes" in told.text and "1 to 3°" in told.text


def test_a_part_with_draft_is_not_cautioned():
    assert draft_findings(plan_draft(mesh_of(BODIES.cone(5.0)), UP)) == ()
