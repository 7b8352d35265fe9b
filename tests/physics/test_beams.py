"""A bar on two supports under one load: the beam formulas of any text book, by hand."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from moldgen.physics.beams import Bar


def test_load_in_the_middle() -> None:
    """F l³/(48 E I) and F l/4 over b h²/6: 10 N, l 120, 15 x 6 mm, E 2 GPa."""
    bar = Bar(120.0, 60.0, 15.0, 6.0)
    assert bar.deflection_mm(10e6, 2e9) == pytest.approx(10 * 120**3 / (48 * 2e3 * 270), rel=1e-12)
    assert bar.stress_pa(10e6) == pytest.approx(1e6 * 10 * 120 / 4 / 90, rel=1e-12)


@given(st.floats(20.0, 300.0), st.floats(0.05, 0.95))
def test_the_same_from_either_end(span: float, share: float) -> None:
    one, other = Bar(span, share * span, 12.0, 6.0), Bar(span, (1 - share) * span, 12.0, 6.0)
    assert one.deflection_mm(1e6, 2e9) == pytest.approx(other.deflection_mm(1e6, 2e9), rel=1e-9)
    assert one.stress_pa(1e6) == pytest.approx(other.stress_pa(1e6), rel=1e-9)
    assert one.larger_share == pytest.approx(max(share, 1 - share))


def test_twice_as_high_is_four_times_as_strong_and_eight_times_as_stiff() -> None:
    low, high = Bar(100.0, 30.0, 12.0, 4.0), Bar(100.0, 30.0, 12.0, 8.0)
    assert low.stress_pa(1e6) == pytest.approx(4.0 * high.stress_pa(1e6))
    assert low.deflection_mm(1e6, 2e9) == pytest.approx(8.0 * high.deflection_mm(1e6, 2e9))
