"""The view: a parallel projection of millimeters onto paper pixels."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from moldgen.geometry.mesh import FloatArray
from moldgen.report.labels import Rect


@dataclass(frozen=True, eq=False)
class View:
    """A parallel projection; paper x runs right and paper y runs down.

    Attributes
    ----------
    axes : (3, 3) float
        Rows: the directions that point right, up and toward the eye.
    center_mm : (3,) float
        The point shown at `middle_px` [mm].
    middle_px : (2,) float
        Where on the paper the center lies [px].
    scale : float
        Enlargement [px/mm].
    """

    axes: FloatArray
    center_mm: FloatArray
    middle_px: tuple[float, float]
    scale: float

    @property
    def toward(self) -> FloatArray:
        """The direction from the scene to the eye, (3,)."""
        return self.axes[2]

    def seen(self, points: ArrayLike) -> FloatArray:
        """Right, up and toward coordinates from the center, (n, 3) [mm]."""
        away = np.asarray(points, dtype=np.float64) - self.center_mm
        return np.asarray(away @ self.axes.T)

    def on_paper(self, points: ArrayLike) -> FloatArray:
        """Paper positions, (n, 2) [px]."""
        away = self.seen(points)[..., :2] * (self.scale, -self.scale)
        return np.asarray(np.array(self.middle_px) + away)

    def enlarged(self, factor: float) -> View:
        """The same view on paper `factor` times as fine."""
        x, y = self.middle_px
        return replace(self, middle_px=(x * factor, y * factor), scale=self.scale * factor)


def three_quarter(azimuth_deg: float, elevation_deg: float) -> FloatArray:
    """Axes of an eye turned from the front (-Y) to the right and raised, (3, 3); angles [deg]."""
    a, e = np.radians(azimuth_deg), np.radians(elevation_deg)
    right = np.array([np.cos(a), np.sin(a), 0.0])
    toward = np.array([np.sin(a) * np.cos(e), -np.cos(a) * np.cos(e), np.sin(e)])
    return np.stack([right, np.cross(toward, right), toward])


def fit_view(axes: FloatArray, points: ArrayLike, window: Rect) -> View:
    """The view that shows all points as large as the window allows, in its middle.

    Parameters
    ----------
    axes : (3, 3) float
        Directions right, up, toward the eye.
    points : (n, 3) float
        What must be seen [mm].
    window : Rect
        Where on the paper [px].
    """
    p = np.asarray(points, dtype=np.float64)
    seen = p @ axes.T
    low, high = seen.min(axis=0), seen.max(axis=0)
    size = np.maximum(high - low, 1e-9)
    scale = min(window.width / size[0], window.height / size[1])
    return View(axes, (low + high) / 2.0 @ axes, window.middle, float(scale))
