"""The rack as people write it: a TOML file of [[board]] tables, or a CSV table with a head.

[[board]]                        name,length_mm,width_mm,thickness_mm,material,count,stock,grain
name = "shelf"                   shelf,600,200,12,plywood,2,scrap,yes
length_mm = 600
"""

from __future__ import annotations

import dataclasses
from pathlib import Path
from typing import Any

from moldgen.apps.list_file import Row, number_from, require_known, rows_in
from moldgen.errors import JobError
from moldgen.job.rack import Board, Rack, Stock

KEYS = tuple(field.name for field in dataclasses.fields(Board))
NEEDED = KEYS[1:5]
SIZES = KEYS[1:4]
YES, NO = ("yes", "true", "1"), ("no", "false", "0", "")


def read_rack(path: Path) -> Rack:
    """The boards in a file.

    Parameters
    ----------
    path : Path
        `.csv` is read as a table, anything else as TOML; lengths in mm.

    Raises
    ------
    JobError
        If it cannot be read, holds no board, or a board is not described whole.
    """
    rows = rows_in(path, "board")
    return Rack(
        tuple(_board(row, f"{path.name}, board {i}", i) for i, row in enumerate(rows, start=1)),
        path,
    )


def _board(row: Row, where: str, number: int) -> Board:
    require_known(row, KEYS, NEEDED, where)
    long, wide, thick = (number_from(row[key], where, key) for key in SIZES)
    name = str(row.get("name") or f"board-{number}").strip()
    try:
        return Board(
            name,
            long,
            wide,
            thick,
            str(row["material"]).strip(),
            count=_count(row.get("count"), where),
            stock=_stock(row.get("stock"), where),
            grain=_yes(row.get("grain"), where),
        )
    except JobError as error:
        raise JobError(f"{where}: {error}") from None


def _count(value: Any, where: str) -> int:
    if value in (None, ""):
        return 1
    number = number_from(value, where, "count")
    if not number.is_integer() or number < 0:
        raise JobError(f"{where}: count is {value!r}, a whole number is needed")
    return int(number)


def _stock(value: Any, where: str) -> Stock:
    if value in (None, ""):
        return Stock.SCRAP
    try:
        return Stock(str(value).strip().lower())
    except ValueError:
        raise JobError(f'{where}: stock is {value!r}, allowed is "scrap" or "sheet"') from None


def _yes(value: Any, where: str) -> bool:
    word = "" if value is None else str(value).strip().lower()
    if word not in (*YES, *NO):
        raise JobError(f"{where}: grain is {value!r}, allowed is yes or no")
    return word in YES
