"""Pins: numbered flags on a map, each beside its spot, whose leaders never cross."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import chain

import numpy as np
from shapely.geometry import LineString, box
from shapely.geometry import Point as Place
from shapely.geometry.base import BaseGeometry

from moldgen.report.labels import Point, Rect

FLAG_RADIUS_PX = 22.0
SPOT_RADIUS_PX = 7.0
GAP_PX = 4.0
REACHES_PX = (40.0, 54.0, 70.0, 90.0, 115.0, 145.0, 180.0, 220.0, 270.0, 330.0)
N_WAYS = 24
SHY_PX = 90.0  # how much farther a flag goes not to cover what had better be seen


@dataclass(frozen=True)
class Pin:
    """A flag at the end of a leader from its spot [px]."""

    spot: Point
    flag: Point

    @property
    def place(self) -> Rect:
        """The square round the flag [px]."""
        x, y = self.flag
        r = FLAG_RADIUS_PX
        return Rect(x - r, y - r, x + r, y + r)


def place_pins(
    spots: Sequence[Point],
    middle: Point,
    whole: Rect,
    taken: Sequence[Rect],
    precious: Callable[[Point], bool] = lambda _at: False,
) -> list[Pin]:
    """A pin for each spot: the flag as near as it finds room, rather outward than inward.

    Where spots lie so close that no leader keeps clear, only the flags keep apart.

    Parameters
    ----------
    spots : sequence of (2,) float
        What the pins mark [px].
    middle : (2,) float
        The map's middle [px].
    whole : Rect
        Where the flags must stay [px].
    taken : sequence of Rect
        What the flags and leaders must leave free [px].
    precious : callable
        Whether a point had better not be covered by a flag [px].
    """
    fixed: list[BaseGeometry] = [box(r.left, r.top, r.right, r.bottom) for r in taken]
    dots = [Place(s).buffer(SPOT_RADIUS_PX + GAP_PX) for s in spots]
    pins: list[Pin] = []
    for i, spot in enumerate(spots):
        others = [d for k, d in enumerate(dots) if k != i]
        barred = [*fixed, *others, *(s for p in pins for s in (_flag(p), _leader(p)))]
        found = _candidates(spot, middle, whole, precious)
        clear = (p for p in found if not _meet([_flag(p), _leader(p)], barred))
        apart = (p for p in found if not _meet([_flag(p)], [_flag(q) for q in pins]))
        pins.append(next(chain(clear, apart, found)))
    return pins


def _candidates(
    spot: Point, middle: Point, whole: Rect, precious: Callable[[Point], bool]
) -> list[Pin]:
    """Pins on the paper, best first: short, outward, and covering nothing precious."""
    outward = np.arctan2(spot[1] - middle[1], spot[0] - middle[0])
    rated: list[tuple[float, int, int, Pin]] = []
    for reach in REACHES_PX:
        for turn in range(-N_WAYS // 2, N_WAYS // 2):
            angle = outward + turn * 2.0 * np.pi / N_WAYS
            flag = float(spot[0] + reach * np.cos(angle)), float(spot[1] + reach * np.sin(angle))
            pin = Pin(spot, flag)
            if whole.holds(pin.place):
                rated.append((reach + SHY_PX * _share_of(pin, precious), abs(turn), turn, pin))
    return [pin for *_, pin in sorted(rated, key=lambda r: r[:3])]


def _share_of(pin: Pin, precious: Callable[[Point], bool]) -> float:
    """The share of a flag that covers precious points, from its middle and eight on its rim."""
    (x, y), r = pin.flag, FLAG_RADIUS_PX
    rim = [k * np.pi / 4.0 for k in range(8)]
    tried = [(x, y), *((x + r * float(np.cos(a)), y + r * float(np.sin(a))) for a in rim)]
    return sum(map(precious, tried)) / len(tried)


def _flag(pin: Pin) -> BaseGeometry:
    return Place(pin.flag).buffer(FLAG_RADIUS_PX + GAP_PX)


def _leader(pin: Pin) -> BaseGeometry:
    return LineString([pin.spot, pin.flag])


def _meet(mine: Sequence[BaseGeometry], theirs: Sequence[BaseGeometry]) -> bool:
    return any(a.intersects(b) for a in mine for b in theirs)
