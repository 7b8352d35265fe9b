"""Leaning: words for what a bench asks of a pose."""

from __future__ import annotations

import inspect

import pytest

from moldgen.job.job import Job
from moldgen.report.leaning import MOST_LEAN_DEG, Bench, lean_words
from moldgen.study.pockets import PocketFinder


def test_no_greater_lean_is_tried_than_is_said() -> None:
    tried = inspect.signature(PocketFinder.tilt_tolerance).parameters["max_deg"].default
    assert tried == MOST_LEAN_DEG


@pytest.mark.parametrize(
    ("lean", "bench", "said"),
    [
        (None, 1.0, "not computed"),
        (0.99, 1.0, "not on this bench"),
        (1.0, 1.0, "level it with care"),
        (2.99, 1.0, "level it with care"),
        (3.0, 1.0, "easy to level"),
        (3.0, 2.0, "level it with care"),
    ],
)
def test_ease(lean: float | None, bench: float, said: str) -> None:
    assert Bench(bench, 3.0 * bench).ease(lean) == said


@pytest.mark.parametrize(
    ("lean", "said"),
    [(None, "not computed"), (4.64, "4.6°"), (19.9, "19.9°"), (20.0, "20° or more")],
)
def test_lean_words(lean: float | None, said: str) -> None:
    assert lean_words(lean) == said


def test_the_bench_is_the_job_s() -> None:
    assert Bench.of(Job(level_error_deg=0.5)).off_deg == 0.5
