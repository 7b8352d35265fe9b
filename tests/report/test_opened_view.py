"""The mold opened like a book: halves and casting apart, on one table, in their order."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from moldgen.build.nouns import MoldSet
from moldgen.build.piece import looked_at
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.solids import Solid
from moldgen.report.opened_view import in_a_row, opened_view


def box(low: tuple[float, float, float], high: tuple[float, float, float]) -> Solid:
    return Solid.box(low, high)


@pytest.fixture
def opened(standing_set: MoldSet) -> MoldSet:
    """Half A before the plane y = 0 and half B behind it, with a casting of two colors' width."""
    pieces = (
        looked_at("rubber-a", "rubber-a", "rubber", box((-30, -12, 0), (30, 0, 50))),
        looked_at("rubber-b", "rubber-b", "rubber", box((-30, 0, 0), (30, 20, 50))),
        looked_at("casting", "casting", "resin", box((-10, -5, 10), (10, 5, 50))),
    )
    return replace(standing_set, pieces=pieces)


def test_bodies_stand_side_by_side_on_one_table() -> None:
    meshes: list[Mesh] = [
        box((5, -3, 7), (25, 3, 9)).mesh(),
        box((-40, 0, -9), (-30, 4, 1)).mesh(),
        box((0, 0, 0), (20, 1, 1)).mesh(),
    ]
    row = in_a_row(meshes)
    assert [m.bounds[0, 2] for m in row] == pytest.approx([0.0, 0.0, 0.0])
    assert [m.volume_mm3 for m in row] == pytest.approx([m.volume_mm3 for m in meshes])
    gaps = [float(b.bounds[0, 0] - a.bounds[1, 0]) for a, b in pairwise(row)]
    assert gaps == pytest.approx([0.14 * 20.0] * 2)


def test_every_body_is_named_under_itself(opened: MoldSet) -> None:
    paper = opened_view(opened)
    assert len(paper.places) == 3
    middles = [place.middle[0] for place in paper.places]
    assert middles == sorted(middles)
    assert all(paper.whole.holds(p) for p in paper.places)
    assert len({round(p.top) for p in paper.places}) == 1


def test_the_cavity_of_both_halves_faces_the_eye(opened: MoldSet) -> None:
    """A pit in the parting face of either half shows as ink where a plain face shows none."""
    plain = np.frombuffer(opened_view(opened).png(), np.uint8)
    for name, low, high in (
        ("rubber-a", (-5, -5, 20), (5, 1, 30)),
        ("rubber-b", (-5, -1, 20), (5, 5, 30)),
    ):
        pieces = tuple(
            looked_at(p.name, p.role, p.material, Solid.from_mesh(p.mesh) - box(low, high))
            if p.name == name
            else p
            for p in opened.pieces
        )
        pitted = np.frombuffer(opened_view(replace(opened, pieces=pieces)).png(), np.uint8)
        assert len(pitted) != len(plain) or (pitted != plain).any()
