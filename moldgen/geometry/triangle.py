"""One triangle, for compiled code: the point of it that is nearest to another point."""

from __future__ import annotations

from numba import njit


@njit(cache=True)
def _dot(ax, ay, az, bx, by, bz):  # type: ignore[no-untyped-def]
    return ax * bx + ay * by + az * bz


@njit(cache=True)
def distance2(p, q):  # type: ignore[no-untyped-def]
    """Squared distance between two points [mm²]."""
    x, y, z = p[0] - q[0], p[1] - q[1], p[2] - q[2]
    return x * x + y * y + z * z


@njit(cache=True)
def closest_on_segment(p, a, b):  # type: ignore[no-untyped-def]
    """The point of a segment nearest to p, as x, y, z [mm]."""
    ex, ey, ez = b[0] - a[0], b[1] - a[1], b[2] - a[2]
    length2 = _dot(ex, ey, ez, ex, ey, ez)
    along = _dot(p[0] - a[0], p[1] - a[1], p[2] - a[2], ex, ey, ez)
    t = min(max(along / length2, 0.0), 1.0) if length2 > 0.0 else 0.0
    return a[0] + t * ex, a[1] + t * ey, a[2] + t * ez


@njit(cache=True)
def closest_on_triangle(p, corners):  # type: ignore[no-untyped-def]
    """The point of a (3, 3) triangle nearest to p, as x, y, z [mm].

    It is the foot on the plane if that lies inside, else a point of one of the edges.
    """
    a, b, c = corners[0], corners[1], corners[2]
    ux, uy, uz = b[0] - a[0], b[1] - a[1], b[2] - a[2]
    vx, vy, vz = c[0] - a[0], c[1] - a[1], c[2] - a[2]
    wx, wy, wz = p[0] - a[0], p[1] - a[1], p[2] - a[2]
    nx, ny, nz = uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx
    n2 = _dot(nx, ny, nz, nx, ny, nz)
    if n2 > 0.0:
        s = _dot(wy * vz - wz * vy, wz * vx - wx * vz, wx * vy - wy * vx, nx, ny, nz)
        t = _dot(uy * wz - uz * wy, uz * wx - ux * wz, ux * wy - uy * wx, nx, ny, nz)
        if s >= 0.0 and t >= 0.0 and s + t <= n2:
            lift = _dot(wx, wy, wz, nx, ny, nz) / n2
            return p[0] - lift * nx, p[1] - lift * ny, p[2] - lift * nz
    best = closest_on_segment(p, a, b)
    for other in (closest_on_segment(p, b, c), closest_on_segment(p, c, a)):
        if distance2(p, other) < distance2(p, best):
            best = other
    return best
