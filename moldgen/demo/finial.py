"""A finial: an urn on a square plinth, eight lobes, four beaded arms and a drawn-out tip."""

from __future__ import annotations

from typing import Any

from moldgen.demo.crown import crown_middle


def shape() -> Any:
    """The finial, standing on its plinth, as a CadQuery shape [mm]."""
    import cadquery as cq

    plinth = cq.Workplane("XY").box(22, 22, 6, centered=(True, True, False))
    urn = (
        cq.Workplane("XZ")
        .moveTo(0, 5)
        .lineTo(8, 5)
        .threePointArc((5.0, 9), (5.5, 14))
        .threePointArc((13.5, 20), (14, 28))
        .threePointArc((11, 36), (4.5, 40))
        .lineTo(7, 42)
        .lineTo(7, 44)
        .threePointArc((3.6, 52), (1.6, 66))
        .threePointArc(crown_middle((1.6, 66), 67.5), (0, 67.5))
        .close()
        .revolve(360, (0, 0), (0, 1))
    )
    lobes = cq.Workplane("XY").polarArray(15.6, 0, 360, 8).circle(2.6).extrude(17)
    body = plinth.union(urn).cut(lobes.translate((0, 0, 19)))
    for quarter in range(4):
        arm = (
            cq.Workplane("YZ")
            .circle(2.4)
            .extrude(15)
            .union(cq.Workplane("XY").sphere(4.2).translate((15, 0, 0)))
        )
        body = body.union(arm.translate((0, 0, 43)).rotate((0, 0, 0), (0, 0, 1), 90 * quarter))
    return body.val()
