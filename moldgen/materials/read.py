"""Read materials: those that the package carries, and a maker's own file put over them.

[rubber.shelf-tin]
like = "condensation-silicone"
density_g_cm3 = 1.14
mix = { hardener_parts = 3 }
"""

from __future__ import annotations

import dataclasses
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from enum import Enum
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any, TypeAlias, TypeVar

from moldgen.errors import JobError
from moldgen.materials.kinds import (
    CastingResin,
    Chemistry,
    Figure,
    First,
    Material,
    Mix,
    MixBy,
    MoldRubber,
    PotLife,
    allowed,
)

Table: TypeAlias = dict[str, Any]
M = TypeVar("M", bound=Material)
E = TypeVar("E", bound=Enum)

KINDS: dict[str, type[Material]] = {"rubber": MoldRubber, "resin": CastingResin}
CHOICES: dict[str, type[Enum]] = {
    "chemistry": Chemistry,
    "pot_life": PotLife,
    "by": MixBy,
    "first": First,
}


@dataclass(frozen=True)
class Shelf:
    """The materials at hand, by name."""

    rubbers: Mapping[str, MoldRubber]
    resins: Mapping[str, CastingResin]

    def rubber(self, name: str) -> MoldRubber:
        """The mold rubber of a name.

        Raises
        ------
        JobError
            If there is none.
        """
        return _pick(self.rubbers, name, "rubber")

    def resin(self, name: str) -> CastingResin:
        """The casting resin of a name.

        Raises
        ------
        JobError
            If there is none.
        """
        return _pick(self.resins, name, "resin")


def rubber(name: str) -> MoldRubber:
    """The mold rubber of a name, of those that the package carries.

    Raises
    ------
    JobError
        If there is none.
    """
    return shelf().rubber(name)


def resin(name: str) -> CastingResin:
    """The casting resin of a name, of those that the package carries.

    Raises
    ------
    JobError
        If there is none.
    """
    return shelf().resin(name)


def names() -> dict[str, tuple[str, ...]]:
    """Names of the "rubber" and "resin" classes that the package carries."""
    return {"rubber": tuple(shelf().rubbers), "resin": tuple(shelf().resins)}


def figures(name: str) -> dict[str, Figure]:
    """Every typical figure of a class by its key, with its range and source.

    Raises
    ------
    JobError
        If no class has that name.
    """
    tables = _own_tables()
    row = _pick({**tables["rubber"], **tables["resin"]}, name, "material")
    return {
        key: Figure(v["value"], v["range"][0], v["range"][1], v["source"])
        for key, v in row.items()
        if isinstance(v, dict) and "value" in v
    }


@cache
def shelf() -> Shelf:
    """The materials that the package carries."""
    return _shelf(_own_tables(), "the package")


def read_materials(path: Path) -> Shelf:
    """The package's materials with a maker's TOML file put over them.

    Parameters
    ----------
    path : Path
        Tables [rubber.NAME] and [resin.NAME]. A name of the package changes that class; a new
        name gives every key, or `like` and what differs.

    Raises
    ------
    JobError
        If the file cannot be read, or a key or value is not allowed.
    """
    tables = {kind: dict(rows) for kind, rows in _own_tables().items()}
    for kind, rows in _toml(path).items():
        if kind not in KINDS or not isinstance(rows, dict):
            raise JobError(
                f"{path.name}: [{kind}] is not known, allowed are [rubber.NAME], [resin.NAME]"
            )
        for name, row in rows.items():
            where = f"{path.name}: {kind}.{name}"
            tables[kind][name] = _laid_over(tables[kind], name, row, where)
    return _shelf(tables, path.name)


def texts(file: str) -> dict[str, Any]:
    """A table of sentences that the package carries: "cautions", "compatibility" or "sources"."""
    return _data(file)


def modulus_pa(panel: str) -> tuple[float, float]:
    """Stiffness in bending [Pa] and cross contraction [-] of what walls are made of.

    Raises
    ------
    JobError
        If no panel has that name.
    """
    row = _pick(_data("panels"), panel, "panel")
    return (row["modulus_gpa"]["value"] * 1e9, row["poisson"]["value"])


# from files to tables


@cache
def _data(file: str) -> Table:
    source = files("moldgen.materials") / "data" / f"{file}.toml"
    return tomllib.loads(source.read_text("utf-8"))


def _own_tables() -> dict[str, Table]:
    return {"rubber": _data("rubbers"), "resin": _data("resins")}


def _toml(path: Path) -> Table:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise JobError(f"{path.name} cannot be read: {error.strerror}") from error
    except UnicodeDecodeError as error:
        raise JobError(f"{path.name} is not UTF-8 text: save it as UTF-8") from error
    except tomllib.TOMLDecodeError as error:
        raise JobError(f"{path.name} is not valid TOML: {error}") from error


def _laid_over(rows: Table, name: str, row: Any, where: str) -> Table:
    """A maker's row over the class it changes or is like."""
    if not isinstance(row, dict):
        raise JobError(f"{where} is {row!r}, allowed is a table, [{where.split(': ')[1]}]")
    like = row.get("like", name)
    if "like" in row and not (isinstance(like, str) and like in rows):
        raise JobError(f"{where}.like is {like!r}, allowed is one of {', '.join(rows)}")
    base = rows.get(like, {})
    mix = row.get("mix", {})
    if not isinstance(mix, dict):
        raise JobError(
            f"{where}.mix is {mix!r}, allowed is a table, mix = {{ hardener_parts = 5 }}"
        )
    own = {key: value for key, value in row.items() if key not in ("like", "mix")}
    return {"title": name, **base, **own, "mix": {**base.get("mix", {}), **mix}}


# from tables to nouns


def _shelf(tables: dict[str, Table], source: str) -> Shelf:
    return Shelf(
        {
            n: _material(MoldRubber, n, r, f"{source}: rubber.{n}")
            for n, r in tables["rubber"].items()
        },
        {
            n: _material(CastingResin, n, r, f"{source}: resin.{n}")
            for n, r in tables["resin"].items()
        },
    )


def _material(kind: type[M], name: str, row: Table, where: str) -> M:
    if "name" in row:
        raise JobError(f"{where}.name is not a known key: the table's name is the material's")
    mix = _fields(Mix, row.get("mix", {}), f"{where}.mix")
    values = _fields(kind, {**row, "name": name, "mix": None}, where)
    values["cautions"] = _hazards(row, where)
    try:
        return kind(**{**values, "mix": Mix(**mix)})
    except JobError as error:
        raise JobError(f"{where.split(': ')[0]}: {error}") from None


def _fields(kind: type, row: Table, where: str) -> Table:
    """The row's values by the noun's fields, with choices as members of their Enum."""
    fields = {f.name: f for f in dataclasses.fields(kind)}
    for key in row:
        if key not in fields and key != "source":
            raise JobError(f"{where}.{key} is not a known key{_near(key, fields)}")
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
        value = value.get("value")
    if field.name in CHOICES:
        return _choice(CHOICES[field.name], value, where)
    number = isinstance(value, int | float) and not isinstance(value, bool)
    if "low" in field.metadata and not number:
        raise JobError(f"{where} is {value!r}, allowed is {allowed(field)}")
    if field.type == "str" and not isinstance(value, str):
        raise JobError(f"{where} is {value!r}, allowed is text in quotes")
    return float(value) if "low" in field.metadata else value


def _choice(kind: type[E], value: Any, where: str) -> E:
    if value not in [member.value for member in kind]:
        words = " or ".join(f'"{member.value}"' for member in kind)
        raise JobError(f"{where} is {value!r}, allowed is {words}")
    return kind(value)


def _hazards(row: Table, where: str) -> tuple[str, ...]:
    named = row.get("cautions", [])
    known = _data("cautions")
    if not isinstance(named, list) or not all(isinstance(h, str) and h in known for h in named):
        raise JobError(f"{where}.cautions is {named!r}, allowed is a list of {', '.join(known)}")
    return tuple(named)


V = TypeVar("V")


def _pick(rows: Mapping[str, V], name: str, what: str) -> V:
    if name not in rows:
        raise JobError(f"no {what} is called {name!r}{_near(name, rows)}")
    return rows[name]


def _near(name: str, known: Mapping[str, Any]) -> str:
    near = get_close_matches(name, known, n=1)
    return f": did you mean {near[0]}?" if near else f": known are {', '.join(known)}"
