"""Show faces as people write them, on the command line or in the job file.

--show-face "sphere 0 0 10 8"          [[show_faces]]
                                       sphere = { center = [0, 0, 10], radius = 8 }
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from math import isfinite
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeAlias

from moldgen.errors import JobError, PartError
from moldgen.job.show_faces import (
    WITHIN_MM,
    ColoredFace,
    InBox,
    InSphere,
    NamedFace,
    NearPatch,
    NearPoint,
    ShowFace,
)

if TYPE_CHECKING:
    from moldgen.geometry.mesh import Mesh
    from moldgen.geometry.recipe import Point3
    from moldgen.job.job import Job

Table: TypeAlias = dict[str, Any]

FORMS = {
    "box": ("box X0 Y0 Z0 X1 Y1 Z1", "box = { low = [X, Y, Z], high = [X, Y, Z] }"),
    "sphere": ("sphere X Y Z R", "sphere = { center = [X, Y, Z], radius = R }"),
    "point": ("point X Y Z R", "point = { at = [X, Y, Z], radius = R }"),
    "patch": ("patch FILE.stl [MM]", 'patch = { file = "FILE.stl", within = MM }'),
    "name": ("name NAME", 'name = "NAME"'),
    "color": ("color RRGGBB", 'color = "RRGGBB"'),
}


def table_from(words: str) -> Table:
    """What the command line says, as the job file would.

    Parameters
    ----------
    words : str
        One of the left forms of `FORMS`; places in mm of the part before its scale.

    Raises
    ------
    JobError
        If the words are none of the forms.
    """
    kind, _, rest = words.strip().partition(" ")
    match kind:
        case "box":
            numbers = _numbers(words, kind, rest, 6)
            return {kind: {"low": numbers[:3], "high": numbers[3:]}}
        case "sphere" | "point":
            numbers = _numbers(words, kind, rest, 4)
            middle = "center" if kind == "sphere" else "at"
            return {kind: {middle: numbers[:3], "radius": numbers[3]}}
        case "patch":
            return {kind: _patch_table(rest.strip())}
        case "name" | "color":
            return {kind: rest.strip()}
    known = ", ".join(f'"{form}"' for form, _ in FORMS.values())
    raise JobError(f"--show-face '{words}' is none of {known}")


def _numbers(words: str, kind: str, rest: str, count: int) -> list[float]:
    try:
        numbers = [float(word) for word in rest.split()]
    except ValueError:
        numbers = []
    if len(numbers) != count:
        raise JobError(f"--show-face '{words}' needs {count} numbers: \"{FORMS[kind][0]}\"")
    return numbers


def _patch_table(rest: str) -> Table:
    found = re.fullmatch(r"(.+?)\s+([0-9.]+)", rest)
    return {"file": found[1], "within": float(found[2])} if found else {"file": rest}


def mark_from(table: object, source: str) -> ShowFace:
    """The mark that one table of the job file makes.

    Parameters
    ----------
    table : dict
        One of the right forms of `FORMS`.
    source : str
        What an error message calls the place it stands in.

    Raises
    ------
    JobError
        If it is none of the forms, a number is not finite, a size is not above 0, or a patch
        cannot be read.
    """
    if not isinstance(table, dict) or len(table) != 1 or next(iter(table)) not in FORMS:
        forms = " or ".join(form for _, form in FORMS.values())
        raise JobError(f"{source}: a show face is {forms}, and not {table!r}")
    (kind, value) = next(iter(table.items()))
    try:
        return _mark(kind, value)
    except (TypeError, ValueError, KeyError) as error:
        why = f": {error}" if type(error) is ValueError else ""
        raise JobError(
            f"{source}: the show face {kind} is {value!r}, and should read {FORMS[kind][1]}{why}"
        ) from None


def _mark(kind: str, value: Any) -> ShowFace:
    match kind:
        case "box":
            low, high = _values(value, ("low", "high"))
            return _box(_point(low), _point(high))
        case "sphere":
            center, radius = _values(value, ("center", "radius"))
            return InSphere(_point(center), _size(radius))
        case "point":
            place, radius = _values(value, ("at", "radius"))
            return NearPoint(_point(place), _size(radius))
        case "patch":
            file, within = _values({"within": WITHIN_MM, **value}, ("file", "within"))
            return NearPatch(_word(file), _read_patch(Path(file)), _size(within))
        case "name":
            return NamedFace(_word(value))
        case _:
            return ColoredFace(_color(value))


def _values(table: Table, keys: Sequence[str]) -> list[Any]:
    if set(table) != set(keys):
        raise KeyError
    return [table[key] for key in keys]


def _point(value: Any) -> Point3:
    x, y, z = (_number(step) for step in value)
    return (x, y, z)


def _number(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise TypeError
    if not isfinite(value):
        raise ValueError("a number is not finite")
    return float(value)


def _size(value: Any) -> float:
    size = _number(value)
    if size <= 0.0:
        raise ValueError("a size must be above 0")
    return size


def _box(low: Point3, high: Point3) -> InBox:
    if any(a > b for a, b in zip(low, high, strict=True)):
        raise ValueError("its low corner must not lie above its high one")
    return InBox(low, high)


def _word(value: Any) -> str:
    if not isinstance(value, str):
        raise TypeError
    if not value:
        raise ValueError("it is empty")
    return value


def _color(value: Any) -> str:
    found = re.fullmatch(r"#?([0-9A-Fa-f]{6})", _word(value))
    if not found:
        raise ValueError("a color is six hexadecimal digits")
    return found[1].upper()


def _read_patch(path: Path) -> Mesh:
    from moldgen.files.read_patch import read_patch

    try:
        return read_patch(path)
    except PartError as error:
        raise JobError(f"the patch of a show face, {error}") from error


def patch_files(job: Job) -> list[Path]:
    """The files of a job's patches."""
    return [Path(mark.file) for mark in job.show_faces if isinstance(mark, NearPatch)]


def beside(tables: object, folder: Path) -> object:
    """Tables of a job file, their patches taken to lie beside it."""
    if not isinstance(tables, list):
        return tables
    return [_beside(table, folder) for table in tables]


def _beside(table: object, folder: Path) -> object:
    patch = table.get("patch") if isinstance(table, dict) else None
    if not isinstance(patch, dict) or not isinstance(patch.get("file"), str):
        return table
    return {"patch": {**patch, "file": str(folder / patch["file"])}}
