"""The drawn clock: stop-watch times, bars in proportion, long waits cut off at the edge."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from moldgen.report.timeline import WIDTH, timeline_table, timelines, watch

STEPS = [
    {"what": "weigh A", "start_s": 0.0, "end_s": 60.0, "latest_s": None},
    {"what": "mix & scrape", "start_s": 60.0, "end_s": 120.0, "latest_s": 240.0},
    {"what": "leave it", "start_s": 120.0, "end_s": 57600.0, "latest_s": None},
]
CLOCK = {"rubber": STEPS, "resin": []}


@pytest.mark.parametrize(
    ("time_s", "shown"),
    [
        (0.0, "0:00"),
        (59.6, "1:00"),
        (125.0, "2:05"),
        (3599.0, "59:59"),
        (3600.0, "1:00 h"),
        (86399.0, "1 d 0 h"),
        (86400.0, "1 d 0 h"),
        (345600.0, "4 d 0 h"),
    ],
)
def test_watch(time_s: float, shown: str) -> None:
    assert watch(time_s).replace("\u00a0", " ") == shown


def test_the_axis_ends_with_what_presses() -> None:
    (line,) = timelines(CLOCK)
    assert line.axis_s == 240.0


def test_without_haste_the_axis_is_everything() -> None:
    calm = [{**step, "latest_s": None} for step in STEPS]
    (line,) = timelines({"rubber": calm, "resin": []})
    assert line.axis_s == 57600.0


def test_bars_are_in_proportion() -> None:
    """The mixing takes a quarter of the axis from its first quarter on; the stroke ends it."""
    (line,) = timelines(CLOCK)
    bars = [
        ElementTree.fromstring(svg) for svg in re.findall(r"<svg.*?</svg>", timeline_table(line))
    ]
    mixing = bars[1].find("rect")
    assert mixing is not None
    assert float(mixing.get("x", "")) == pytest.approx(WIDTH / 4.0)
    assert float(mixing.get("width", "")) == pytest.approx(WIDTH / 4.0)
    assert float(bars[1].findall("line")[-1].get("x1", "")) == pytest.approx(WIDTH)
    assert [bar.find("path") is not None for bar in bars] == [False, False, True]


def test_words_are_escaped() -> None:
    (line,) = timelines(CLOCK)
    assert "mix &amp; scrape" in timeline_table(line)
    assert "mix & scrape" not in timeline_table(line)
