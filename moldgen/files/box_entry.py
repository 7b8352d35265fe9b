"""What set.json says of the box: its pieces, the cut list, clamps and seams."""

from __future__ import annotations

from typing import Any

from moldgen.plan.board_nouns import BoardBox, BoardPiece, Clamp, Sawn
from moldgen.plan.guillotine import Cut, Part
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.routed_nouns import GROOVE_MM, RoutedBox

UM = 1000.0


def box_entry(plan: MoldPlan) -> dict[str, Any]:
    """The key `box`: only what it is made of where it is printed."""
    make = {"make": plan.job.box.make.value}
    return {**make, **_boards(plan.boards)} if plan.boards else make


def used_share(sawn: Sawn) -> float:
    """Share of a board that is in its pieces as they are needed [-]."""
    board = sawn.board
    parts = sum(p.size[0] * p.size[1] for p in sawn.layout.parts) / UM**2
    return parts / (board.length_mm * board.width_mm)


def _boards(box: BoardBox | RoutedBox) -> dict[str, Any]:
    return {
        **(_joints(box) if isinstance(box, RoutedBox) else {}),
        "kerf_mm": box.kerf_mm,
        "cuts": box.n_cuts,
        "pieces": [_piece(piece) for piece in box.pieces],
        "boards": [_board(i, sawn) for i, sawn in enumerate(box.sawn, start=1)],
        "clamps": [_clamp(clamp) for clamp in box.clamps],
        "seams": list(box.seams),
    }


def _joints(box: RoutedBox) -> dict[str, Any]:
    return {
        "cutter_mm": box.router.cutter_mm,
        "edge_mm": box.router.edge_mm,
        "joint_fit_mm": box.router.fit_mm,
        "groove_mm": GROOVE_MM,
        "fingers": len(box.edges_mm) + 1,
    }


def _piece(piece: BoardPiece) -> dict[str, Any]:
    long, wide, thick = piece.size_mm
    return {
        "name": piece.name,
        "board": piece.board.name,
        "size_mm": [long, wide, thick],
        "needs_mm": list(piece.needs_mm),
        "bow_mm": piece.bow_mm,
    }


def _board(number: int, sawn: Sawn) -> dict[str, Any]:
    board = sawn.board
    return {
        "drawing": f"board-{number}",
        "name": board.name,
        "size_mm": [board.length_mm, board.width_mm, board.thickness_mm],
        "material": board.material,
        "stock": board.stock.value,
        "used_share": 1.0 if sawn.keeps_rest else used_share(sawn),
        "pieces": list(sawn.pieces),
        "places": [_place(sawn, part) for part in sawn.layout.parts],
        "cuts": [_cut(cut) for cut in sawn.layout.cuts],
    }


def _place(sawn: Sawn, part: Part) -> dict[str, Any]:
    return {
        "name": sawn.pieces[part.need],
        "low_mm": [v / UM for v in part.low],
        "size_mm": [v / UM for v in part.size],
        "turned": part.turned,
    }


def _cut(cut: Cut) -> dict[str, Any]:
    return {
        "low_mm": [v / UM for v in cut.low],
        "size_mm": [v / UM for v in cut.size],
        "across": cut.axis == 0,
        "at_mm": cut.at / UM,
    }


def _clamp(clamp: Clamp) -> dict[str, Any]:
    return {
        "wall": clamp.wall,
        "other": clamp.other,
        "opening_mm": clamp.opening_mm,
        "force_n": clamp.force_n,
    }
