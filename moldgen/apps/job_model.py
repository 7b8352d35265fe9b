"""The job's own dataclasses as models, with ranges and without unknown keys.

What does not fit is told in one sentence with the key and what is allowed.
"""

from __future__ import annotations

import dataclasses
import difflib
from typing import Annotated, Any, TypeAlias

from pydantic import ConfigDict, Field, TypeAdapter, ValidationError, create_model

from moldgen.apps.job_keys import (
    CHOICES,
    FILES,
    PERIMETERS,
    RANGES,
    ROOM_MM,
    SINGLE,
    TABLES,
    allowed,
    known_keys,
)
from moldgen.errors import JobError
from moldgen.job.job import Job
from moldgen.job.ranking import Criterion

Wishes: TypeAlias = dict[str, Any]

_STRICT = ConfigDict(extra="forbid", strict=True)


def _ranged(key: str, default: Any) -> Any:
    """The type of a wish; one whose default is None may be left to moldgen."""
    if key == "ranking.order":
        return Annotated[tuple[Annotated[Criterion, Field(strict=False)], ...], Field(strict=False)]
    if key in CHOICES:
        choice: Any = Annotated[CHOICES[key], Field(strict=False)]
        return choice | None if default is None else choice
    if key == "printing.room_mm":
        side = Annotated[float, Field(ge=ROOM_MM[0], le=ROOM_MM[1], allow_inf_nan=False)]
        return Annotated[tuple[side, side, side], Field(strict=False)]
    if key == "printing.perimeters":
        return Annotated[int, Field(ge=PERIMETERS[0], le=PERIMETERS[1])]
    if key == "two_part.pull":
        step = Annotated[float, Field(allow_inf_nan=False)]
        return Annotated[tuple[step, step, step], Field(strict=False)] | None
    if key not in RANGES:
        return type(default)
    low, high = RANGES[key]
    number = Annotated[float, Field(ge=low, le=high, allow_inf_nan=False)]
    return number | None if default is None else number


def _table_model(name: str, wishes: type) -> Any:
    fields: dict[str, Any] = {
        f.name: (_ranged(f"{name}.{f.name}", f.default), f.default)
        for f in dataclasses.fields(wishes)
    }
    return create_model(wishes.__name__, __config__=_STRICT, **fields)


def _job_model() -> Any:
    fields: dict[str, Any] = {
        **{key: (_ranged(key, getattr(Job, key)), getattr(Job, key)) for key in SINGLE},
        **dict.fromkeys(FILES, (str | None, None)),
    }
    for name, wishes in TABLES.items():
        model = _table_model(name, wishes)
        fields[name] = (model, model())
    return create_model("Job", __config__=_STRICT, **fields)


_MODEL = TypeAdapter(_job_model())


def typed(wishes: Wishes, source: str) -> Any:
    """A tree of wishes as a model: every key known, every value of its type and in its range.

    Parameters
    ----------
    wishes : dict
        As TOML gives it, without show faces.
    source : str
        What an error message calls the place the wishes stand in.

    Raises
    ------
    JobError
        If a key is unknown or a value is not allowed.
    """
    try:
        return _MODEL.validate_python(wishes)
    except ValidationError as error:
        raise JobError(f"{source}: {_sentence(error.errors()[0])}") from None


def _sentence(error: Any) -> str:
    key = ".".join(step for step in error["loc"] if isinstance(step, str))
    if error["type"] == "extra_forbidden":
        return _unknown(key)
    return f"{key} is {error['input']!r}, allowed is {allowed(key)}"


def _unknown(key: str) -> str:
    known = known_keys()
    near = difflib.get_close_matches(key, known, n=1, cutoff=0.5)
    hint = f"did you mean {near[0]}?" if near else f"known are {', '.join(known)}"
    return f"{key} is not a known key: {hint}"
