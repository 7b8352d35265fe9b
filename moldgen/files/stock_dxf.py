"""The drawings of blanks in the folder's `router`: written, read back, held to the plan."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from moldgen.errors import CheckError
from moldgen.files.dxf import read_dxf, require_same_sheet, write_dxf
from moldgen.plan.stock import Blank, blank_sheet


def write_blanks(room: Path, blanks: Sequence[Blank]) -> dict[str, str]:
    """Write a drawing for each blank; which half is on which.

    Parameters
    ----------
    room : Path
        The folder for the router, which exists.
    blanks : sequence of Blank
    """
    files = {}
    for blank in blanks:
        sheet = blank_sheet(blank)
        write_dxf(room / f"{sheet.name}.dxf", sheet)
        files[blank.name] = f"{room.name}/{sheet.name}.dxf"
    return files


def prove_blanks(room: Path, blanks: Sequence[Blank]) -> None:
    """Read every blank's drawing back.

    Parameters
    ----------
    room : Path
    blanks : sequence of Blank

    Raises
    ------
    CheckError
        If one is missing, has an error, or holds other outlines than were written.
    """
    for blank in blanks:
        sheet = blank_sheet(blank)
        path = room / f"{sheet.name}.dxf"
        if not path.is_file():
            raise CheckError(f"{room.name}/{path.name} was not written")
        require_same_sheet(f"{room.name}/{path.name}", read_dxf(path), sheet)
