"""The box of boards, cut as its plan says: walls as they come off the saw, a base with holes."""

from __future__ import annotations

from dataclasses import replace

from moldgen.build.nouns import Piece
from moldgen.build.piece import AS_IT_STANDS, TURNED_OVER, printed
from moldgen.geometry.recipe import Difference, Prism, Recipe
from moldgen.geometry.rigid import rotation_to_z
from moldgen.geometry.solids import mesh_solid
from moldgen.plan.board_nouns import BoardBox, BoardPiece
from moldgen.plan.box import PROUD_MM, BoxPlan, Panel, corners
from moldgen.plan.flat_boards import hole_outline


def build_board_box(box: BoxPlan, boards: BoardBox) -> tuple[Piece, ...]:
    """Base and four walls.

    Parameters
    ----------
    box : BoxPlan
    boards : BoardBox
        Its boards.

    Raises
    ------
    SolidError
        If the kernel refuses a body.
    """
    panels = {panel.name: panel for panel in box.panels}
    walls = (_wall(box, wall, panels[wall.name]) for wall in boards.walls)
    return (_base(box, boards), *walls)


def board_base_recipe(box: BoxPlan, boards: BoardBox) -> Recipe:
    """The base: the board as it comes off the saw, with a blind hole for each foot."""
    body = Prism(corners(boards.base.rect), *box.levels(-boards.base.height_mm, 0.0))
    fit = box.printing.fit_mm
    holes = tuple(
        Prism(hole_outline(f, fit), f.seat_mm - PROUD_MM, f.seat_mm + f.foot_height_mm)
        for f in (box.formers if box.is_standing else ())
    )
    return Difference(body, holes) if holes else body


def _base(box: BoxPlan, boards: BoardBox) -> Piece:
    recipe = board_base_recipe(box, boards)
    turn = TURNED_OVER if box.is_standing else AS_IT_STANDS
    return replace(printed("base", "base", mesh_solid(recipe), recipe, turn), material="board")


def _wall(box: BoxPlan, wall: BoardPiece, panel: Panel) -> Piece:
    recipe = box.slab(wall.rect, 0.0, wall.height_mm)
    inward = (-panel.outward[0], -panel.outward[1], 0.0)
    piece = printed(wall.name, "wall", mesh_solid(recipe), recipe, rotation_to_z(inward))
    return replace(piece, material="board")
