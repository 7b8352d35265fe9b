"""A room imports only from rooms below it, also inside functions (docs/architecture.md)."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import moldgen

PACKAGE = Path(moldgen.__file__).parent

# From the ground up; rooms of one level do not see each other.
LEVELS = (
    {"errors", "units"},
    {"geometry", "physics", "materials"},
    {"part"},
    {"pose", "job"},
    {"study"},
    {"plan"},
    {"build"},
    {"workflow"},
    {"files", "report"},
    {"demo"},
    {"apps"},
    {"__main__"},
)
LEVEL = {room: level for level, rooms in enumerate(LEVELS) for room in rooms}
EXACT = {
    "geometry/brep.py",
    "geometry/brep_kernel.py",
    "geometry/brep_labels.py",
    "geometry/brep_mesh.py",
    "geometry/brep_nouns.py",
    "geometry/brep_read.py",
    "files/step.py",
    "files/read_step.py",
}
DOOR = {
    "manifold3d": {"geometry/solid.py"},
    "OCP": EXACT,
    "cadquery": EXACT,
}
MODULES = [p for p in sorted(PACKAGE.rglob("*.py")) if p != PACKAGE / "__init__.py"]


def imported(source: str) -> Iterator[str]:
    """Every module a source names in an import, wherever it stands."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are written out in full"
            yield node.module or ""
            if node.module == "moldgen":
                yield from (f"moldgen.{alias.name}" for alias in node.names)


def room_of(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def strays(room: str, source: str) -> list[str]:
    """The imports that the table forbids to a room."""
    seen = {name.split(".")[1] for name in imported(source) if name.startswith("moldgen.")}
    return sorted(r for r in seen & LEVEL.keys() if r != room and LEVEL[r] >= LEVEL[room])


def test_every_room_is_in_the_table() -> None:
    assert {room_of(p) for p in MODULES} <= LEVEL.keys()


@pytest.mark.parametrize("path", MODULES, ids=lambda p: p.relative_to(PACKAGE).as_posix())
def test_imports_point_down(path: Path) -> None:
    assert strays(room_of(path), path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("path", MODULES, ids=lambda p: p.relative_to(PACKAGE).as_posix())
def test_every_kernel_has_one_door(path: Path) -> None:
    kernels = {name.split(".")[0] for name in imported(path.read_text(encoding="utf-8"))} & set(
        DOOR
    )
    here = path.relative_to(PACKAGE).as_posix()
    assert room_of(path) == "demo" or all(here in DOOR[kernel] for kernel in kernels)


@pytest.mark.parametrize(
    ("room", "source", "found"),
    [
        ("geometry", "from moldgen.plan.nouns import Block", ["plan"]),
        ("geometry", "def f():\n    import moldgen.physics.pipes", ["physics"]),
        ("files", "from moldgen.report.html import job_sheet", ["report"]),
        ("units", "from moldgen import errors", ["errors"]),
        ("plan", "from moldgen.study.pocket import Pocket", []),
    ],
)
def test_the_guard_sees(room: str, source: str, found: list[str]) -> None:
    assert strays(room, source) == found
