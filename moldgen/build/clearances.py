"""Clearances between pieces that go together, measured on the finished bodies."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from moldgen.errors import CheckError
from moldgen.geometry.rigid import placement
from moldgen.geometry.solids import Solid
from moldgen.plan.box import GROOVE_MM, BoxPlan
from moldgen.plan.formers import NOTCH_MM
from moldgen.plan.walls import BETWEEN, RUNNING

FIT_ERROR_MM = 0.01  # single precision and the facets of a circle are a tenth of it
SEARCH_MM = 1.0  # how much farther than the fit a gap is looked for


@dataclass(frozen=True)
class Clearance:
    """The gap measured between two pieces [mm]."""

    one: str
    other: str
    gap_mm: float


@dataclass(frozen=True)
class _Joint:
    """Two pieces, and how far one is lifted along z so that only the sides of its seat are near."""

    seat: str
    lifted: str
    by_mm: float


def measure_clearances(box: BoxPlan, bodies: Mapping[str, Solid]) -> tuple[Clearance, ...]:
    """The gap of every joint of the box.

    Parameters
    ----------
    box : BoxPlan
    bodies : mapping
        Solids in the casting frame by piece name.

    Raises
    ------
    CheckError
        If a gap is not the fit that was asked for.
    """
    fit = box.printing.fit_mm
    found = tuple(_measured(joint, bodies, fit) for joint in _joints(box))
    for gap in found:
        if not abs(gap.gap_mm - fit) <= FIT_ERROR_MM:
            raise CheckError(
                f"clearances are not kept: {gap.one} and {gap.other} are {gap.gap_mm:.3f} mm "
                f"apart, {fit:g} mm within {FIT_ERROR_MM:g} was asked for"
            )
    return found


def _measured(joint: _Joint, bodies: Mapping[str, Solid], fit_mm: float) -> Clearance:
    lifted = bodies[joint.lifted].moved(placement(offset=(0.0, 0.0, joint.by_mm)))
    gap = bodies[joint.seat].min_gap(lifted, fit_mm + SEARCH_MM)
    return Clearance(joint.seat, joint.lifted, gap)


def _printed_walls(box: BoxPlan) -> Iterator[_Joint]:
    """Boards touch; printed walls stand in grooves and slots."""
    for panel in box.panels:
        yield _Joint("base", panel.name, box.rise * GROOVE_MM / 2.0)
    for running in RUNNING:
        for between in BETWEEN:
            yield _Joint(running, between, 0.0)


def _joints(box: BoxPlan) -> Iterator[_Joint]:
    """Wall in groove, wall in wall, foot in recess, bar over walls."""
    if box.boards is None:
        yield from _printed_walls(box)
    if box.is_standing:
        for former in box.formers:
            yield _Joint("base", former.name, -former.foot_height_mm / 2.0)
    for bar in box.bars:
        for former in bar.formers:
            yield _Joint(bar.name, former.name, -former.foot_height_mm / 2.0)
        for wall in BETWEEN if bar.axis == 0 else RUNNING:
            yield _Joint(wall, bar.name, box.rise * NOTCH_MM / 2.0)
