"""Where a piece too large for the printer is parted, and the joint that finds itself again.

A seam is a surface along one axis of the printer, `at + tooth(u) + tongue(v)`: u runs along the
seam, v through the piece's thickness. The tongue, a ridge of 45 degrees along the whole seam, lies
in a groove of the next part, so that no straight slit leads through; the teeth keep the parts from
shifting along the seam. Nothing hangs over by more than 45 degrees on either part, and they go
together straight along the axis.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from moldgen.errors import PlanError

TONGUE_SHARE = 0.25  # of the thickness: a lip as thick as the tongue is deep on both its sides
DEEPEST_TONGUE_MM = 3.0
LEAST_BAND_MM = 2.4  # of thickness: a thinner one leaves lips of less than two common lines
ENGAGED = 1.5  # times its clearance that a tongue must stand out
TOOTH_MM = 2.0  # how far a tooth stands out
TOOTH_HALF_MM = 4.0  # half its width where it is flat; a tooth that points up is pointed
TOOTH_EVERY_MM = 60.0
TOOTH_ROOM = 1.5  # a seam this many times as long as a tooth's foot carries one
REACH_MM = DEEPEST_TONGUE_MM + TOOTH_MM  # the most that a part stands out over its seam
SLACK_MM = 1e-6  # a piece as long as the room fits
ACROSS = ((1, 2), (0, 2), (0, 1))  # u and v of a seam along each axis
UPWARD = 2  # a seam along this axis is the floor of the part above it


@dataclass(frozen=True)
class Seam:
    """One seam.

    Attributes
    ----------
    axis : int
        Along which the parts come apart, in the piece's print frame.
    at_mm : float
        The least coordinate of its surface.
    tongue_mm : float
        How far the tongue stands out; it is twice as thick at its foot.
    tongue_at_mm : float
        Its ridge, along v.
    teeth_mm : tuple of float
        Middles of the teeth, along u.
    fit_mm : float
        Least clearance between the parts.
    """

    axis: int
    at_mm: float
    tongue_mm: float
    tongue_at_mm: float
    teeth_mm: tuple[float, ...]
    fit_mm: float

    @property
    def reach_mm(self) -> float:
        """How far the lower part stands out over `at_mm` [mm]."""
        return self.tongue_mm + (TOOTH_MM if self.teeth_mm else 0.0)

    @property
    def shift_mm(self) -> float:
        """Slit along the axis: flanks that slope by one each way are the fit apart [mm]."""
        return self.fit_mm * math.sqrt(2.0 + bool(self.teeth_mm))

    @property
    def across(self) -> tuple[int, int]:
        """The axes that u and v run along."""
        return ACROSS[self.axis]

    @property
    def tongue(self) -> tuple[tuple[float, float], ...]:
        """Corners of the tongue: (v, height over the seam) [mm]."""
        v, d = self.tongue_at_mm, self.tongue_mm
        return ((v - d, 0.0), (v, d), (v + d, 0.0))

    @property
    def teeth(self) -> tuple[tuple[float, float], ...]:
        """Corners of the teeth: (u, height over the seam) [mm]."""
        h, e = TOOTH_HALF_MM, TOOTH_MM
        flat = ((-h - e, 0.0), (-h, e), (h, e), (h + e, 0.0))
        tooth = ((-e, 0.0), (0.0, e), (e, 0.0)) if self.axis == UPWARD else flat
        return tuple((middle + away, up) for middle in self.teeth_mm for away, up in tooth)

    def gap_mm3(self, section_mm2: float) -> float:
        """What the slit takes of a body whose section does not change along the axis [mm³]."""
        return self.shift_mm * section_mm2


def n_parts(length_mm: float, room_mm: float) -> int:
    """Into how many parts a length is cut so that each fits a room, its joint included.

    Parameters
    ----------
    length_mm, room_mm : float
    """
    if length_mm <= room_mm + SLACK_MM:
        return 1
    return math.ceil((length_mm - REACH_MM) / (room_mm - REACH_MM) - 1e-9)


def seam_span(
    low_mm: float, high_mm: float, room_mm: float, more: int = 0
) -> tuple[float, float, float] | None:
    """Where the first seam of a length may lie, and where it leaves equal parts.

    Wherever it lies between, the first part fits the room and the rest needs one part fewer.

    Parameters
    ----------
    low_mm, high_mm : float
        Ends of what is to be parted.
    room_mm : float
    more : int
        Parts beyond the fewest: the seams get more room to keep off what is in their way.

    Returns
    -------
    (low, high, even) or None
        None where it fits as it is [mm].
    """
    length = high_mm - low_mm
    n = n_parts(length, room_mm)
    if n == 1:
        return None
    n += more
    usable = room_mm - REACH_MM
    first = max(high_mm - (n - 1) * usable - REACH_MM, low_mm + REACH_MM)
    last, even = low_mm + usable, low_mm + (length - REACH_MM) / n
    return min(first, last), last, min(max(even, first), last)


def plan_seam(
    axis: int,
    at_mm: float,
    along_mm: tuple[float, float],
    through_mm: tuple[float, float],
    fit_mm: float,
) -> Seam:
    """The joint for a place: tongue by the thickness, teeth by the length.

    Parameters
    ----------
    axis : int
    at_mm : float
    along_mm : (2,) float
        From where to where the section reaches along u.
    through_mm : (2,) float
        From where to where it is solid along v.
    fit_mm : float
    """
    low, high = through_mm
    depth = min(TONGUE_SHARE * (high - low), DEEPEST_TONGUE_MM)
    return Seam(axis, at_mm, depth, (low + high) / 2.0, _teeth(*along_mm), fit_mm)


def least_band_mm(fit_mm: float) -> float:
    """How thick a piece must be to carry a tongue that is not lost in its own clearance [mm].

    Parameters
    ----------
    fit_mm : float
    """
    return max(LEAST_BAND_MM, ENGAGED * math.sqrt(3.0) * fit_mm / TONGUE_SHARE)


def _teeth(low_mm: float, high_mm: float) -> tuple[float, ...]:
    length = high_mm - low_mm
    if length < TOOTH_ROOM * 2.0 * (TOOTH_HALF_MM + TOOTH_MM):
        return ()
    n = max(1, int(length / TOOTH_EVERY_MM))
    return tuple(low_mm + (k + 0.5) * length / n for k in range(n))


def is_turned(extents_mm: Sequence[float], room_mm: Sequence[float]) -> bool:
    """Whether a piece takes fewer parts with its length along the room's other side.

    Only turns by 90 degrees are looked at; a piece laid across the corners of the room is not.

    Parameters
    ----------
    extents_mm : (3,) float
        Of the piece as it lies.
    room_mm : (3,) float
    """
    (x, y, _), (across, along, _) = extents_mm, room_mm
    lying = n_parts(x, across) * n_parts(y, along)
    return n_parts(y, across) * n_parts(x, along) < lying


def no_joint(name: str, extents_mm: Sequence[float], room_mm: Sequence[float]) -> PlanError:
    """What is told of a piece that neither fits the printer nor can be parted."""
    size, room = (" × ".join(f"{v:.2f}" for v in three) for three in (extents_mm, room_mm))
    return PlanError(
        f"{name} is {size} mm as it is printed, the printer holds {room} mm, and there is no place "
        "to part it where a joint fits: use a larger printer (printing.room_mm, --print-room), "
        "thicker walls and base (printing.wall_mm, base_mm), a tighter printing.fit_mm, or --box "
        "boards"
    )


def ramps(corners: Sequence[tuple[float, float]], low_mm: float, high_mm: float) -> list[float]:
    """Where a profile bends between two ends, the ends included, in order [mm]."""
    inner = [at for at, _ in corners if low_mm < at < high_mm]
    return [low_mm, *inner, high_mm]


def height_at(corners: Sequence[tuple[float, float]], at_mm: float) -> float:
    """Height of a profile over the seam; 0 outside its corners [mm]."""
    for (a, up), (b, down) in pairwise(corners):
        if a <= at_mm <= b:
            return up + (down - up) * (at_mm - a) / (b - a)
    return 0.0
