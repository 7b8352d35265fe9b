"""The rack as people write it: TOML or a table, and one sentence for each mistake."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from moldgen.apps.rack_file import read_rack
from moldgen.errors import JobError
from moldgen.job.rack import Board, Rack, Stock

Written = Callable[[str, str], Path]

SHELF = Board("shelf", 600.0, 200.0, 12.0, "plywood", 2, Stock.SCRAP, True)
SHEET = Board("sheet", 1200.0, 600.0, 6.0, "mdf", 1, Stock.SHEET)
TOML = """
[[board]]
name = "shelf"
length_mm = 600
width_mm = 200
thickness_mm = 12
material = "plywood"
count = 2
grain = true
[[board]]
name = "sheet"
length_mm = 1200.0
width_mm = 600
thickness_mm = 6
material = "mdf"
stock = "sheet"
"""
HEAD = "name,length_mm,width_mm,thickness_mm,material,count,stock,grain\n"
TABLE = HEAD + "shelf,600,200,12,plywood,2,scrap,yes\nsheet,1200,600,6,mdf,,sheet,\n"


@pytest.mark.parametrize(
    ("name", "text"),
    [
        pytest.param("boards.toml", TOML, id="toml"),
        pytest.param("boards.csv", TABLE, id="csv"),
    ],
)
def test_the_same_rack_in_every_form(written: Written, name: str, text: str) -> None:
    assert read_rack(written(name, text)) == Rack((SHELF, SHEET))


def row(**changed: str) -> str:
    plain = "a,600,200,12,mdf,1,scrap,no"
    cells = dict(zip(HEAD.strip().split(","), plain.split(","), strict=True))
    return HEAD + ",".join((cells | changed).values()) + "\n"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        pytest.param(row(length_mm="long"), "length_mm is 'long', a number in mm", id="no number"),
        pytest.param(row(width_mm="-3"), "width_mm is -3, more than 0", id="negative"),
        pytest.param(row(width_mm="nan"), "width_mm is nan, more than 0", id="not a number"),
        pytest.param(row(thickness_mm=""), "thickness_mm is missing", id="missing"),
        pytest.param(row(material="cheese"), "no panel named cheese|cheese", id="material"),
        pytest.param(row(material="printed"), "printed is no board", id="printed"),
        pytest.param(row(count="1.5"), "count is '1.5', a whole number", id="half a board"),
        pytest.param(row(stock="pile"), "stock is 'pile'", id="stock"),
        pytest.param(row(grain="maybe"), "grain is 'maybe'", id="grain"),
        pytest.param(row().replace("length_mm", "lenght_mm"), "did you mean length_mm", id="typo"),
        pytest.param(HEAD, "holds no board", id="empty"),
        pytest.param(
            row() + row().partition("\n")[2], "two boards of the rack are named a", id="twice"
        ),
    ],
)
def test_a_mistake_is_one_sentence(written: Written, text: str, says: str) -> None:
    with pytest.raises(JobError, match=says):
        read_rack(written("boards.csv", text))
