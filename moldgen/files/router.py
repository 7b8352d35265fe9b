"""The drawings of boards and blanks in the folder's `router`: written, read back, held to the
plan."""

from __future__ import annotations

from pathlib import Path

from moldgen.errors import CheckError
from moldgen.files.dxf import read_dxf, require_same_sheet, write_dxf
from moldgen.files.stock_dxf import prove_blanks, write_blanks
from moldgen.plan.flat_sheets import board_sheets
from moldgen.plan.nouns import MoldPlan

ROOM = "router"


def write_router(folder: Path, plan: MoldPlan) -> dict[str, str]:
    """Write the drawing of every board and blank; which piece is on which.

    Parameters
    ----------
    folder : Path
    plan : MoldPlan
    """
    files: dict[str, str] = {}
    sheets = board_sheets(plan)
    if sheets or plan.routed:
        (folder / ROOM).mkdir(exist_ok=True)
    for sheet in sheets:
        place = f"{ROOM}/{sheet.name}.dxf"
        write_dxf(folder / place, sheet)
        files |= {label.text: place for label in sheet.labels}
    return files | write_blanks(folder / ROOM, [half.blank for half in plan.routed])


def prove_router(folder: Path, plan: MoldPlan) -> None:
    """Read the drawing of every board and blank back.

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
    prove_blanks(folder / ROOM, [half.blank for half in plan.routed])
