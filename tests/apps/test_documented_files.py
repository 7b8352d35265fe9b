"""The job file, and the files of materials and cutters, are taken as the docs show them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from moldgen.apps.job_file import read_job
from moldgen.apps.rack_file import read_rack
from moldgen.job.rack import BoxWishes
from moldgen.materials.pot_life import PotLife
from moldgen.materials.read import read_materials

DOCS = Path(__file__).parents[2] / "docs"
PAGE = (DOCS / "outputs.md").read_text(encoding="utf-8")


def block(heading: str) -> str:
    """The first TOML block below a heading."""
    below = PAGE.split(f"\n## {heading}\n")[1]
    found = re.search(r"```toml\n(.*?)```", below, re.DOTALL)
    assert found
    return found[1]


def cutters() -> str:
    """The table of cutters that docs/reach.md shows."""
    found = re.search(r"```csv\n(.*?)```", (DOCS / "reach.md").read_text("utf-8"), re.DOTALL)
    assert found
    return found[1]


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    (tmp_path / "job.toml").write_text(block("The job file"), encoding="utf-8")
    (tmp_path / "shelf.toml").write_text(block("Materials"), encoding="utf-8")
    (tmp_path / "cutters.csv").write_text(cutters(), encoding="utf-8")
    return tmp_path


def test_the_job_file_is_read(bench: Path) -> None:
    job = read_job(bench / "job.toml")
    assert job.compensate_shrink
    assert job.casting_resin.pot_life is PotLife.GELS
    assert job.casting_resin.working_time_s == 240.0
    assert job.materials.source == "shelf.toml"
    names = [cutter.name for cutter in job.cutters.largest_first]
    assert names == ["end mill", "bull nose", "long ball"]


def test_the_materials_are_read(bench: Path) -> None:
    own = read_materials(bench / "shelf.toml").rubber("shelf-tin")
    assert (own.density_g_cm3, own.mix.hardener_parts) == (1.14, 3.0)
    assert own.pot_life_told


def test_the_rack_is_the_example_file() -> None:
    """Three boards; the widths of `[box]` have the defaults that the page says."""
    example = DOCS.parent / "examples" / "boards.csv"
    below = PAGE.split("\n## Boards\n")[1]
    (shown,) = re.findall(r"```csv\n(.*?)```", below, re.DOTALL)
    assert shown == example.read_text(encoding="utf-8")
    assert [board.name for board in read_rack(example).boards] == ["shelf", "drawer side", "panel"]
    rows = dict(re.findall(r"\| `(\w+_mm)` \| ([\d.]+) \|", below.split("\n## ")[0]))
    wishes = BoxWishes()
    assert {key: getattr(wishes, key) for key in rows} == {k: float(v) for k, v in rows.items()}
    assert len(rows) == 4
