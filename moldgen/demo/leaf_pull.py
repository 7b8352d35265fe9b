"""A leaf pull: a bowed, veined leaf held off the drawer by a post, so fingers reach behind it."""

from __future__ import annotations

from typing import Any

HALF_OUTLINE_MM = ((0, -34), (9, -26), (15, -10), (13.5, 6), (7.5, 22), (0, 38))
BOW_RADIUS_MM = 70.0
VEINS_Y_MM = (-22, -12, -2, 8)


def shape() -> Any:
    """The pull, its foot towards -Z, as a CadQuery shape [mm]."""
    import cadquery as cq

    mirrored = [(-x, y) for x, y in HALF_OUTLINE_MM[-2:0:-1]]
    right = cq.Workplane("XY").moveTo(*HALF_OUTLINE_MM[0]).spline(list(HALF_OUTLINE_MM[1:]))
    blank = right.spline([*mirrored, HALF_OUTLINE_MM[0]], includeCurrent=True).close().extrude(60)
    shell = (
        cq.Workplane("XZ")
        .center(0, -BOW_RADIUS_MM + 24)
        .circle(BOW_RADIUS_MM)
        .circle(BOW_RADIUS_MM - 4.0)
        .extrude(60, both=True)
    )
    leaf = blank.intersect(shell)
    rib = cq.Workplane("XZ").center(0, 24).circle(1.6).extrude(32, both=True)
    leaf = leaf.union(rib.intersect(blank))
    for y in VEINS_Y_MM:
        for side in (-1, 1):
            groove = cq.Workplane("XY").box(16, 1.2, 2.0).translate((side * 8.5, 0, 24.2))
            leaf = leaf.cut(groove.rotate((0, 0, 0), (0, 0, 1), side * 38).translate((0, y, 0)))
    post = cq.Workplane("XY").circle(4.5).extrude(21)
    foot = cq.Workplane("XY").circle(8.0).extrude(4.0).edges(">Z").chamfer(1.0)
    return leaf.union(post).union(foot).val()
