"""A fill without air and speed in closed form, row by row: the judge of the march."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from moldgen.physics.march import Cavity, Fill, Pour
from moldgen.physics.march_steps import HEADLESS


def fill_exactly(cavity: Cavity, pour: Pour) -> Fill:
    """Fill without air and speed, row by row in closed form.

    tau (exp(-t0/tau) - exp(-t/tau)) = (R mu0 / (rho g)) sum of dV/dH ln(H_i / H_(i+1)).

    Parameters
    ----------
    cavity : Cavity
    pour : Pour
        Its air resistance and kinetic term must be 0, its rate and end unlimited.

    Raises
    ------
    ValueError
        If they are not.
    """
    if pour.air_resistance or pour.kinetic or min(pour.rate_mm3_s, pour.until_s) < math.inf:
        raise ValueError("the closed form knows neither air nor speed nor an end: march instead")
    if cavity.narrowings or cavity.air_resistances or cavity.air_kinetics:
        raise ValueError("the closed form knows one passage only: march instead")
    tau, unit = pour.time_constant_s, _unit_time(pour)
    left = tau * math.exp(-pour.start_s / tau) if tau < math.inf else math.inf
    used = 0.0
    for row in _rows(cavity):
        need = unit * row.weight(pour.head_mm)
        if used + need >= left:
            return Fill(row.volume_at((left - used) / unit, pour.head_mm), math.inf, False)
        if math.isinf(need):
            return Fill(row.volume_at(math.inf, pour.head_mm), math.inf, False)
        used += need
    time = used if math.isinf(tau) else -tau * math.log1p(-used / left)
    return Fill(cavity.volumes_mm3[-1], time, True)


@dataclass(frozen=True)
class _Row:
    """A stretch of the table."""

    low_mm3: float
    high_mm3: float
    low_mm: float
    high_mm: float

    @property
    def slope(self) -> float:
        return (self.high_mm - self.low_mm) / (self.high_mm3 - self.low_mm3)

    def weight(self, head: float) -> float:
        """Integral of dV / H over the row."""
        start, end = head - self.low_mm, head - self.high_mm
        if end <= HEADLESS * head:
            return math.inf
        fall = (self.high_mm - self.low_mm) / start
        flat = (self.high_mm3 - self.low_mm3) / start
        return flat * (-math.log1p(-fall) / fall if fall > 0.0 else 1.0)

    def volume_at(self, weight: float, head: float) -> float:
        """Volume at which the integral from the row's start has grown to a weight."""
        start = head - self.low_mm
        if start <= 0.0:
            return self.low_mm3
        if self.slope == 0.0:
            return self.low_mm3 + weight * start
        return self.low_mm3 - math.expm1(-weight * self.slope) * start / self.slope


def _rows(cavity: Cavity) -> list[_Row]:
    volumes, levels = pairwise(cavity.volumes_mm3), pairwise(cavity.levels_mm)
    return [_Row(a, b, p, q) for (a, b), (p, q) in zip(volumes, levels, strict=True)]


def _unit_time(pour: Pour) -> float:
    """R mu0 / (rho g): time for one mm³ under one mm of head, times one mm."""
    drive = pour.density_g_mm3 * pour.gravity_mm_s2
    return pour.passage_per_mm3 * pour.viscosity_pa_s / drive
