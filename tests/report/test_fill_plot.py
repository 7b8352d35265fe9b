"""The drawing of the pour: what it shows, in black and white, and where."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest

from moldgen.materials.pot_life import PotLife
from moldgen.plan.fill import FillCurve, FillForecast
from moldgen.plan.liquid import MixedLiquid
from moldgen.report.fill_plot import caption, drops, fill_plot, frame_of, ticks

LIQUID = MixedLiquid("mix", "mix", 23.0, 1.1e-3, 0.1, 30.0, 186.4, PotLife.GELS)
FULL = FillForecast(
    liquid=LIQUID,
    start_s=60.0,
    due_s=51.8,
    fill_time_s=40.0,
    stops_at_s=None,
    filled_fraction=1.0,
    trapped_mm3=0.0,
    head_mm=20.0,
    head_left_mm=20.0,
    first_flow_mm3_s=500.0,
    free_flow_mm3_s=500.0,
    curve=FillCurve(
        (60.0, 80.0, 100.0),
        (0.0, 10.0, 30.0),
        (0.0, 0.4, 1.0),
        tuple(LIQUID.viscosity_at(t) for t in (60.0, 80.0, 100.0)),
    ),
)
SHORT = replace(FULL, fill_time_s=None, stops_at_s=126.4, filled_fraction=0.54)


def texts(svg: str) -> list[str]:
    return [e.text or "" for e in ET.fromstring(svg).iter() if e.tag.endswith("text")]


def test_it_is_well_formed_and_says_what_it_shows() -> None:
    root = ET.fromstring(fill_plot(FULL))
    assert root.get("aria-label") == caption(FULL)
    assert "model, not measured" in caption(FULL)


def test_it_needs_no_color() -> None:
    colors = set(re.findall(r"#[0-9a-f]{6}", fill_plot(FULL)))
    assert all(c[1:3] == c[3:5] or abs(int(c[1:3], 16) - int(c[5:7], 16)) < 8 for c in colors)
    lines = [e for e in ET.fromstring(fill_plot(FULL)).iter() if e.tag.endswith("polyline")]
    assert {e.get("stroke-dasharray") for e in lines} == {"none", "9 5"}


def test_the_end_is_a_dot_or_a_square() -> None:
    assert any("● full after 40 s" in t for t in texts(fill_plot(FULL)))
    assert any("■ stops at 54 %" in t for t in texts(fill_plot(SHORT)))
    assert "<circle" in fill_plot(FULL) and "<circle" not in fill_plot(SHORT)


def test_the_gel_is_drawn_where_it_is_near_and_told_where_it_is_far() -> None:
    assert "gels" in texts(fill_plot(FULL))
    late = replace(FULL, liquid=replace(LIQUID, working_time_s=7200.0, time_constant_s=1200.0))
    assert "gels" not in texts(fill_plot(late))
    assert any("gels after 2 h" in t for t in texts(fill_plot(late)))
    never = replace(LIQUID, time_constant_s=math.inf, working_time_s=math.inf)
    assert any("never sets by itself" in t for t in texts(fill_plot(replace(FULL, liquid=never))))


def test_the_line_breaks_where_another_hollow_fills() -> None:
    curve = replace(FULL.curve, levels_mm=(0.0, 20.0, 12.0))
    broken = replace(FULL, curve=curve)
    assert (drops(FULL), drops(broken)) == ([], [2])
    lines = [fill_plot(f).count("<polyline") for f in (FULL, broken)]
    assert lines[1] == lines[0] + 1
    assert "another hollow" in caption(broken) and "another hollow" not in caption(FULL)


def test_scales_hold_every_row() -> None:
    frame = frame_of(FULL)
    assert frame.end_s == pytest.approx(1.06 * 186.4)
    assert (frame.thin_pa_s, frame.thick_pa_s) == pytest.approx((0.1, 100.0))
    assert frame.y(30.0) < frame.y(10.0) < frame.y(0.0)
    assert frame.y_thick(0.1) == frame.y(0.0) and frame.y_thick(100.0) == frame.y(30.0)


@pytest.mark.parametrize(("end", "step"), [(1.0, 0.2), (47.0, 10.0), (88.0, 20.0), (900.0, 200.0)])
def test_ticks_are_round(end: float, step: float) -> None:
    values = ticks(end, 6)
    assert values[1] == pytest.approx(step)
    assert values[-1] <= end < values[-1] + step
