"""The pose: how the part lies while resin is poured."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.rigid import placement, rotation_to_z, unit_vector


@dataclass(frozen=True, eq=False)
class Pose:
    """A turn of the part file's frame into the casting frame, where +Z is up.

    Attributes
    ----------
    rotation : (3, 3) float
        Part file's axes to casting axes.
    rank : int or None
        Place in the study's list, or None where the user gave the pose.
    azimuth_free : bool
        Whether the part may still be turned about the vertical, to suit the box.
    """

    rotation: FloatArray
    rank: int | None = None
    azimuth_free: bool = False

    def __post_init__(self) -> None:
        r = np.array(self.rotation, dtype=np.float64)
        if (
            r.shape != (3, 3)
            or not np.abs(r @ r.T - np.eye(3)).max() <= 1e-9
            or np.linalg.det(r) < 0
        ):
            raise ValueError("a pose needs a (3, 3) turn without stretching or mirroring")
        r.setflags(write=False)
        object.__setattr__(self, "rotation", r)

    @classmethod
    def from_up(cls, up: ArrayLike, rank: int | None = None) -> Pose:
        """The pose in which the part file's direction `up` points up, (3,)."""
        return cls(rotation_to_z(unit_vector(up)), rank, azimuth_free=True)

    @property
    def up(self) -> FloatArray:
        """The direction, in the part file's frame, that points up, (3,)."""
        return self.rotation[2].copy()

    def matrix_for(self, mesh: Mesh) -> FloatArray:
        """Part file to casting frame, (4, 4): centered over the origin, lowest point at 0 [mm]."""
        turned = mesh.moved(placement(self.rotation))
        low, high = turned.bounds
        return placement(
            self.rotation, (-(low[0] + high[0]) / 2.0, -(low[1] + high[1]) / 2.0, -low[2])
        )
