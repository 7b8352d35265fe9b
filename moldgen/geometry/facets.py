"""Round bodies as triangles that enclose exactly the round body's volume.

A circle becomes a polygon of the same area. Every slice of a turned body is then as large as the
circle it stands for, so cylinders and cones keep their volume however few facets they have.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from moldgen.errors import SolidError
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.recipe import Point2, Taper, Turned
from moldgen.geometry.rigid import rotation_to_z


def equal_area_factor(n_sides: int) -> float:
    """Corner radius of a regular polygon over the radius of the circle of the same area.

    From the polygon's area n r² sin(2π/n) / 2 = π.
    """
    step = 2.0 * math.pi / n_sides
    return math.sqrt(step / math.sin(step))


def equal_area_circle(n_sides: int) -> FloatArray:
    """Corners of a polygon as large as the unit circle, in the plane z = 0, (n, 3)."""
    angles = 2.0 * np.pi * np.arange(n_sides) / n_sides
    circle = np.column_stack([np.cos(angles), np.sin(angles), np.zeros(n_sides)])
    return equal_area_factor(n_sides) * circle


def turned_mesh(body: Turned, n_sides: int) -> Mesh:
    """A body of revolution as triangles; its volume is exact for straight profile pieces.

    Raises
    ------
    SolidError
        If the profile falls, leaves the axis's positive side, or touches the axis between its ends.
    """
    circle = equal_area_circle(n_sides)
    profile = tidy_profile(body.profile)
    return _stacked([radius * circle + (0.0, 0.0, z) for radius, z in profile])


def taper_mesh(bar: Taper, n_sides: int) -> Mesh:
    """A straight round bar as triangles; its volume is exact.

    Raises
    ------
    SolidError
        If the bar has no length or no thickness.
    """
    check_taper(bar)
    start, end = np.asarray(bar.start), np.asarray(bar.end)
    radii = (bar.start_radius_mm, bar.end_radius_mm)
    across = equal_area_circle(n_sides) @ rotation_to_z(end - start)
    return _stacked([start + radii[0] * across, end + radii[1] * across])


def check_taper(bar: Taper) -> None:
    """Refuse a bar without length or thickness.

    Raises
    ------
    SolidError
    """
    radii = (bar.start_radius_mm, bar.end_radius_mm)
    if not min(radii) >= 0.0 < max(radii):
        raise SolidError(f"radii of {radii[0]:g} and {radii[1]:g} mm make no round bar")
    if not math.dist(bar.start, bar.end) > 1e-9:
        raise SolidError(f"a round bar starts and ends at the same point {bar.start}")


def tidy_profile(profile: Sequence[Point2]) -> tuple[Point2, ...]:
    """The (radius, height) pairs with only the first and last kept at each height [mm].

    Raises
    ------
    SolidError
        If the profile cannot be turned.
    """
    kept: list[Point2] = []
    for radius, z in profile:
        if len(kept) >= 2 and kept[-1][1] == z == kept[-2][1]:
            kept.pop()
        if (radius, z) not in kept[-1:]:
            kept.append((radius, z))
    _check_profile(kept)
    return tuple(kept)


def _check_profile(profile: list[Point2]) -> None:
    radii = [radius for radius, _ in profile]
    heights = [z for _, z in profile]
    if len(profile) < 2 or heights[0] == heights[-1]:
        raise SolidError("the profile has no height")
    if heights != sorted(heights):
        raise SolidError("the profile's heights fall")
    if min(radii) < 0.0:
        raise SolidError(f"the profile has the negative radius {min(radii):g} mm")
    if max(radii) == 0.0 or not all(radii[1:-1]):
        raise SolidError("the profile touches the axis between its ends")


def _stacked(rings: Sequence[FloatArray]) -> Mesh:
    """A closed skin over rings of equal count; a ring of no size becomes one point."""
    rings = [ring[:1] if np.ptp(ring, axis=0).max() == 0.0 else ring for ring in rings]
    starts = np.cumsum([0] + [len(ring) for ring in rings])
    numbers = [np.arange(a, b) for a, b in pairwise(starts)]
    skin = [_band(low, high) for low, high in pairwise(numbers)]
    return Mesh(np.vstack(rings), np.vstack([_lid(numbers[0])[:, ::-1], *skin, _lid(numbers[-1])]))


def _band(low: np.ndarray, high: np.ndarray) -> np.ndarray:
    n = max(len(low), len(high))
    a, b = np.resize(low, n), np.resize(high, n)
    a1, b1 = np.roll(a, -1), np.roll(b, -1)
    lower = np.column_stack([a, a1, b1]) if len(low) > 1 else np.empty((0, 3), int)
    upper = np.column_stack([a, b1, b]) if len(high) > 1 else np.empty((0, 3), int)
    return np.vstack([lower, upper])


def _lid(ring: np.ndarray) -> np.ndarray:
    k = ring[1:-1]
    return np.column_stack([np.full_like(k, ring[0]), k, k + 1])
