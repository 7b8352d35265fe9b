"""Public names are explained, in words that match their signatures, and numbers carry a unit."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import TypeAlias

import pytest

import moldgen

PACKAGE = Path(moldgen.__file__).parent
MODULES = sorted(PACKAGE.rglob("*.py"))

Definition: TypeAlias = ast.FunctionDef | ast.ClassDef

NUMBERS = re.compile(r"\b(float|FloatArray|ArrayLike|Point2|Point3|complex)\b")
UNIT_IN_NAME = re.compile(
    r"_(mm|mm2|mm3|mm_s2|cm3|g|g_cm3|g_mm3|s|n|un|pa|pas|pa_s|deg|rad|c|k|kg|mpa|mb|min|h|w|j|px|share"
    r"|share_s|per_\w+)$"
)
WITHOUT_UNIT = {"scale", "factor", "share", "allowance"}  # plain ratios
UNIT_IN_TEXT = re.compile(r"\[[^\]\d]*[^\]]*\]")
SHAPE_IN_TEXT = re.compile(r"\([\w ]+(?: [+*] \w+)?,(?: ?[\w ]+,?)*\)")
SECTION = re.compile(r"^(\w[\w ]*)\n-{3,}$", re.MULTILINE)
ENTRY = re.compile(r"^(\*{0,2}\w+(?:, \*{0,2}\w+)*)(?: :.*)?$", re.MULTILINE)


def public_definitions(tree: ast.Module) -> Iterator[Definition]:
    """Functions and classes of a module, and methods of its classes, that have no underscore."""
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
            yield node
            if isinstance(node, ast.ClassDef):
                yield from (
                    m
                    for m in node.body
                    if isinstance(m, ast.FunctionDef) and not m.name.startswith("_")
                )


def sections(docstring: str) -> dict[str, str]:
    """The numpydoc sections of a docstring by title; the text before the first is ''."""
    parts = SECTION.split(docstring)
    return {"": parts[0], **dict(zip(parts[1::2], parts[2::2], strict=True))}


def entries(section: str) -> dict[str, str]:
    """Each documented name of a section with the text that explains it."""
    found: dict[str, str] = {}
    names: list[str] = []
    for line in section.splitlines():
        match = ENTRY.match(line)
        if match:
            names = [n.strip("* ") for n in match[1].split(",")]
        for name in names:
            found[name] = found.get(name, "") + line + "\n"
    return found


def declared(node: Definition) -> dict[str, str]:
    """Parameters of a function, or fields and properties of a class, with their annotations."""
    if isinstance(node, ast.FunctionDef):
        every = [*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs]
        every += [a for a in (node.args.vararg, node.args.kwarg) if a]
        return {
            a.arg: ast.unparse(a.annotation) if a.annotation else ""
            for a in every
            if a.arg not in ("self", "cls")
        }
    fields = {
        n.target.id: ast.unparse(n.annotation)
        for n in node.body
        if isinstance(n, ast.AnnAssign) and isinstance(n.target, ast.Name)
    }
    set_in_init = {
        n.attr: ""
        for n in ast.walk(node)
        if isinstance(n, ast.Attribute) and isinstance(n.ctx, ast.Store)
    }
    properties = {n.name: "" for n in node.body if isinstance(n, ast.FunctionDef)}
    return {**properties, **set_in_init, **fields}


def faults(node: Definition) -> Iterator[str]:
    """What the docstring of a public definition lacks."""
    docstring = ast.get_docstring(node)
    if not docstring:
        yield f"{node.name} has no docstring"
        return
    parts = sections(docstring)
    known = declared(node)
    listed = entries(parts.get("Parameters", "")) | entries(parts.get("Attributes", ""))
    allowed = known | (_init_parameters(node) if isinstance(node, ast.ClassDef) else {})
    for name in listed.keys() - allowed.keys():
        yield f"{node.name} explains {name}, which it does not have"
    for name, annotation in known.items():
        if name.startswith("_") or name in WITHOUT_UNIT or UNIT_IN_NAME.search(name):
            continue
        if not NUMBERS.search(annotation):
            continue
        text = listed.get(name, docstring)
        if not (UNIT_IN_TEXT.search(text) or SHAPE_IN_TEXT.search(text)):
            yield f"{node.name} gives {name} neither unit nor shape"


def _init_parameters(node: ast.ClassDef) -> dict[str, str]:
    born = [n for n in node.body if isinstance(n, ast.FunctionDef) and n.name == "__init__"]
    return declared(born[0]) if born else {}


@pytest.mark.parametrize("path", MODULES, ids=lambda p: p.relative_to(PACKAGE).as_posix())
def test_public_names_are_explained(path: Path) -> None:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    assert [fault for node in public_definitions(tree) for fault in faults(node)] == []


@pytest.mark.parametrize("path", MODULES, ids=lambda p: p.relative_to(PACKAGE).as_posix())
def test_modules_are_explained(path: Path) -> None:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    assert not tree.body or ast.get_docstring(tree)


@pytest.mark.parametrize(
    ("source", "found"),
    [
        ("def f(): ...", ["f has no docstring"]),
        ("def f(width: float):\n    'Wide.'", ["f gives width neither unit nor shape"]),
        ("def f(width: float):\n    'Wide [mm].'", []),
        ("def f(width_mm: float):\n    'Wide.'", []),
        (
            "def f(a):\n    '''Do.\n\n    Parameters\n    ----------\n    b : int\n    '''",
            ["f explains b, which it does not have"],
        ),
        ("class A:\n    'A.'\n    x: float", ["A gives x neither unit nor shape"]),
        ("class A:\n    'A.'\n    def f(self): ...", ["f has no docstring"]),
    ],
)
def test_the_check_sees(source: str, found: list[str]) -> None:
    nodes = public_definitions(ast.parse(source))
    assert [fault for node in nodes for fault in faults(node)] == found
