"""Chains of dimensions: which stations they have, and where a scale puts them."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from moldgen.report.chains import Scale, chain_across, stations
from moldgen.report.paper import Paper


def test_stations_that_coincide_are_taken_once() -> None:
    assert stations([0.0, 0.0, 10.0, 10.04, 30.0]) == [0.0, 10.0, 30.0]


def test_a_scale_turns_up_into_down() -> None:
    scale = Scale(np.array([5.0, 5.0]), (100.0, 100.0), 10.0)
    assert scale.px(np.array([[5.0, 6.0], [4.0, 5.0]])).tolist() == [[100.0, 90.0], [90.0, 100.0]]


def test_every_span_has_its_figure_and_none_lies_on_another() -> None:
    paper, scale = Paper(), Scale(np.array([15.0, 0.0]), (800.0, 600.0), 10.0)
    chain_across(paper, [0.0, 0.4, 0.8, 30.0], scale, 500.0)
    assert len(paper.places) == 3
    edges = sorted((p.left, p.right) for p in paper.places)
    assert all(a[1] <= b[0] for a, b in pairwise(edges))
