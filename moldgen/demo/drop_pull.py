"""A drop pull: a turned drop with a bead at its neck, hanging from a ring.

Everything lies evenly about one plane and nothing turns back behind it, so that even two rigid
halves let go of it.
"""

from __future__ import annotations

from typing import Any

from moldgen.demo.crown import crown_middle

WIDEST_MM = (13.0, 12.5)  # radius and height
RING_MM, WIRE_MM, RING_AT_MM = 8.8, 3.2, 59.4  # middle of the wire, its half thickness, height


def shape() -> Any:
    """The drop pull, its lowest point at Z = 0, even about the plane Y = 0, as a CadQuery shape."""
    import cadquery as cq

    radius, height = WIDEST_MM
    out, up = crown_middle((radius, 0.0), height)
    profile = (
        cq.Workplane("XZ")
        .moveTo(0.0, 0.0)
        .threePointArc((out, height - up), WIDEST_MM)
        .threePointArc((11.8, 21.2), (8.0, 31.2))
        .lineTo(4.2, 41.2)
        .lineTo(6.5, 42.5)
        .threePointArc((7.4, 44.4), (6.5, 46.2))
        .lineTo(2.8, 47.5)
        .lineTo(2.8, 51.0)
        .lineTo(0.0, 51.0)
        .close()
    )
    drop = profile.revolve(360, (0, 0, 0), (0, 1, 0))
    ring = cq.Solid.makeTorus(RING_MM, WIRE_MM, cq.Vector(0, 0, RING_AT_MM), cq.Vector(0, 1, 0))
    return drop.union(cq.Workplane(ring)).val()
