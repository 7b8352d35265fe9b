"""No file of the project names a machine: its folders, its users, its mirrors."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
TEXT = {".py", ".md", ".toml", ".json", ".html", ".css", ".yml", ".yaml", ".txt", ".cfg", ".sh", ""}
SKIPPED = {"dist", "build-out", "__pycache__"}

# Written in pieces, so that this file does not name what it looks for.
FORBIDDEN = {
    "folder of one machine": r"(?<![\w.})*-])/(?:"
    + "|".join(["wo" + "rk", "tm" + "p", "ro" + "ot"])
    + r")(?:/|\b(?!\w))",
    "home folder": r"(?<![\w.])/(?:ho" + r"me|Us" + r"ers)/\w",
    "package mirror": r"https?://[^\s\"'<>)]*(?:py" + r"pi|np" + r"mjs|simple/|mir" + r"ror)",
    "loopback host": r"https?://(?:local" + r"host|127\.)",
}


def text_files() -> list[Path]:
    """Every text file that belongs to the project; hidden folders other than .ci do not."""
    return [
        path
        for path in sorted(ROOT.rglob("*"))
        if path.is_file()
        and path.suffix in TEXT
        and not any(
            (part.startswith(".") and part != ".ci") or part in SKIPPED
            for part in path.relative_to(ROOT).parts[:-1]
        )
    ]


def named(text: str) -> list[str]:
    return [what for what, pattern in FORBIDDEN.items() if re.search(pattern, text)]


@pytest.mark.parametrize("path", text_files(), ids=lambda p: p.relative_to(ROOT).as_posix())
def test_no_machine_is_named(path: Path) -> None:
    assert named(path.read_text(encoding="utf-8", errors="replace")) == []


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("see /wo" + "rk/data", ["folder of one machine"]),
        ("open('x', '/tm" + "p/a')", ["folder of one machine"]),
        ("in /ho" + "me/anna/parts", ["home folder"]),
        ("https://py" + "pi.org/simple", ["package mirror"]),
        ("the network and the framework/tmpfile", []),
    ],
)
def test_the_search_finds(text: str, found: list[str]) -> None:
    assert named(text) == found
