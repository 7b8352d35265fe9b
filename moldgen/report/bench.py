"""The pieces of a set as they stand on the bench while rubber is poured."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from moldgen.build.nouns import MoldSet, Piece
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.rigid import placement
from moldgen.job.job import Arrangement
from moldgen.plan.nouns import Block, MoldPlan
from moldgen.plan.two_part_nouns import TO_PULL
from moldgen.report.broken import broken_off
from moldgen.report.inking import Color
from moldgen.report.pose_view import GATE, PART_FILL, VENT_FILL

BOARD_FILL: Color = (232, 231, 228)
MADE = ("print", "board")
FILLS = {"gate-cone": GATE, "outlet-rod": VENT_FILL}


def fill_of(role: str) -> Color:
    """The color of a piece that is made, by its role."""
    return FILLS.get(role, BOARD_FILL)


@dataclass(frozen=True, eq=False)
class BenchPiece:
    """A piece as it stands on the bench while rubber is poured."""

    name: str
    role: str
    mesh: Mesh
    whole_mm: float | None = None  # its length where it is drawn broken off

    @property
    def label(self) -> str:
        """Its name, and its length where that is not what is drawn."""
        return self.name if self.whole_mm is None else f"{self.name},\n{self.whole_mm:.0f} mm long"

    @property
    def fill(self) -> Color:
        """Its color on the picture."""
        return PART_FILL if self.role == "part" else fill_of(self.role)

    def moved(self, offset: FloatArray) -> BenchPiece:
        """The piece pushed aside by (3,) [mm]."""
        return replace(self, mesh=self.mesh.moved(placement(None, offset)))


def bench_frame(plan: MoldPlan) -> FloatArray:
    """Casting frame to the bench of the rubber pour, (4, 4): standing sets are turned over."""
    if plan.two_part:
        return TO_PULL
    if plan.arrangement is Arrangement.STANDING:
        return placement(np.diag([1.0, -1.0, -1.0]))
    return np.eye(4)


def bench_block(plan: MoldPlan) -> Block:
    """The block on the bench; rubber is poured up to its `high` z."""
    corners = np.array([plan.block.low, plan.block.high]) @ bench_frame(plan)[:3, :3].T
    low, high = corners.min(axis=0), corners.max(axis=0)
    return Block(tuple(low.tolist()), tuple(high.tolist()))


def standing_pieces(mold_set: MoldSet) -> list[BenchPiece]:
    """Every piece that is made, and the part, on the bench."""
    frame = bench_frame(mold_set.plan)
    made = [p for p in mold_set.whole_pieces if p.material in MADE and p.role != "stock"]
    names = {split.whole.name: f"\n(in {len(split.parts)} parts)" for split in mold_set.splits}
    pieces = [
        BenchPiece(_name(p) + names.get(p.name, ""), p.role, p.in_casting_frame.moved(frame))
        for p in made
    ]
    return [*pieces, BenchPiece("part", "part", mold_set.plan.mesh.moved(frame))]


def _name(piece: Piece) -> str:
    return piece.name if piece.count == 1 else f"{piece.name} ×{piece.count}"


def shown(piece: BenchPiece, block: Block) -> BenchPiece:
    """Long boards broken off, so that the box is what fills the picture."""
    if piece.role not in ("wall", "base"):
        return piece
    mesh = broken_off(piece.mesh, block)
    if mesh is piece.mesh:
        return piece
    low, high = piece.mesh.bounds
    return replace(piece, mesh=mesh, whole_mm=float((high - low).max()))
