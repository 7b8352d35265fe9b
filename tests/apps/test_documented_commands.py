"""The commands that README and docs print are ones that moldgen has, with files that exist."""

from __future__ import annotations

import re
import shlex
from pathlib import Path
from typing import Any

import pytest
from typer.main import get_command

from moldgen.apps.cli import app

ROOT = Path(__file__).parents[2]
PAGES = ("README.md", "docs/halves.md", "docs/printing.md", "docs/reach.md", "docs/reading.md")


def commands(page: str) -> list[list[str]]:
    """Lines of shell blocks that call moldgen, as their words."""
    blocks = re.findall(r"```sh\n(.*?)```", (ROOT / page).read_text("utf-8"), re.DOTALL)
    lines = [line for block in blocks for line in block.splitlines()]
    return [shlex.split(s, comments=True) for s in lines if s.startswith("moldgen ")]


SHOWN = [(page, words) for page in PAGES for words in commands(page)]


@pytest.mark.parametrize(("page", "words"), SHOWN, ids=[" ".join(w[1:]) for _, w in SHOWN])
def test_options_and_files_exist(page: str, words: list[str]) -> None:
    group: Any = get_command(app)
    options = {o for p in group.commands[words[1]].params for o in (*p.opts, *p.secondary_opts)}
    assert {w for w in words if w.startswith("--")} <= options
    assert all((ROOT / w).is_file() for w in words if w.startswith("examples/"))


def test_the_tour_copies_what_it_reads() -> None:
    text = (ROOT / "README.md").read_text("utf-8")
    copied = dict(re.findall(r"cp (\S+) (\w+\.stl)", text))
    assert all((ROOT / source).is_file() for source in copied)
    read = {w for words in commands("README.md") for w in words if w.endswith(".stl")}
    assert read == set(copied.values())
