"""Lists as people write them: the same rows in every form, and one sentence for each mistake."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from moldgen.apps.list_file import number_from, require_known, rows_in
from moldgen.errors import JobError

Written = Callable[[str, str], Path]

TOML = '[[peg]]\nname = "short"\nlong_mm = "5"\n[[peg]]\nname = "long"\nlong_mm = "9.5"\n'
TABLE = "name,long_mm\nshort,5\nlong,9.5\n"
ROWS = [{"name": "short", "long_mm": "5"}, {"name": "long", "long_mm": "9.5"}]


@pytest.mark.parametrize(
    ("name", "text"),
    [
        pytest.param("pegs.toml", TOML, id="toml"),
        pytest.param("pegs.csv", TABLE, id="csv"),
        pytest.param("pegs.csv", TABLE.replace(",", ";"), id="csv with semicolons"),
        pytest.param("pegs.csv", "\ufeff" + TABLE, id="csv with a byte order mark"),
        pytest.param("pegs.csv", TABLE + ",\n", id="csv with an empty row"),
        pytest.param("PEGS.CSV", TABLE, id="csv in capitals"),
    ],
)
def test_the_same_rows_in_every_form(written: Written, name: str, text: str) -> None:
    assert rows_in(written(name, text), "peg") == ROWS


@pytest.mark.parametrize(
    ("name", "text", "says"),
    [
        pytest.param("a.toml", "[[peg", "is not valid TOML", id="not toml"),
        pytest.param("a.toml", "peg = 3", r"written as \[\[peg\]\]", id="no tables"),
        pytest.param("a.toml", "hole = 1", "hole is not a known key", id="stray key"),
        pytest.param("a.toml", "", "a.toml holds no peg", id="empty toml"),
        pytest.param("a.csv", "name,long_mm\n", "a.csv holds no peg", id="empty csv"),
    ],
)
def test_a_broken_list_is_one_sentence(written: Written, name: str, text: str, says: str) -> None:
    with pytest.raises(JobError, match=says):
        rows_in(written(name, text), "peg")


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(JobError, match=r"none\.csv cannot be read"):
        rows_in(tmp_path / "none.csv", "peg")


def test_a_file_in_another_encoding(tmp_path: Path) -> None:
    (tmp_path / "a.csv").write_bytes(b"name\ncaf\xe9\n")
    with pytest.raises(JobError, match=r"a\.csv is not UTF-8 text"):
        rows_in(tmp_path / "a.csv", "peg")


@pytest.mark.parametrize(
    ("row", "says"),
    [
        pytest.param({"lnog_mm": "5"}, "lnog_mm is not known: did you mean long_mm", id="misspelt"),
        pytest.param({"": "5"}, "a column without a name is not known", id="no name"),
        pytest.param({"name": "a"}, "long_mm is missing", id="missing"),
        pytest.param({"long_mm": ""}, "long_mm is missing", id="blank"),
    ],
)
def test_a_row_that_is_not_known_or_not_whole(row: dict[str, str], says: str) -> None:
    with pytest.raises(JobError, match=says):
        require_known(row, ("name", "long_mm"), ("long_mm",), "pegs.csv, peg 1")


@pytest.mark.parametrize("value", ["wide", None, True, [1]], ids=repr)
def test_what_is_no_number_is_refused_with_its_place(value: object) -> None:
    with pytest.raises(JobError, match=r"peg 1: long_mm is .*, a number in mm is needed"):
        number_from(value, "peg 1", "long_mm")
