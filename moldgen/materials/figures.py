"""Figures of a material: the range that any such material keeps, and where a value comes from."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from typing import Any

from moldgen.errors import JobError


@dataclass(frozen=True)
class Figure:
    """A typical value, the range its class spans, and the mark of its source.

    Attributes
    ----------
    value, low, high : float
        In the unit that the figure's key ends in; low and high are None where a maker gave one
        number [-].
    source : str
        A key of data/sources.toml, or a maker's own words.
    """

    value: float
    low: float | None
    high: float | None
    source: str


def ranged(low: float, high: float, unit: str) -> Any:
    """A field whose number must lie in a range that any such material keeps.

    Parameters
    ----------
    low, high : float
        Its ends [-].
    unit : str
        Of the number, as a person reads it.
    """
    return dataclasses.field(metadata={"low": low, "high": high, "unit": unit})


def allowed(field: dataclasses.Field[Any]) -> str:
    """The range of a field in words.

    Examples
    --------
    >>> allowed(ranged(0.1, 5.0, "g/cm³"))
    'a number from 0.1 to 5 g/cm³'
    """
    data = field.metadata
    return f"a number from {data['low']:g} to {data['high']:g} {data['unit']}".rstrip()


def check_ranges(noun: Any, where: str) -> None:
    """Hold the fields of a noun to their ranges.

    Parameters
    ----------
    noun : dataclass
    where : str
        What an error message puts before the field's name.

    Raises
    ------
    JobError
        If a number is missing or out of its range.
    """
    for field in dataclasses.fields(noun):
        value = getattr(noun, field.name)
        optional = "None" in str(field.type)
        if "low" not in field.metadata or (value is None and optional):
            continue
        number = isinstance(value, int | float) and not isinstance(value, bool)
        if not number or not field.metadata["low"] <= value <= field.metadata["high"]:
            raise JobError(f"{where}{field.name} is {value!r}, allowed is {allowed(field)}")
