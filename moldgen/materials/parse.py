"""From tables of TOML to materials: every key and value is held against its noun."""

from __future__ import annotations

import dataclasses
from collections.abc import Collection
from enum import Enum
from typing import Any, TypeAlias, TypeVar

from moldgen.errors import JobError
from moldgen.materials.figures import Figure, allowed
from moldgen.materials.kinds import Chemistry, Material
from moldgen.materials.mix import First, Mix, MixBy
from moldgen.materials.pot_life import WHY_TOLD, PotLife
from moldgen.materials.shelf import near

Table: TypeAlias = dict[str, Any]
M = TypeVar("M", bound=Material)
E = TypeVar("E", bound=Enum)

CHOICES: dict[str, type[Enum]] = {
    "chemistry": Chemistry,
    "pot_life": PotLife,
    "by": MixBy,
    "first": First,
}
TOLD = "pot_life_told"
OWN = "own"  # the mark of a figure without range and source, see data/sources.toml


def laid_over(rows: Table, name: str, row: Any, where: str) -> Table:
    """A maker's row over the class it changes or is like.

    Raises
    ------
    JobError
        If it is no table, is like nothing known, or gives a pot life without its meaning.
    """
    if not isinstance(row, dict):
        raise JobError(f"{where} is {row!r}, allowed is a table, [{where.split(': ')[1]}]")
    if TOLD in row:
        raise JobError(f"{where}.{TOLD} is not a known key: give pot_life instead")
    like = row.get("like", name)
    if "like" in row and not (isinstance(like, str) and like in rows):
        raise JobError(f"{where}.like is {like!r}, allowed is one of {', '.join(rows)}")
    mix = row.get("mix", {})
    if not isinstance(mix, dict):
        raise JobError(
            f"{where}.mix is {mix!r}, allowed is a table, mix = {{ hardener_parts = 5 }}"
        )
    _require_meaning(row, where)
    base = rows.get(like, {"pot_life": PotLife.UNPOURABLE.value})
    own = {key: value for key, value in row.items() if key not in ("like", "mix")}
    if "pot_life" in own:
        own[TOLD] = True
    if like != name:
        own.setdefault("title", f"{base['title']} {name}")
    return {"title": name, **base, **own, "mix": {**base.get("mix", {}), **mix}}


def material_from(kind: type[M], name: str, row: Table, where: str, hazards: Collection[str]) -> M:
    """The material that a row describes.

    Parameters
    ----------
    kind : type
    name : str
    row : dict
    where : str
        What an error message calls the row, "file: rubber.NAME".
    hazards : collection of str
        Every hazard that has its words.

    Raises
    ------
    JobError
        If a key is not known or missing, or a value is not allowed.
    """
    if "name" in row:
        raise JobError(f"{where}.name is not a known key: the table's name is the material's")
    mix = _fields(Mix, row.get("mix", {}), f"{where}.mix")
    values = _fields(kind, {**row, "name": name, "mix": None}, where)
    values["cautions"] = _hazards(row, where, hazards)
    try:
        return kind(**{**values, "mix": Mix(**mix)})
    except JobError as error:
        raise JobError(f"{where.split(': ')[0]}: {error}") from None


def figures_from(kind: type[Material], row: Table) -> dict[str, Figure]:
    """Every typical figure of a row by its key.

    Parameters
    ----------
    kind : type
    row : dict
        A row that `material_from` takes.
    """
    numbers = (f.name for f in dataclasses.fields(kind) if "low" in f.metadata)
    return {key: _figure(row[key]) for key in numbers if key in row}


def _figure(value: Any) -> Figure:
    if not isinstance(value, dict):
        return Figure(float(value), None, None, OWN)
    low, high = value.get("range", (None, None))
    return Figure(float(value["value"]), low, high, value.get("source", OWN))


def _require_meaning(row: Table, where: str) -> None:
    if "pot_life_min" in row and "pot_life" not in row:
        raise JobError(f"{where}.pot_life_min comes without its meaning: {WHY_TOLD}")


def _fields(kind: type, row: Table, where: str) -> Table:
    """The row's values by the noun's fields, with choices as members of their Enum."""
    fields = {f.name: f for f in dataclasses.fields(kind)}
    for key in row:
        if key not in fields and key != "source":
            known = {name: f for name, f in fields.items() if name != TOLD}
            raise JobError(f"{where}.{key} is not a known key{near(key, known)}")
    values = {k: _value(fields[k], v, f"{where}.{k}") for k, v in row.items() if k in fields}
    for field in fields.values():
        if field.name in values or field.default is not dataclasses.MISSING:
            continue
        if "None" not in str(field.type):
            raise JobError(f"{where} lacks {field.name}: give it, or start from a class with like")
        values[field.name] = None
    return values


def _value(field: dataclasses.Field[Any], value: Any, where: str) -> Any:
    if isinstance(value, dict):
        _check_figure(field, value, where)
        value = value.get("value")
    if field.name in CHOICES:
        return _choice(CHOICES[field.name], value, where)
    number = isinstance(value, int | float) and not isinstance(value, bool)
    if "low" in field.metadata and not number:
        raise JobError(f"{where} is {value!r}, allowed is {allowed(field)}")
    if field.type == "str" and not isinstance(value, str):
        raise JobError(f"{where} is {value!r}, allowed is text in quotes")
    return float(value) if "low" in field.metadata else value


def _check_figure(field: dataclasses.Field[Any], value: Table, where: str) -> None:
    """A figure as a table: { value = 1.1, range = [1.0, 1.2], source = "its data sheet" }."""
    if "low" not in field.metadata:
        return
    ends = value.get("range", [0.0, 1.0])
    pair = isinstance(ends, list) and len(ends) == 2 and all(type(e) in (int, float) for e in ends)
    if not pair or not ends[0] <= ends[1]:
        raise JobError(f"{where}.range is {ends!r}, allowed are two numbers, [low, high]")
    if not isinstance(value.get("source", ""), str):
        raise JobError(f"{where}.source is {value['source']!r}, allowed is text in quotes")


def _choice(kind: type[E], value: Any, where: str) -> E:
    if value not in [member.value for member in kind]:
        words = " or ".join(f'"{member.value}"' for member in kind)
        raise JobError(f"{where} is {value!r}, allowed is {words}")
    return kind(value)


def _hazards(row: Table, where: str, known: Collection[str]) -> tuple[str, ...]:
    named = row.get("cautions", [])
    if not isinstance(named, list) or not all(isinstance(h, str) and h in known for h in named):
        raise JobError(f"{where}.cautions is {named!r}, allowed is a list of {', '.join(known)}")
    return tuple(named)
