"""Skins as files keep them: closed from a soup of single-precision triangles, and not moved."""

from __future__ import annotations

import runpy
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial import Delaunay

from moldgen.errors import SolidError
from moldgen.geometry.closed import is_closed
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.overlap import shared_mm3
from moldgen.geometry.printable import printable, single_precision
from moldgen.geometry.recipe import Ball, Box, Difference, Placed, Prism, Recipe, Taper
from moldgen.geometry.rigid import placement, rotation_xyz
from moldgen.geometry.sheet import Sheet
from moldgen.geometry.solid import Solid, _as_it_is
from moldgen.geometry.solids import mesh_solid
from moldgen.geometry.weld import weld_equal

SINGLE = 1e-6  # relative; 24 bits hold seven digits
CUBES = [Solid.box((a, a, 0), (a + 10, a + 10, 10)).mesh() for a in (0, 10)]

DRAWN = SimpleNamespace(**runpy.run_path(str(Path(__file__).with_name("drawn_bodies.py"))))


def rows(matrix: np.ndarray) -> tuple[tuple[float, float, float, float], ...]:
    return tuple(tuple(row) for row in matrix.tolist())


def soup(mesh: Mesh) -> Mesh:
    """What an STL file keeps: corners in single precision, none of them shared."""
    corners = mesh.corners.astype(np.float32).astype(np.float64).reshape(-1, 3)
    return weld_equal(Mesh(corners, np.arange(len(corners)).reshape(-1, 3)))


@st.composite
def pieces(draw: st.DrawFn) -> Recipe:
    tools = tuple(draw(st.lists(DRAWN.bodies, min_size=1, max_size=3)))
    turned = placement(
        rotation_xyz(*(draw(st.floats(-90, 90)) for _ in range(3))), draw(DRAWN.points)
    )
    return Placed(Difference(Box((-60, -50, -40), (61, 52, 43)), tools), rows(turned))


@settings(deadline=None, derandomize=True, max_examples=40)
@given(pieces())
def test_printable_skin_closes_again_from_a_triangle_soup(recipe: Recipe) -> None:
    solid = mesh_solid(recipe)
    if solid.is_empty:
        return
    mesh = printable(solid)
    again = soup(mesh)
    assert is_closed(again)
    assert again.volume_mm3 == pytest.approx(solid.volume_mm3, rel=SINGLE)


def test_sheets_that_share_an_edge_close_and_stay_where_they_are() -> None:
    """Two cubes that touch along an edge: four faces meet there, and three corners do not move."""
    pair = Solid.from_mesh(
        Mesh(
            np.vstack([m.vertices for m in CUBES]),
            np.vstack([CUBES[0].faces, CUBES[1].faces + len(CUBES[0].vertices)]),
        )
    )
    mesh = printable(pair)
    assert not is_closed(soup(pair.mesh()))
    assert is_closed(soup(mesh))
    assert mesh.volume_mm3 == pytest.approx(2 * 1000.0, rel=1e-12)
    assert len(mesh.vertices) == 2 * 8 - 2 + 1


@pytest.mark.parametrize("seed", range(4))
def test_halves_of_one_cut_share_nothing_once_they_are_rounded(seed: int) -> None:
    """A block round a ball, cut by a sheet as rough as a file: the same corners on both sides."""
    rng = np.random.default_rng(seed)
    grid = np.stack(np.meshgrid(*2 * [np.linspace(-33.0, 33.0, 12)]), axis=-1).reshape(-1, 2)
    points = np.column_stack([grid, rng.uniform(-6.0, 6.0, len(grid))])
    sheet = Sheet(points, Delaunay(grid).simplices.astype(np.int64))
    body = mesh_solid(Difference(Box((-31, -31, -30), (31, 31, 30)), (Ball((0, 0, 0), 12.3),)))
    halves = body.split(Solid.from_mesh(sheet.under(-40.0)))
    written = [printable(half) for half in halves]
    assert all(is_closed(soup(half)) for half in written)
    assert shared_mm3(*written, lines=150) <= 1e-6
    whole = sum(half.volume_mm3 for half in written)
    assert whole == pytest.approx(body.volume_mm3, rel=SINGLE)


def test_corners_move_by_their_own_rounding_only() -> None:
    mesh = mesh_solid(Ball((77.7, 0.1, -3.3), 9.0)).mesh()
    rounded = single_precision(mesh)
    wanted = {tuple(v) for v in mesh.vertices.astype(np.float32).astype(np.float64).tolist()}
    assert {tuple(v) for v in rounded.vertices.tolist()} <= wanted


def test_a_mesh_is_taken_over_as_it_is() -> None:
    """Without the kernel's mending: the same triangles, however thin."""
    mesh = mesh_solid(Taper((0, 0, 0), (3, 4, 50), 1e-7, 6)).mesh()
    taken = _as_it_is(mesh, "taper")
    assert taken.n_triangles == mesh.n_triangles
    assert taken.volume_mm3 == pytest.approx(mesh.volume_mm3, rel=1e-12)


def test_needle_closes_only_after_rounding_is_mended() -> None:
    """A wall far narrower than a step of single precision folds flat in a plain STL file."""
    narrow = mesh_solid(Prism(((100, 100), (100 + 3e-6, 100), (110, 130), (90, 130)), 0, 20))
    assert not is_closed(soup(narrow.mesh()))
    assert is_closed(soup(printable(narrow)))


def test_dust_below_single_precision_is_refused() -> None:
    dust = Solid.hull(1000.0 + 1e-7 * np.vstack([np.zeros(3), np.eye(3)])).named("chip")
    with pytest.raises(SolidError, match="chip does not close"):
        printable(dust)
