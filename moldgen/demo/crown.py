"""A crown: the rounded end of a turned fitting, part of a ball centered on the axis.

An arc that meets the axis askew turns into a pointed torus, which does not survive a STEP file.
"""

from __future__ import annotations

import math


def crown_middle(start: tuple[float, float], top_mm: float) -> tuple[float, float]:
    """A point half way along the arc from (radius, height) up to the axis at the top [mm].

    Parameters
    ----------
    start : (2,) float
        Radius and height where the crown begins [mm].
    top_mm : float
        Height of its end on the axis [mm].
    """
    radius, height = start
    rise = top_mm - height
    ball = (radius * radius + rise * rise) / (2.0 * rise)
    half = math.atan2(radius, ball - rise) / 2.0
    return ball * math.sin(half), top_mm - ball + ball * math.cos(half)
