"""The draft map: each bit of skin in its band, bands that differ in gray, the same bytes again."""

from __future__ import annotations

import io
import runpy
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from PIL import Image

from moldgen.build.nouns import Closure, MoldSet
from moldgen.geometry.mesh import Mesh
from moldgen.job.job import Job, MoldKind
from moldgen.plan.rigid import plan_rigid
from moldgen.plan.rigid_draft import BOUNDS_DEG, draft_deg
from moldgen.report.draft_view import TONES, banded, draft_view

BODIES = SimpleNamespace(
    **runpy.run_path(str(Path(__file__).parents[1] / "plan" / "rigid_bodies.py"))
)


def gray(color: tuple[int, int, int]) -> float:
    """Luma of ITU-R BT.601, as a printer without color weighs it."""
    return float(np.dot(color, (0.299, 0.587, 0.114)))


def test_bands_begin_at_the_bounds_of_the_table():
    assert tuple(tone.from_deg for tone in TONES) == (0.0, *BOUNDS_DEG)


def test_bands_are_told_apart_in_gray():
    steps = np.diff([gray(tone.fill) for tone in TONES])
    assert (steps > 40.0).all()


@pytest.mark.parametrize(
    ("lean", "band"), [(0.5, 0), (1.0, 1), (1.5, 1), (2.5, 2), (3.0, 3), (90.0, 3)]
)
def test_a_cone_is_all_of_the_band_of_its_lean(lean, band):
    body = BODIES.cone(lean) if lean < 90.0 else BODIES.cylinder()
    mesh = Mesh(body.vertices, body.faces)
    leans = np.full(mesh.n_triangles, lean)
    (only,) = banded(mesh, leans)
    assert only.fill == TONES[band].fill
    assert only.mesh.area_mm2 == pytest.approx(mesh.area_mm2)


def test_bands_together_are_the_skin():
    body = BODIES.cone(1.5)
    mesh = Mesh(body.vertices, body.faces)
    bodies = banded(mesh, draft_deg(mesh, (0.0, 0.0, 1.0)))
    assert [b.fill for b in bodies] == [TONES[1].fill, TONES[3].fill]
    assert sum(b.mesh.area_mm2 for b in bodies) == pytest.approx(mesh.area_mm2)


def test_upright_walls_are_dark_on_the_picture():
    plan = plan_rigid(BODIES.part_of(BODIES.hub()), Job(kind=MoldKind.RIGID))
    mold_set = MoldSet(plan, (), Closure(1.0, 1.0))
    png = draft_view(mold_set).png()
    assert png == draft_view(mold_set).png()
    pixels = np.asarray(Image.open(io.BytesIO(png)).convert("RGB")).astype(int)
    red = (pixels[..., 0] - pixels[..., 2] > 60) & (pixels[..., 0] < 150)
    light = pixels.min(axis=2) > 150
    assert 0.01 < red.mean() < 0.3 and light.mean() > 0.5
