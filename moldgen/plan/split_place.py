"""Where a seam hurts least: where the section is full and stays the same along the axis.

Keys, sockets, recesses and channels all show as a section that changes or that lacks material; a
seam through a full stretch where it stays the same meets none of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from moldgen.geometry.mesh import FloatArray
from moldgen.geometry.solids import Solid
from moldgen.plan.split import (
    ACROSS,
    REACH_MM,
    Seam,
    least_band_mm,
    plan_seam,
)
from moldgen.plan.split_keep import Spot

PLACES = 33  # tried in the span of one seam
LOOKS = 5  # sections looked at round each place
CLEAR_MM = 1.0  # the section is looked at this far before and behind the joint
LINES = 81  # through the section, to find how thick it is
SHARES = (1.0, 0.9, 0.75)  # of the seam that must be as thick as the tongue's place
QUIET = 1e-6  # a smaller share of the section is rounding


def plan_place(
    body: Solid,
    axis: int,
    span_mm: tuple[float, float, float],
    fit_mm: float,
    spots: Sequence[Spot] = (),
) -> Iterator[tuple[Seam, float]]:
    """Seams for a span with the share of the section that they cross, the quietest first.

    What meets the fewest spots comes first.

    Parameters
    ----------
    body : Solid
        In its print frame.
    axis : int
    span_mm : (3,) float
        Between which coordinates the seam may lie, and where it is best without any other reason.
    fit_mm : float
    spots : sequence of Spot
        In the body's print frame.
    """
    upright = body.moved(_on_end(axis))
    low, high, even = span_mm
    places = [even, *np.linspace(low, high, PLACES).tolist()]
    looks = [look for at in places if (look := _look(upright, axis, at, fit_mm))]
    fullest = max((look.area_mm2 for look in looks), default=1.0)
    crossed = [look.change + 1.0 - look.area_mm2 / fullest for look in looks]
    order = sorted(
        range(len(looks)),
        key=lambda k: (
            len(met_by(looks[k].seam, spots)),
            max(crossed[k], QUIET),
            abs(looks[k].seam.at_mm - even),
        ),
    )
    for k in order:
        yield looks[k].seam, crossed[k]


def met_by(seam: Seam, spots: Sequence[Spot]) -> tuple[str, ...]:
    """Names of the spots that a seam meets, each once.

    Parameters
    ----------
    seam : Seam
    spots : sequence of Spot
        In the same frame.
    """
    return tuple(dict.fromkeys(spot.name for spot in spots if spot.is_met_by(seam)))


def _on_end(axis: int) -> FloatArray:
    """u, v and the axis of a seam as x, y and z."""
    rows = np.zeros((4, 4))
    for row, column in enumerate((*ACROSS[axis], axis)):
        rows[row, column] = 1.0
    rows[3, 3] = 1.0
    return rows


@dataclass(frozen=True)
class _Look:
    """A seam for a place, the share by which the section changes round it, and how full it is."""

    seam: Seam
    change: float
    area_mm2: float


def _look(upright: Solid, axis: int, at_mm: float, fit_mm: float) -> _Look | None:
    """What is found round a place; None where no joint fits."""
    heights = np.linspace(at_mm - CLEAR_MM, at_mm + REACH_MM + CLEAR_MM, LOOKS)
    sections = [section_of(upright, float(z)) for z in heights]
    common = shapely.intersection_all(sections)
    if common.is_empty or common.area <= 0.0:
        return None
    band = thickness(common, least_band_mm(fit_mm))
    if band is None:
        return None
    whole = shapely.union_all(sections)
    x0, _, x1, _ = common.bounds
    seam = plan_seam(axis, at_mm, (x0, x1), band, fit_mm)
    return _Look(seam, float((whole.area - common.area) / whole.area), float(common.area))


def section_of(upright: Solid, z_mm: float) -> shapely.Geometry:
    """The cut of a body by a level plane as an area."""
    area: shapely.Geometry = shapely.Polygon()
    for ring in upright.section(z_mm):
        area = area.symmetric_difference(shapely.Polygon(ring).buffer(0.0))
    return area


def thickness(section: shapely.Geometry, least_mm: float) -> tuple[float, float] | None:
    """From where to where a section is solid along v, on all or on most of its length [mm].

    Parameters
    ----------
    section : shapely geometry
        u across and v up.
    least_mm : float
        A thinner one does not count.

    Returns
    -------
    (low, high) or None
        None where it is too thin for a tongue.
    """
    runs = _lowest_runs(section)
    for share in SHARES:
        low = float(np.quantile(runs[:, 0], share))
        high = float(np.quantile(runs[:, 1], 1.0 - share))
        if high - low >= least_mm - 1e-9:
            return low, high
    return None


def _lowest_runs(section: shapely.Geometry) -> FloatArray:
    """The lowest solid stretch of evenly laid lines through a section, (n, 2) [mm]."""
    x0, y0, x1, y1 = section.bounds
    u = x0 + (x1 - x0) / LINES * (np.arange(LINES) + 0.5)
    ends = np.stack([np.full(LINES, y0 - 1.0), np.full(LINES, y1 + 1.0)], axis=1)
    lines = shapely.linestrings(np.stack([np.repeat(u[:, None], 2, axis=1), ends], axis=2))
    stretches, line = shapely.get_parts(shapely.intersection(section, lines), return_index=True)
    low, high = shapely.bounds(stretches)[:, [1, 3]].T
    order = np.lexsort((low, line))
    first = order[np.unique(line[order], return_index=True)[1]]
    return np.stack([low[first], high[first]], axis=1)
