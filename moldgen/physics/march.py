"""The fill as it happens: head against a rising level, a thickening mix, air and its own speed.

A cavity is a table: how high the liquid stands against the gate when so much has come in. While
a hollow beside the way overflows, the level at the gate stays and the volume goes on.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from moldgen.physics.march_steps import Drive, Rows, march
from moldgen.physics.pipes import flow_under
from moldgen.units import GRAVITY_MM_S2


@dataclass(frozen=True)
class Cavity:
    """Level at the gate against volume poured in, straight between rows.

    Attributes
    ----------
    volumes_mm3 : tuple of float
        From 0, rising.
    levels_mm : tuple of float
        Over the cavity's floor, never falling; as many as volumes.
    narrowings : tuple of float
        Factor on the resistance of the passage from each row to the next, 1 where left out [-].
    air_resistances, air_kinetics : tuple of float
        Of the vents open from each row to the next, 0 where left out [Pa·s/mm³, Pa·s²/mm⁶].
    """

    volumes_mm3: tuple[float, ...]
    levels_mm: tuple[float, ...]
    narrowings: tuple[float, ...] = ()
    air_resistances: tuple[float, ...] = ()
    air_kinetics: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        for each in (self.narrowings, self.air_resistances, self.air_kinetics):
            if len(each) not in (0, len(self.volumes_mm3) - 1):
                raise ValueError("a cavity needs one narrowing, one air a stretch, or none")
        if len(self.volumes_mm3) != len(self.levels_mm) or len(self.volumes_mm3) < 2:
            raise ValueError("a cavity needs two rows or more, each with a volume and a level")
        if self.volumes_mm3[0] != 0.0 or any(b <= a for a, b in pairwise(self.volumes_mm3)):
            raise ValueError("a cavity's volumes must start at 0 and rise")
        if any(b < a for a, b in pairwise(self.levels_mm)):
            raise ValueError("a cavity's levels must not fall")

    @cached_property
    def rows(self) -> Rows:
        """The table as plain arrays, for compiled code."""
        n = len(self.volumes_mm3) - 1

        def each(values: tuple[float, ...], left_out: float) -> NDArray[np.float64]:
            return np.array(values) if values else np.full(n, left_out)

        return Rows(
            np.array(self.volumes_mm3),
            np.array(self.levels_mm),
            each(self.narrowings, 1.0),
            each(self.air_resistances, 0.0),
            each(self.air_kinetics, 0.0),
        )


@dataclass(frozen=True)
class Pour:
    """How liquid is driven into a cavity.

    Attributes
    ----------
    head_mm : float
        Level of the funnel, kept full, over the cavity's floor.
    density_g_mm3 : float
    viscosity_pa_s : float
        At mixing.
    passage_per_mm3 : float
        Resistance of funnel, sprue and neck in series over viscosity [1/mm³].
    time_constant_s : float
        tau of exp(t / tau); inf for a liquid that does not set.
    start_s : float
        From mixing to the start of the pour.
    air_resistance : float
        Of the vents [Pa·s/mm³].
    kinetic : float
        Pressure over flow squared [Pa·s²/mm⁶].
    rate_mm3_s : float
        As fast as it is poured by hand; inf where the funnel is kept full.
    until_s : float
        From mixing to where it no longer runs.
    gravity_mm_s2 : float
    """

    head_mm: float
    density_g_mm3: float
    viscosity_pa_s: float
    passage_per_mm3: float
    time_constant_s: float = math.inf
    start_s: float = 0.0
    air_resistance: float = 0.0
    kinetic: float = 0.0
    rate_mm3_s: float = math.inf
    until_s: float = math.inf
    gravity_mm_s2: float = GRAVITY_MM_S2

    def flow(self, level_mm: float, time_s: float) -> float:
        """Flow against a level, some time after mixing; of a stretch without air [mm³/s]."""
        pressure = self.density_g_mm3 * self.gravity_mm_s2 * max(self.head_mm - level_mm, 0.0)
        thicker = math.exp(min(time_s / self.time_constant_s, 700.0))  # the largest exp there is
        resistance = self.passage_per_mm3 * self.viscosity_pa_s * thicker + self.air_resistance
        return min(flow_under(pressure, resistance, self.kinetic), self.rate_mm3_s)

    @property
    def drive(self) -> Drive:
        """The pour as plain numbers, for compiled code."""
        return Drive(
            self.density_g_mm3 * self.gravity_mm_s2,
            self.head_mm,
            self.passage_per_mm3 * self.viscosity_pa_s,
            self.time_constant_s,
            self.start_s,
            self.until_s,
            self.kinetic,
            self.rate_mm3_s,
        )


@dataclass(frozen=True)
class Fill:
    """How far a fill came, and when it ended counted from its start; inf if it never got full.

    Attributes
    ----------
    volume_mm3, time_s : float
    is_full : bool
    times_s : tuple of float
        When each row of the table was reached, inf where it was not; of a march only.
    """

    volume_mm3: float
    time_s: float
    is_full: bool
    times_s: tuple[float, ...] = ()


def march_fill(cavity: Cavity, pour: Pour) -> Fill:
    """Fill with everything: dt/dV = 1/Q by the classic fourth-order Runge and Kutta.

    Parameters
    ----------
    cavity : Cavity
    pour : Pour

    Notes
    -----
    A step changes the head by a quarter and the age by a fifth of tau at most, so a fill that
    ends near the funnel's level is still followed.

    Examples
    --------
    A straight cavity of 10 cm² filled from below to 60 of 100 mm, 0.1 Pa·s, 4 mm bore:

    >>> from moldgen.physics.pipes import pipe_resistance
    >>> cavity = Cavity((0.0, 72730.0), (0.0, 60.0))
    >>> pour = Pour(100.0, 1.1e-3, 0.1, pipe_resistance(1.0, 50.0, 2.0), gravity_mm_s2=9810.0)
    >>> round(march_fill(cavity, pour).time_s, 1)
    81.9
    """
    rows, drive = cavity.rows, pour.drive
    if pour.air_resistance:
        rows = rows._replace(air=rows.air + pour.air_resistance)
    times, volume = march(rows, drive)
    last = float(times[-1])
    return Fill(float(volume), last, math.isfinite(last), tuple(times.tolist()))
