"""The rack as people write it: a TOML file of [[board]] tables, or a CSV table with a head.

[[board]]                        name,length_mm,width_mm,thickness_mm,material,count,stock,grain
name = "shelf"                   shelf,600,200,12,plywood,2,scrap,yes
length_mm = 600
"""

from __future__ import annotations

import csv
import dataclasses
import difflib
import io
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any, TypeAlias

from moldgen.errors import JobError
from moldgen.job.rack import Board, Rack, Stock

Row: TypeAlias = Mapping[str, Any]

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
    try:
        text = path.read_text(encoding="utf-8-sig")
    except OSError as error:
        raise JobError(f"{path.name} cannot be read: {error.strerror}") from error
    except UnicodeDecodeError as error:
        raise JobError(f"{path.name} is not UTF-8 text: save it as UTF-8") from error
    rows = _csv_rows(text) if path.suffix.lower() == ".csv" else _toml_rows(text, path.name)
    if not rows:
        raise JobError(f"{path.name} holds no board: write one [[board]] or one row for each")
    return Rack(
        tuple(_board(row, f"{path.name}, board {i}", i) for i, row in enumerate(rows, start=1)),
        path,
    )


def _toml_rows(text: str, name: str) -> list[Row]:
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise JobError(f"{name} is not valid TOML: {error}") from error
    strange = sorted(set(tables) - {"board"})
    if strange:
        raise JobError(f"{name}: {strange[0]} is not a known key: boards are [[board]] tables")
    rows = tables.get("board", [])
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        raise JobError(f"{name}: boards are written as [[board]] tables")
    return rows


def _csv_rows(text: str) -> list[Row]:
    first = text.partition("\n")[0]
    reader = csv.DictReader(io.StringIO(text), delimiter=";" if ";" in first else ",")
    rows = [{(k or "").strip(): v for k, v in row.items()} for row in reader]
    return [row for row in rows if any(isinstance(v, str) and v.strip() for v in row.values())]


def _board(row: Row, where: str, number: int) -> Board:
    for key in row:
        if key not in KEYS:
            near = difflib.get_close_matches(key, KEYS, n=1, cutoff=0.4)
            hint = f"did you mean {near[0]}?" if near else f"known are {', '.join(KEYS)}"
            raise JobError(f"{where}: {key or 'a column without a name'} is not known: {hint}")
    for key in NEEDED:
        if row.get(key) in (None, ""):
            raise JobError(f"{where}: {key} is missing")
    long, wide, thick = (_number(row[key], where, key) for key in SIZES)
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


def _number(value: Any, where: str, key: str) -> float:
    try:
        if isinstance(value, bool):
            raise ValueError
        return float(value)
    except (TypeError, ValueError):
        raise JobError(f"{where}: {key} is {value!r}, a number in mm is needed") from None


def _count(value: Any, where: str) -> int:
    if value in (None, ""):
        return 1
    number = _number(value, where, "count")
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
