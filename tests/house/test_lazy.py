"""Asking for help costs no kernel: the heavy libraries load only inside commands."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

HEAVY = ("cadquery", "OCP", "trimesh", "numba", "scipy", "manifold3d", "lib3mf", "embreex")

PROBE = """
import atexit, json, sys
heavy = json.loads(sys.argv.pop(1))
atexit.register(lambda: print(json.dumps([h for h in heavy if h in sys.modules]), file=sys.stderr))
from moldgen.apps.cli import main
main()
"""


def loaded_by(*arguments: str, watched: tuple[str, ...] = HEAVY) -> list[str]:
    """Which of the watched modules a run of the program has loaded at its end."""
    order = [sys.executable, "-c", PROBE, json.dumps(watched), *arguments]
    done = subprocess.run(order, capture_output=True, text=True, check=True)
    found: list[str] = json.loads(done.stderr.splitlines()[-1])
    return found


@pytest.mark.parametrize("arguments", [["--help"], ["make", "--help"], ["--version"]], ids=" ".join)
def test_help_loads_no_heavy_library(arguments: list[str]) -> None:
    assert loaded_by(*arguments) == []


def test_the_probe_sees_what_is_loaded() -> None:
    assert loaded_by("--help", watched=("typer", "moldgen.job.job")) == ["typer", "moldgen.job.job"]


def test_importing_the_package_loads_no_room() -> None:
    code = "import moldgen, sys; print([m for m in sys.modules if m.startswith('moldgen.')])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
