"""Files that a maker writes: their text and tables, or one sentence on what is wrong."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

from moldgen.errors import JobError


def text_in(path: Path, encoding: str = "utf-8") -> str:
    """The text of a file.

    Raises
    ------
    JobError
        If it cannot be read, or is no UTF-8.
    """
    try:
        return path.read_text(encoding=encoding)
    except OSError as error:
        raise JobError(f"{path.name} cannot be read: {error.strerror}") from error
    except UnicodeDecodeError as error:
        raise JobError(f"{path.name} is not UTF-8 text: save it as UTF-8") from error


def tables_in(text: str, name: str) -> dict[str, Any]:
    """The tables of a TOML text.

    Parameters
    ----------
    text : str
    name : str
        Of its file, for an error message.

    Raises
    ------
    JobError
        If it is not valid TOML.
    """
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise JobError(f"{name} is not valid TOML: {error}") from error
