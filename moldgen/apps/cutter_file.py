"""The cutters as people write them: a TOML file of [[cutter]] tables, or a CSV table with a head.

[[cutter]]                name,shape,diameter_mm,free_length_mm,holder_diameter_mm,edge_radius_mm
name = "long ball"        long ball,ball,3,25,20,
shape = "ball"
diameter_mm = 3
free_length_mm = 25
"""

from __future__ import annotations

import dataclasses
from pathlib import Path

from moldgen.apps.list_file import Row, number_from, require_known, rows_in
from moldgen.errors import JobError
from moldgen.job.cutters import Cutter, CutterList, CutterShape

KEYS = tuple(f.name for f in dataclasses.fields(Cutter))
NEEDED = ("shape", "diameter_mm", "free_length_mm")
SIZES = KEYS[2:]


def read_cutters(path: Path) -> CutterList:
    """The cutters in a file.

    Parameters
    ----------
    path : Path
        `.csv` is read as a table, anything else as TOML; lengths in mm.

    Raises
    ------
    JobError
        If it cannot be read, holds no cutter, or a cutter is not described whole.
    """
    rows = rows_in(path, "cutter")
    cutters = tuple(_cutter(row, f"{path.name}, cutter {i}") for i, row in enumerate(rows, start=1))
    try:
        return CutterList(cutters, path)
    except JobError as error:
        raise JobError(f"{path.name}: {error}") from None


def _cutter(row: Row, where: str) -> Cutter:
    require_known(row, KEYS, NEEDED, where)
    sizes = {
        key: number_from(row[key], where, key) for key in SIZES if row.get(key) not in (None, "")
    }
    shape = _shape(row["shape"], where)
    name = str(row.get("name") or f"{shape.value} {sizes['diameter_mm']:g}").strip()
    try:
        return Cutter(name, shape, **sizes)
    except JobError as error:
        raise JobError(f"{where}: {error}") from None


def _shape(value: object, where: str) -> CutterShape:
    try:
        return CutterShape(str(value).strip().lower())
    except ValueError:
        allowed = ", ".join(f'"{shape.value}"' for shape in CutterShape)
        raise JobError(f"{where}: shape is {value!r}, allowed is one of {allowed}") from None
