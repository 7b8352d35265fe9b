"""The routed box as its plan says: panels with fingers, a base with a groove and blind holes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from moldgen.build.nouns import Piece
from moldgen.build.piece import AS_IT_STANDS, TURNED_OVER, printed
from moldgen.geometry.recipe import Difference, Placed, Prism, Recipe
from moldgen.geometry.rigid import rotation_to_z
from moldgen.geometry.solids import mesh_solid
from moldgen.plan.box import PROUD_MM, BoxPlan, corners
from moldgen.plan.flat_boards import hole_outline
from moldgen.plan.flat_routed import outline_of
from moldgen.plan.routed_nouns import GROOVE_MM, RoutedBox
from moldgen.plan.routed_panels import groove, panel_frame


def build_routed_box(box: BoxPlan, routed: RoutedBox) -> tuple[Piece, ...]:
    """Base and four walls.

    Parameters
    ----------
    box : BoxPlan
    routed : RoutedBox
        Its boards.

    Raises
    ------
    SolidError
        If the kernel refuses a body.
    """
    return (_base(box, routed), *_walls(box, routed))


def routed_base_recipe(box: BoxPlan, routed: RoutedBox) -> Recipe:
    """The base: a board with a groove for the walls, and a blind hole for each foot."""
    body = Prism(corners(routed.base.rect), *box.levels(-routed.base.height_mm, 0.0))
    outer, island = groove(routed)
    depth = box.levels(-GROOVE_MM, PROUD_MM)
    fit = box.printing.fit_mm
    holes = tuple(
        Prism(hole_outline(f, fit), f.seat_mm - PROUD_MM, f.seat_mm + f.foot_height_mm)
        for f in (box.formers if box.is_standing else ())
    )
    ring = Prism(outer.ring(), *depth, holes=(island.ring()[::-1],))
    return Difference(body, (ring, *holes))


def routed_wall_recipe(box: BoxPlan, routed: RoutedBox, name: str) -> Recipe:
    """A wall: its outline, seen from outside, as thick as its board."""
    frame = panel_frame(name, routed.inside, box.floor_mm, box.rise)
    body = Prism(outline_of(box, routed, name).ring(), 0.0, routed.thick_mm)
    return Placed(body, frame.rows)


def _base(box: BoxPlan, routed: RoutedBox) -> Piece:
    recipe = routed_base_recipe(box, routed)
    turn = TURNED_OVER if box.is_standing else AS_IT_STANDS
    return replace(printed("base", "base", mesh_solid(recipe), recipe, turn), material="board")


def _walls(box: BoxPlan, routed: RoutedBox) -> Iterator[Piece]:
    for panel in box.panels:
        recipe = routed_wall_recipe(box, routed, panel.name)
        turn = rotation_to_z((*panel.outward, 0.0))
        piece = printed(panel.name, "wall", mesh_solid(recipe), recipe, turn)
        yield replace(piece, material="board")
