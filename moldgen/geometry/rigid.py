"""Placements: 4x4 matrices that turn and move without stretching."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from moldgen.geometry.mesh import FloatArray


def unit_vector(direction: ArrayLike) -> FloatArray:
    """The direction with length one, (3,).

    Raises
    ------
    ValueError
        If the direction is zero or not finite.
    """
    d = np.asarray(direction, dtype=np.float64)
    length = float(np.linalg.norm(d))
    if d.shape != (3,) or not np.isfinite(length) or length < 1e-12:
        raise ValueError(f"a direction needs three finite numbers that are not all zero, not {d}")
    return d / length


def rotation_to_z(up: ArrayLike) -> FloatArray:
    """The shortest turn that carries `up` to +Z, (3, 3)."""
    x, y, c = unit_vector(up)
    square = x * x + y * y
    if c < 0.0 and square < 1e-24:
        return np.diag([1.0, -1.0, -1.0])
    k = np.array([[0.0, 0.0, -x], [0.0, 0.0, -y], [x, y, 0.0]])
    share = 1.0 / (1.0 + c) if c >= 0.0 else (1.0 - c) / square  # the same, without cancellation
    return np.eye(3) + k + share * (k @ k)


def rotation_about_z(angle_deg: float) -> FloatArray:
    """A turn about +Z, counter-clockwise seen from above, (3, 3); angle [deg]."""
    a = np.radians(angle_deg)
    c, s = np.cos(a), np.sin(a)
    return np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])


def rotation_xyz(rx_deg: float, ry_deg: float, rz_deg: float) -> FloatArray:
    """Turns about the fixed axes X, then Y, then Z, (3, 3); angles [deg]."""
    rx, ry = np.radians(rx_deg), np.radians(ry_deg)
    about_x = np.array(
        [[1, 0, 0], [0, np.cos(rx), -np.sin(rx)], [0, np.sin(rx), np.cos(rx)]], dtype=np.float64
    )
    about_y = np.array(
        [[np.cos(ry), 0, np.sin(ry)], [0, 1, 0], [-np.sin(ry), 0, np.cos(ry)]], dtype=np.float64
    )
    return rotation_about_z(rz_deg) @ about_y @ about_x


def placement(rotation: ArrayLike | None = None, offset: ArrayLike = (0.0, 0.0, 0.0)) -> FloatArray:
    """A (4, 4) matrix from a (3, 3) turn and a (3,) offset [mm]."""
    m = np.eye(4)
    if rotation is not None:
        m[:3, :3] = np.asarray(rotation, dtype=np.float64)
    m[:3, 3] = np.asarray(offset, dtype=np.float64)
    return m


def inverse(matrix: ArrayLike) -> FloatArray:
    """The placement that undoes a placement, (4, 4)."""
    m = np.asarray(matrix, dtype=np.float64)
    return placement(m[:3, :3].T, -m[:3, :3].T @ m[:3, 3])


def frame_along(d: FloatArray) -> FloatArray:
    """Two unit vectors square to a unit direction, then the direction itself, (3, 3).

    T. Duff et al., Building an orthonormal basis, revisited, JCGT 6(1) 2017: no branch, and
    no loss near -Z.
    """
    x, y, z = d
    sign = np.copysign(1.0, z)
    a = -1.0 / (sign + z)
    b = x * y * a
    return np.array(
        [[1.0 + sign * x * x * a, sign * b, -sign * x], [b, sign + y * y * a, -y], [x, y, z]]
    )
