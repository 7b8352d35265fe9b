"""The steps of a fill in compiled code: dt/dV = 1/Q by the classic fourth-order Runge and Kutta."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numba import njit
from numpy.typing import NDArray

HEAD_STEP = 0.25  # a step may take this share of the head
AGE_STEP = 0.2  # and this share of the time constant
LEAST_STEP = 1e-12  # of a row of the table: below it the mix has set
HEADLESS = 1e-12  # of the head: a level this near to the funnel's is as high
_BISECTIONS = 50
_LARGEST_EXPONENT = 700.0  # of a double


class Drive(NamedTuple):
    """What drives a fill, as plain numbers.

    Attributes
    ----------
    weight : float
        Density times gravity [Pa/mm].
    head, passage, tau, start, until, kinetic, rate : float
        As `Pour` has them; passage times the viscosity at mixing [mm, g, s].
    """

    weight: float
    head: float
    passage: float
    tau: float
    start: float
    until: float
    kinetic: float
    rate: float


class Rows(NamedTuple):
    """A cavity as plain arrays: (n,) volumes and levels, (n - 1,) what each stretch does."""

    volumes: NDArray[np.float64]
    levels: NDArray[np.float64]
    narrowings: NDArray[np.float64]
    air: NDArray[np.float64]
    air_kinetic: NDArray[np.float64]


@njit(cache=True)
def march(rows, drive):  # type: ignore[no-untyped-def]
    """Time of each row, inf where it is not reached, and the volume at the end."""
    n = len(rows.volumes)
    times = np.full(n, np.inf)
    time, times[0] = drive.start, 0.0
    for i in range(n - 1):
        time, volume = _stretch(rows, drive, i, time)
        if time >= drive.until or volume < rows.volumes[i + 1]:
            return times, volume
        times[i + 1] = time - drive.start
    return times, rows.volumes[n - 1]


@njit(cache=True)
def _stretch(rows, drive, i, time):  # type: ignore[no-untyped-def]
    """Time and volume at the end of a stretch, or where the fill stops in it."""
    low, high = rows.volumes[i], rows.volumes[i + 1]
    volume = low
    while volume < high:
        step = _step(rows, drive, i, volume, time)
        if step < LEAST_STEP * (high - low):
            return time, volume
        more = _slow(rows, drive, i, volume, time, step)
        if time + more > drive.until:
            return drive.until, volume + _share(rows, drive, i, volume, time, step)
        time += more
        volume = min(volume + step, high)
        if high - volume < LEAST_STEP * high:
            volume = high
    return time, volume


@njit(cache=True)
def _level(rows, i, volume):  # type: ignore[no-untyped-def]
    share = (volume - rows.volumes[i]) / (rows.volumes[i + 1] - rows.volumes[i])
    return rows.levels[i] + share * (rows.levels[i + 1] - rows.levels[i])


@njit(cache=True)
def flow(rows, drive, i, level, time):  # type: ignore[no-untyped-def]
    """Flow in a stretch against a level, some time after mixing [mm³/s]."""
    pressure = drive.weight * max(drive.head - level, 0.0)
    thicker = math.exp(min(time / drive.tau, _LARGEST_EXPONENT))
    resistance = drive.passage * rows.narrowings[i] * thicker + rows.air[i]
    kinetic = drive.kinetic * rows.narrowings[i] + rows.air_kinetic[i]
    free = 2.0 * pressure / (resistance + math.sqrt(resistance**2 + 4.0 * kinetic * pressure))
    return min(free, drive.rate)


@njit(cache=True)
def _step(rows, drive, i, volume, time):  # type: ignore[no-untyped-def]
    """The largest volume that changes neither head nor age too much."""
    high = rows.volumes[i + 1]
    level = _level(rows, i, volume)
    head = drive.head - level
    if head <= HEADLESS * drive.head:
        return 0.0
    slope = (rows.levels[i + 1] - rows.levels[i]) / (high - rows.volumes[i])
    by_head = HEAD_STEP * head / slope if slope > 0.0 else np.inf
    by_age = AGE_STEP * drive.tau * flow(rows, drive, i, level, time)
    return min(high - volume, by_head, by_age)


@njit(cache=True)
def _slow(rows, drive, i, volume, time, step):  # type: ignore[no-untyped-def]
    """Time that one step of volume takes."""
    k1 = step / flow(rows, drive, i, _level(rows, i, volume), time)
    middle = _level(rows, i, volume + 0.5 * step)
    k2 = step / flow(rows, drive, i, middle, time + k1 / 2.0)
    k3 = step / flow(rows, drive, i, middle, time + k2 / 2.0)
    k4 = step / flow(rows, drive, i, _level(rows, i, volume + step), time + k3)
    return (k1 + 2.0 * k2 + 2.0 * k3 + k4) / 6.0


@njit(cache=True)
def _share(rows, drive, i, volume, time, step):  # type: ignore[no-untyped-def]
    """How much of a step is done when time is up."""
    low, high = 0.0, step
    for _ in range(_BISECTIONS):
        middle = 0.5 * (low + high)
        if time + _slow(rows, drive, i, volume, time, middle) > drive.until:
            high = middle
        else:
            low = middle
    return low
