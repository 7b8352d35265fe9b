"""The drawings of the boards in the folder's `router`: written, read back, held to the plan."""

from __future__ import annotations

from pathlib import Path

from moldgen.errors import CheckError
from moldgen.files.dxf import read_dxf, require_same_sheet, write_dxf
from moldgen.plan.box import plan_box
from moldgen.plan.flat import FlatSheet
from moldgen.plan.flat_boards import flat_sheets
from moldgen.plan.nouns import MoldPlan

ROOM = "router"


def board_sheets(plan: MoldPlan) -> tuple[FlatSheet, ...]:
    """One drawing a board of the box; none where the box is printed."""
    if plan.boards is None:
        return ()
    return flat_sheets(plan.boards, plan_box(plan).formers, plan.job.printing.fit_mm)


def write_router(folder: Path, plan: MoldPlan) -> dict[str, str]:
    """Write every board's drawing; which piece is on which.

    Parameters
    ----------
    folder : Path
    plan : MoldPlan
    """
    files: dict[str, str] = {}
    sheets = board_sheets(plan)
    if sheets:
        (folder / ROOM).mkdir()
    for sheet in sheets:
        place = f"{ROOM}/{sheet.name}.dxf"
        write_dxf(folder / place, sheet)
        files |= {label.text: place for label in sheet.labels}
    return files


def prove_router(folder: Path, plan: MoldPlan) -> None:
    """Read every board's drawing back.

    Parameters
    ----------
    folder : Path
    plan : MoldPlan

    Raises
    ------
    CheckError
        If one is missing, has an error, or holds other outlines than were written.
    """
    for sheet in board_sheets(plan):
        path = folder / ROOM / f"{sheet.name}.dxf"
        if not path.is_file():
            raise CheckError(f"{ROOM}/{path.name} was not written")
        require_same_sheet(f"{ROOM}/{path.name}", read_dxf(path), sheet)
