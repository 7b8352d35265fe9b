"""`moldgen materials` on a terminal, as a document, and with a file of one's own."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path
from typing import Any

import pytest
import trimesh
from typer.testing import CliRunner

from moldgen.apps.cli import app
from moldgen.materials.read import names, texts

OWN = "[resin.deep-pour]\nlike = 'epoxy'\npot_life_min = 240\npot_life = 'gels'\n"


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    done = CliRunner().invoke(app, ["materials", *arguments], prog_name="moldgen")
    assert isinstance(done.exception, SystemExit | None), done.exception
    return subprocess.CompletedProcess(list(arguments), done.exit_code, done.stdout, done.stderr)


def test_the_shelf_names_every_class() -> None:
    done = run()
    assert done.returncode == 0
    assert all(name in done.stdout for every in names().values() for name in every)


@pytest.mark.parametrize("name", [n for every in names().values() for n in every])
def test_one_material_tells_ranges_sources_and_cautions(name: str) -> None:
    done = run(name)
    assert done.returncode == 0
    assert all(
        word in done.stdout for word in ("from", "to", "unit", "practice", "mix:", "caution:")
    )
    assert "source practice: typical of the class" in done.stdout


def test_latex_says_its_hazard() -> None:
    assert texts("cautions")["latex-allergy"]["text"] in run("latex").stdout


def test_one_document_on_stdout(tmp_path: Path) -> None:
    (tmp_path / "own.toml").write_text(OWN)
    done = run("deep-pour", "--materials", str(tmp_path / "own.toml"), "--json")
    (entry,) = json.loads(done.stdout)["materials"]
    assert (entry["name"], entry["figures"]["pot_life_min"]["value"]) == ("deep-pour", 240.0)


def test_own_materials_stand_beside_the_classes(tmp_path: Path) -> None:
    (tmp_path / "own.toml").write_text(OWN)
    done = run("--materials", str(tmp_path / "own.toml"))
    assert "deep-pour" in done.stdout
    assert "polyester" in done.stdout


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("[resin.epoxy]\npot_life_min = 5\n", "comes without its meaning"),
        ("[resin.epoxy]\ndensity_g_cm3 = 99\n", "allowed is a number from 0.1 to 5 g/cm³"),
        ("[resin.epoxy", "is not valid TOML"),
        (None, "cannot be read"),
    ],
    ids=["no meaning", "out of range", "broken", "missing"],
)
def test_a_bad_file_is_one_sentence(tmp_path: Path, text: str | None, words: str) -> None:
    if text is not None:
        (tmp_path / "own.toml").write_text(text)
    done = run("--materials", str(tmp_path / "own.toml"), "--json")
    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr.startswith("moldgen: own.toml")
    assert done.stderr.count("\n") == 1
    assert words in done.stderr


def test_an_unknown_name_is_one_sentence() -> None:
    done = run("epoxi")
    assert done.returncode == 2
    assert done.stderr == "moldgen: no material is called 'epoxi': did you mean epoxy?\n"


# through the main job

SHELF = """
[rubber.shelf-tin]
like = "condensation-silicone"
density_g_cm3 = 1.2
shrink_percent = 1.0

[resin.own-urethane]
like = "urethane-fast"
pot_life_min = 6
pot_life = "doubles"
shrink_percent = 0.5
"""
JOB = """
materials = "shelf.toml"
compensate_shrink = true
scale_g = 0.01
[rubber]
material = "shelf-tin"
[resin]
material = "own-urethane"
"""


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A furniture foot, a shelf and a job file."""
    folder = tmp_path_factory.mktemp("bench")
    corners = [[x, y, 0.0] for x in (-12.0, 12.0) for y in (-12.0, 12.0)]
    corners += [[x, y, 18.0] for x in (-8.0, 8.0) for y in (-8.0, 8.0)]
    trimesh.convex.convex_hull(corners).export(folder / "foot.stl")
    (folder / "shelf.toml").write_text(SHELF)
    (folder / "job.toml").write_text(JOB)
    return folder


def make(bench: Path, *options: str) -> subprocess.CompletedProcess[str]:
    order = ["make", str(bench / "foot.stl"), "--out", str(bench / "set"), "--up", "0", "0", "1"]
    done = CliRunner().invoke(app, [*order, *options, "--json"], prog_name="moldgen")
    assert isinstance(done.exception, SystemExit | None), done.exception
    return subprocess.CompletedProcess(order, done.exit_code, done.stdout, done.stderr)


@pytest.fixture(scope="module")
def made(bench: Path) -> dict[str, Any]:
    done = make(bench, "--config", str(bench / "job.toml"))
    assert done.returncode == 0, done.stderr
    document: dict[str, Any] = json.loads(done.stdout)
    return document


def test_the_plan_takes_its_materials_from_the_shelf(made: dict[str, Any]) -> None:
    assert made["job"]["materials"] == "shelf.toml"
    assert made["materials"]["rubber"]["density_g_cm3"] == 1.2
    assert made["materials"]["resin"]["pot_life"] == "doubles"
    rubber = made["quantities"]["rubber"]
    stays = next(p for p in made["pieces"] if p["role"] == "rubber")["volume_mm3"] * 1.2e-3
    # Channels are frusta in the plan and booleans in the body: 0.1 % apart.
    assert rubber["total_g"] == pytest.approx(stays * (1.0 + rubber["allowance"]), rel=1e-3)


def test_only_the_assumed_reading_is_told(made: dict[str, Any]) -> None:
    told = [f["text"] for f in made["findings"] if "was taken as" in f["text"]]
    assert len(told) == 1
    assert "condensation-cure silicone shelf-tin" in told[0]


def test_the_part_is_larger_by_both_shrinkages(made: dict[str, Any]) -> None:
    """1 % and .5 %: 1 / (0.99 * 0.995)."""
    factor = 1.0 / (0.99 * 0.995)
    assert made["part"]["scale"] == pytest.approx(factor, rel=1e-12)
    assert made["part"]["extents_mm"] == pytest.approx([24 * factor, 24 * factor, 18 * factor])
    assert any("1.52 % larger" in f["text"] for f in made["findings"])


def test_the_sheet_says_that_it_is_scaled(made: dict[str, Any], bench: Path) -> None:
    sheet = (bench / "set" / "job-sheet.html").read_text(encoding="utf-8")
    assert "foot.stl, scaled by 1.0152" in sheet
    assert made["clock"]["resin"][0]["what"] in sheet


def test_both_clocks_run_to_the_demolding(made: dict[str, Any]) -> None:
    for pour, key in (("rubber", "demold_rubber_s"), ("resin", "demold_resin_s")):
        steps = made["clock"][pour]
        alone = next(s for s in steps if "leave it alone" in s["what"])
        mixings = [
            s["start_s"] for s in steps if s["what"] == "mix" and s["end_s"] <= alone["end_s"]
        ]
        assert alone["end_s"] - mixings[-1] == pytest.approx(made["forecast"][key])


def test_cups_hold_what_is_told_as_the_total(made: dict[str, Any]) -> None:
    for batch in made["quantities"].values():
        assert sum(c["count"] * c["total_g"] for c in batch["cups"]) == pytest.approx(
            batch["total_g"], rel=1e-12
        )


def test_a_bad_shelf_stops_the_job(bench: Path) -> None:
    (bench / "bad.toml").write_text("[resin.urethane-fast]\npot_life_min = 5\n")
    done = make(bench, "--materials", str(bench / "bad.toml"), "--force")
    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr.startswith("moldgen: bad.toml: resin.urethane-fast.pot_life_min")


@pytest.mark.usefixtures("made")
def test_a_folder_that_holds_the_shelf_is_not_replaced(bench: Path) -> None:
    folder = bench / "set"
    (folder / "own.toml").write_text(SHELF)
    (bench / "inside.toml").write_text('materials = "set/own.toml"')
    done = make(bench, "--config", str(bench / "inside.toml"), "--force")
    assert done.returncode == 2
    assert "own.toml" in done.stderr
    assert (folder / "own.toml").read_text() == SHELF
