"""Figures in words."""

from __future__ import annotations

import pytest

from moldgen.report.phrases import count, degrees, duration, grams, mm, newtons


@pytest.mark.parametrize(
    ("seconds", "words"),
    [
        (45, "45 s"),
        (119, "119 s"),
        (180, "3 min"),
        (263.4, "4 min 23 s"),
        (600.0, "10 min"),
        (1800, "30 min"),
        (57600, "16 h"),
        (259200, "3 days"),
    ],
)
def test_duration_in_the_unit_that_reads_best(seconds: float, words: str) -> None:
    assert duration(seconds) == words


def test_figures_carry_their_units() -> None:
    assert grams(231.04) == "231.0 g"
    assert (grams(0.312), grams(0.999), grams(0.0)) == ("0.31 g", "1.0 g", "0.0 g")
    assert mm(29.96) == "30.0 mm"
    assert degrees(6.34) == "6.3°"
    assert degrees(None) == "not computed"
    assert newtons(1.2345) == "1.23 N"
    assert (newtons(0.0297), newtons(0.866), newtons(-0.198)) == ("0.03 N", "0.87 N", "-0.2 N")
    assert (newtons(0.004), newtons(0.0)) == ("under 0.01 N", "0 N")


def test_one_thing_is_not_several() -> None:
    assert [count(n, "vent") for n in (0, 1, 2)] == ["0 vents", "1 vent", "2 vents"]
