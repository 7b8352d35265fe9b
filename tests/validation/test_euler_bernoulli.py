"""Plates that are beams: free sides and no cross contraction give the beam of the text books.

Deflection and moment of a strip of unit width and rigidity, from integrating the load four times.
"""

from __future__ import annotations

import pytest

from moldgen.physics.plates import Bending, Edge, Edges, Plate, bend_plate

EXACT = 1e-6  # the answer is a polynomial that the basis holds


def strip(bottom: Edge, top: Edge, foot: float, head: float) -> Bending:
    edges = Edges(Edge.FREE, Edge.FREE, bottom, top)
    return bend_plate(Plate(0.3, 1.0, 1.0, 12.0, poisson=0.0), edges, foot, head)


def test_hinged_beam_under_even_load() -> None:
    beam = strip(Edge.HINGED, Edge.HINGED, 1.0, 1.0)
    assert beam.deflection(0.15, 0.5) == pytest.approx(5 / 384, rel=EXACT)
    assert beam.moments(0.15, 0.5)[1] == pytest.approx(1 / 8, rel=EXACT)


def test_clamped_beam_under_even_load() -> None:
    beam = strip(Edge.CLAMPED, Edge.CLAMPED, 1.0, 1.0)
    assert beam.deflection(0.15, 0.5) == pytest.approx(1 / 384, rel=EXACT)
    assert beam.moments(0.15, 0.0)[1] == pytest.approx(-1 / 12, rel=EXACT)
    assert beam.moments(0.15, 0.5)[1] == pytest.approx(1 / 24, rel=EXACT)


def test_cantilever_under_hydrostatic_load() -> None:
    """A very long wall of an open box: 1/30 and -1/6."""
    beam = strip(Edge.CLAMPED, Edge.FREE, 1.0, 0.0)
    assert beam.deflection(0.15, 1.0) == pytest.approx(1 / 30, rel=EXACT)
    assert beam.moments(0.15, 0.0)[1] == pytest.approx(-1 / 6, rel=EXACT)


def test_long_hinged_plate_comes_to_the_strip() -> None:
    plate = Plate(1.0, 8.0, 1.0, 12.0 * 0.91)
    bent = bend_plate(plate, Edges.all(Edge.HINGED), 1.0, 1.0)
    assert bent.deflection(0.5, 4.0) == pytest.approx(5 / 384, rel=1e-3)
