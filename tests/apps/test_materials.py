"""`moldgen materials` on a terminal, as a document, and with a file of one's own."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path

import pytest
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
