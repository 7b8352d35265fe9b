"""The cutters as people write them: TOML or a table, and one sentence for each mistake."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from moldgen.apps.cutter_file import read_cutters
from moldgen.errors import JobError
from moldgen.job.cutters import Cutter, CutterList, CutterShape

Written = Callable[[str, str], Path]

EXAMPLE = Path(__file__).parents[2] / "examples" / "cutters.csv"
FLAT = Cutter("end mill", CutterShape.FLAT, 6.0, 28.0, 25.0)
BALL = Cutter("ball 3", CutterShape.BALL, 3.0, 20.0)
BULL = Cutter("bull 6", CutterShape.BULL, 6.0, 30.0, edge_radius_mm=1.0)
TOML = """
[[cutter]]
name = "end mill"
shape = "flat"
diameter_mm = 6
free_length_mm = 28
holder_diameter_mm = 25
[[cutter]]
shape = "ball"
diameter_mm = 3.0
free_length_mm = 20
[[cutter]]
shape = "bull"
diameter_mm = 6
free_length_mm = 30
edge_radius_mm = 1
"""
HEAD = "name,shape,diameter_mm,free_length_mm,holder_diameter_mm,edge_radius_mm\n"
TABLE = HEAD + "end mill,flat,6,28,25,\n,Ball,3,20,,\n,bull,6,30,,1\n"


@pytest.mark.parametrize(
    ("name", "text"),
    [
        pytest.param("cutters.toml", TOML, id="toml"),
        pytest.param("cutters.csv", TABLE, id="csv"),
    ],
)
def test_the_same_cutters_in_every_form(written: Written, name: str, text: str) -> None:
    assert read_cutters(written(name, text)) == CutterList((FLAT, BALL, BULL))


def test_the_example_is_read() -> None:
    names = [cutter.name for cutter in read_cutters(EXAMPLE).largest_first]
    assert names == ["end mill", "bull nose", "long ball", "fine ball"]


def row(**changed: str) -> str:
    cells = dict(zip(HEAD.strip().split(","), ["a", "flat", "6", "30", "20", ""], strict=True))
    return HEAD + ",".join((cells | changed).values()) + "\n"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        pytest.param(HEAD, "holds no cutter", id="empty"),
        pytest.param(row(shape="cone"), "shape is 'cone', allowed is one of", id="shape"),
        pytest.param(row(diameter_mm="wide"), "diameter_mm is 'wide', a number", id="no number"),
        pytest.param(row(diameter_mm=""), "diameter_mm is missing", id="missing"),
        pytest.param(row(diameter_mm="0"), "diameter_mm is 0, more than 0", id="nought"),
        pytest.param(row(free_length_mm="nan"), "free_length_mm is nan", id="nan"),
        pytest.param(row(holder_diameter_mm="4"), "is thinner than the cutter", id="thin holder"),
        pytest.param(row(edge_radius_mm="1"), "belongs to a bull cutter", id="edge of a flat one"),
        pytest.param(row(shape="bull"), "edge_radius_mm is 0, more than 0", id="bull, no edge"),
        pytest.param(row(shape="bull", edge_radius_mm="3"), "less than half", id="bull, a ball"),
        pytest.param(row() + row().splitlines()[1] + "\n", "two cutters are named a", id="twice"),
        pytest.param(
            HEAD.replace("diameter_mm", "diametre_mm", 1) + "a,flat,6,30,20,\n",
            "did you mean diameter_mm",
            id="misspelt",
        ),
    ],
)
def test_a_mistake_is_one_sentence_with_its_place(written: Written, text: str, said: str) -> None:
    with pytest.raises(JobError) as error:
        read_cutters(written("cutters.csv", text))
    assert said in str(error.value)
    assert str(error.value).startswith("cutters.csv")
    assert error.value.exit_code == 2


def test_the_largest_comes_first_and_of_two_alike_the_sharper() -> None:
    thick = Cutter("thick", CutterShape.BALL, 10.0, 40.0)
    ball = Cutter("ball", CutterShape.BALL, 6.0, 40.0)
    order = CutterList((BALL, ball, BULL, FLAT, thick)).largest_first
    assert order == (thick, FLAT, BULL, ball, BALL)
    assert CutterList((FLAT, BALL)).thinnest_mm == 3.0
