"""A shelf bracket: an angle with a gusset, two screw holes and a bore for a rod."""

from __future__ import annotations

from typing import Any


def shape() -> Any:
    """The bracket, its foot on Z = 0, as a CadQuery shape [mm]."""
    import cadquery as cq

    foot = cq.Workplane("XY").box(44, 24, 6, centered=(False, True, False))
    back = cq.Workplane("XY").box(6, 24, 42, centered=(False, True, False))
    gusset = cq.Workplane("XZ").polyline([(5, 5), (34, 5), (5, 32)]).close().extrude(2.5, both=True)
    boss = cq.Workplane("YZ").center(0, 33).circle(9).extrude(14)
    bore = cq.Workplane("YZ").center(0, 33).circle(4).extrude(40, both=True)
    screws = cq.Workplane("XY").pushPoints([(18, 8), (36, -8)]).circle(2.2).extrude(20)
    solid = foot.union(back).union(gusset).union(boss).cut(bore).cut(screws)
    return solid.val()
