"""The shadow of a body: rings of an outline as an area of the plane."""

from __future__ import annotations

from collections.abc import Sequence

import shapely

from moldgen.geometry.mesh import FloatArray

FLAT_MM = 0.005  # corners that leave their line by less are taken out
LEAST_RING_MM2 = 1e-4


def shadow_of(rings: Sequence[FloatArray]) -> shapely.Geometry:
    """The area between rings (k, 2): outer ones counter-clockwise, holes clockwise [mm]."""
    areas = [(shapely.LinearRing(ring).is_ccw, shapely.Polygon(ring).buffer(0)) for ring in rings]
    areas.sort(key=lambda each: -each[1].area)
    shadow: shapely.Geometry = shapely.Polygon()
    for is_outer, area in areas:
        shadow = shadow.union(area) if is_outer else shadow.difference(area)
    return shadow


def shrunk(shadow: shapely.Geometry, by_mm: float) -> shapely.Geometry:
    """The area without its rim and without corners that are hardly any [mm]."""
    inner = shadow.buffer(-by_mm, join_style="mitre").simplify(FLAT_MM)
    parts = [p for p in shapely.get_parts(inner) if p.area > LEAST_RING_MM2]
    return shapely.MultiPolygon(
        [
            shapely.Polygon(
                p.exterior, [r for r in p.interiors if shapely.Polygon(r).area > LEAST_RING_MM2]
            )
            for p in parts
        ]
    )
