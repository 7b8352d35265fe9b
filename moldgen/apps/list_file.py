"""Lists as people write them: a TOML file of [[noun]] tables, or a CSV table with a head."""

from __future__ import annotations

import csv
import difflib
import io
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, TypeAlias

from moldgen.errors import JobError
from moldgen.materials.own_file import tables_in, text_in

Row: TypeAlias = Mapping[str, Any]


def rows_in(path: Path, noun: str) -> list[Row]:
    """The rows of a list.

    Parameters
    ----------
    path : Path
        `.csv` is read as a table, anything else as TOML.
    noun : str
        What a row is: the name of its TOML tables.

    Raises
    ------
    JobError
        If it cannot be read or holds no row.
    """
    text = text_in(path, "utf-8-sig")  # spreadsheets write a byte order mark
    rows = _csv_rows(text) if path.suffix.lower() == ".csv" else _toml_rows(text, path.name, noun)
    if not rows:
        raise JobError(f"{path.name} holds no {noun}: write one [[{noun}]] or one row for each")
    return rows


def require_known(row: Row, known: Sequence[str], needed: Sequence[str], where: str) -> None:
    """Refuse a row with a key that is not known, or without one that is needed.

    Raises
    ------
    JobError
    """
    for key in row:
        if key not in known:
            near = difflib.get_close_matches(key, known, n=1, cutoff=0.4)
            hint = f"did you mean {near[0]}?" if near else f"known are {', '.join(known)}"
            raise JobError(f"{where}: {key or 'a column without a name'} is not known: {hint}")
    for key in needed:
        if row.get(key) in (None, ""):
            raise JobError(f"{where}: {key} is missing")


def number_from(value: Any, where: str, key: str) -> float:
    """A number in a cell, in the unit of its key [-].

    Raises
    ------
    JobError
    """
    try:
        if isinstance(value, bool):
            raise ValueError
        return float(value)
    except (TypeError, ValueError):
        raise JobError(f"{where}: {key} is {value!r}, a number in mm is needed") from None


def _toml_rows(text: str, name: str, noun: str) -> list[Row]:
    tables = tables_in(text, name)
    strange = sorted(set(tables) - {noun})
    if strange:
        raise JobError(f"{name}: {strange[0]} is not a known key: {noun}s are [[{noun}]] tables")
    rows = tables.get(noun, [])
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        raise JobError(f"{name}: {noun}s are written as [[{noun}]] tables")
    return rows


def _csv_rows(text: str) -> list[Row]:
    first = text.partition("\n")[0]
    reader = csv.DictReader(io.StringIO(text), delimiter=";" if ";" in first else ",")
    rows = [{(k or "").strip(): v for k, v in row.items()} for row in reader]
    return [row for row in rows if any(isinstance(v, str) and v.strip() for v in row.values())]
