"""A cone emptying through a small hole: problem 4.55 of a text book on a public page.

Half angle 30 degrees, 12 in deep, hole of 1/4 in: 2.55 min. Angle and hole were not in the text
seen; they reproduce its answer.
"""

from __future__ import annotations

import math

import pytest
from scipy.integrate import quad

from moldgen.physics.filling import thin_funnel_empty_time


def test_published_time() -> None:
    minutes = thin_funnel_empty_time(30.0, 12 * 25.4, 25.4 / 4, gravity_mm_s2=9810.0) / 60.0
    assert minutes == pytest.approx(2.55, abs=0.005)


def test_time_is_the_integral_of_area_over_outflow() -> None:
    def slowness(y: float) -> float:
        area = math.pi * (y * math.tan(math.radians(30.0))) ** 2
        return area / (math.pi / 4.0 * 6.35**2 * math.sqrt(2.0 * 9810.0 * y))

    time = quad(slowness, 0.0, 304.8)[0]
    assert thin_funnel_empty_time(30.0, 304.8, 6.35, 9810.0) == pytest.approx(time, rel=1e-8)
