"""Clearances between pieces that go together, measured on the finished bodies."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from moldgen.errors import CheckError
from moldgen.geometry.recipe import Point3
from moldgen.geometry.rigid import placement
from moldgen.geometry.solids import Solid
from moldgen.plan import routed_nouns
from moldgen.plan.box import GROOVE_MM, BoxPlan
from moldgen.plan.formers import NOTCH_MM
from moldgen.plan.routed_nouns import RoutedBox
from moldgen.plan.walls import BETWEEN, RUNNING

FIT_ERROR_MM = 0.01  # single precision and the facets of a circle are a tenth of it
DRAWN_APART = 0.1  # of a wall's thickness: fingers stay between each other
SEARCH_MM = 1.0  # how much farther than the fit a gap is looked for


@dataclass(frozen=True)
class Clearance:
    """The gap measured between two pieces [mm]."""

    one: str
    other: str
    gap_mm: float


@dataclass(frozen=True)
class _Joint:
    """Two pieces, and how far one is moved so that only the sides of its seat are near."""

    seat: str
    moved: str
    by_mm: Point3
    fit_mm: float


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
    found = []
    for joint in _joints(box):
        gap = _measured(joint, bodies)
        if not abs(gap.gap_mm - joint.fit_mm) <= FIT_ERROR_MM:
            raise CheckError(
                f"clearances are not kept: {gap.one} and {gap.other} are {gap.gap_mm:.3f} mm "
                f"apart, {joint.fit_mm:g} mm within {FIT_ERROR_MM:g} was asked for"
            )
        found.append(gap)
    return tuple(found)


def _measured(joint: _Joint, bodies: Mapping[str, Solid]) -> Clearance:
    moved = bodies[joint.moved].moved(placement(offset=joint.by_mm))
    gap = bodies[joint.seat].min_gap(moved, joint.fit_mm + SEARCH_MM)
    return Clearance(joint.seat, joint.moved, gap)


def _up(by_mm: float) -> Point3:
    return (0.0, 0.0, by_mm)


def _printed_walls(box: BoxPlan) -> Iterator[_Joint]:
    """Printed walls stand in grooves and slots."""
    fit = box.printing.fit_mm
    for panel in box.panels:
        yield _Joint("base", panel.name, _up(box.rise * GROOVE_MM / 2.0), fit)
    for running in RUNNING:
        for between in BETWEEN:
            yield _Joint(running, between, _up(0.0), fit)


def _routed_walls(box: BoxPlan, routed: RoutedBox) -> Iterator[_Joint]:
    """Routed walls touch at their inner faces: drawn apart there, only their fingers are near."""
    fit, by = routed.router.fit_mm, DRAWN_APART * routed.thick_mm
    outward = {panel.name: panel.outward for panel in box.panels}
    for panel in box.panels:
        yield _Joint("base", panel.name, _up(box.rise * routed_nouns.GROOVE_MM / 2.0), fit)
    for running in RUNNING:
        for between in BETWEEN:
            apart = (outward[between][0] * by, -outward[running][1] * by, 0.0)
            yield _Joint(running, between, apart, fit)


def _joints(box: BoxPlan) -> Iterator[_Joint]:
    """Wall in groove, wall in wall, foot in recess, bar over walls; boards touch."""
    fit = box.printing.fit_mm
    if box.boards is None:
        yield from _printed_walls(box)
    if isinstance(box.boards, RoutedBox):
        yield from _routed_walls(box, box.boards)
    if box.is_standing:
        for former in box.formers:
            yield _Joint("base", former.name, _up(-former.foot_height_mm / 2.0), fit)
    for bar in box.bars:
        for former in bar.formers:
            yield _Joint(bar.name, former.name, _up(-former.foot_height_mm / 2.0), fit)
        for wall in BETWEEN if bar.axis == 0 else RUNNING:
            yield _Joint(wall, bar.name, _up(box.rise * NOTCH_MM / 2.0), fit)
