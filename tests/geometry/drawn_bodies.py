"""Bodies as hypothesis draws them: workshop sizes on a coarse grid, so that faces often meet."""

from __future__ import annotations

import numpy as np
from hypothesis import strategies as st

from moldgen.geometry.recipe import Ball, Box, Taper

sizes = st.sampled_from([1.0, 2.0, 5.0, 10.0, 25.4, 40.0, 120.0])
places = st.sampled_from([-10.0, -2.0, 0.0, 1.0, 5.0, 10.0])
points = st.tuples(places, places, places)


@st.composite
def rods(draw: st.DrawFn) -> Taper:
    start, axis, length = draw(points), draw(st.integers(0, 2)), draw(sizes)
    end = tuple(float(c) for c in np.add(start, length * np.eye(3)[axis]))
    return Taper(start, end, draw(sizes), draw(sizes))  # type: ignore[arg-type]


@st.composite
def boxes(draw: st.DrawFn) -> Box:
    low = draw(points)
    x, y, z = (a + draw(sizes) for a in low)
    return Box(low, (x, y, z))


bodies = st.one_of(boxes(), rods(), st.builds(Ball, points, sizes))
