"""Wishes that are allowed one by one and contradict each other."""

from __future__ import annotations

from moldgen.errors import JobError
from moldgen.job.job import ChannelWishes, Job, ResinWishes
from moldgen.job.rack import BoxMake

# Each bore must not be wider than the one that follows it on the way up.
WIDENING = (
    ("neck_diameter_mm", "sprue_diameter_mm"),
    ("sprue_diameter_mm", "funnel_diameter_mm"),
    ("vent_neck_diameter_mm", "vent_diameter_mm"),
)


def check_conflicts(job: Job, source: str) -> None:
    """Hold the wishes of a job against each other.

    Parameters
    ----------
    job : Job
    source : str
        What an error message calls the place the wishes stand in.

    Raises
    ------
    JobError
        With the first two that contradict each other.
    """
    _check_rack(job, source)
    _check_widening(job.channels, source)
    _check_start(job.resin, source)
    _check_materials(job, source)
    _check_pull(job, source)
    _check_washer(job, source)
    _check_order(job, source)


def _check_widening(channels: ChannelWishes, source: str) -> None:
    for narrow, wide in WIDENING:
        low, high = getattr(channels, narrow), getattr(channels, wide)
        if None not in (low, high) and low > high:
            raise JobError(
                f"{source}: channels.{narrow} is {low:g} mm, wider than channels.{wide},"
                f" {high:g} mm: make it narrower"
            )


def _check_start(resin: ResinWishes, source: str) -> None:
    if resin.start_s < resin.mix_s:
        raise JobError(
            f"{source}: resin.start_s is {resin.start_s:g} s, sooner than resin.mix_s,"
            f" {resin.mix_s:g} s, lets it be mixed: pour later"
        )


def _check_order(job: Job, source: str) -> None:
    order = job.ranking.order
    if not order or len(set(order)) < len(order):
        raise JobError(f"{source}: ranking.order needs one criterion or more, each of them once")


def _check_rack(job: Job, source: str) -> None:
    if job.box.make is not BoxMake.PRINTED and not job.rack.boards:
        raise JobError(
            f'{source}: a box of boards needs a rack: give --rack FILE, or rack = "FILE" in the'
            " job file"
        )


def _check_pull(job: Job, source: str) -> None:
    if job.two_part.pull is not None and not any(job.two_part.pull):
        raise JobError(f"{source}: the pull needs three numbers that are not all zero")


def _check_washer(job: Job, source: str) -> None:
    wish = job.rigid
    if wish.washer_mm <= wish.bolt_hole_mm:
        raise JobError(
            f"{source}: rigid.washer_mm is {wish.washer_mm:g} mm and falls through"
            f" rigid.bolt_hole_mm, {wish.bolt_hole_mm:g} mm: give a wider washer"
        )


def _check_materials(job: Job, source: str) -> None:
    try:
        _ = job.mold_rubber, job.casting_resin
    except JobError as error:
        raise JobError(f"{source}: {error}") from None


# the models: the job's own dataclasses, with ranges and without unknown keys
