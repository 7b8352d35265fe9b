"""A fluted drawer knob: turned foot and neck, sixteen flutes, a blind hole for the screw."""

from __future__ import annotations

from typing import Any

from moldgen.demo.crown import crown_middle

FLUTES = 16
HEAD_RADIUS_MM = 18.0


def shape() -> Any:
    """The knob, standing on its foot, as a CadQuery shape [mm]."""
    import cadquery as cq

    turned = (
        cq.Workplane("XZ")
        .moveTo(0, 0)
        .lineTo(12, 0)
        .lineTo(12, 2.5)
        .threePointArc((10.5, 4.5), (8, 5))
        .threePointArc((6.2, 8), (8, 12))
        .threePointArc((15.5, 14.5), (HEAD_RADIUS_MM, 20))
        .threePointArc((15.0, 26.5), (8, 30))
        .threePointArc(crown_middle((8, 30), 31.6), (0, 31.6))
        .close()
        .revolve(360, (0, 0), (0, 1))
    )
    flutes = cq.Workplane("XY").polarArray(HEAD_RADIUS_MM + 0.6, 0, 360, FLUTES).circle(1.9)
    hole = cq.Workplane("XY").circle(1.6).extrude(14)
    return turned.cut(flutes.extrude(40).translate((0, 0, 12))).cut(hole).val()
