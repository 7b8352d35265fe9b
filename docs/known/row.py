"""One known figure, and the tables that the tests hold."""

from __future__ import annotations

import importlib.util
from dataclasses import dataclass
from enum import Enum
from functools import cache
from pathlib import Path
from types import ModuleType

TESTS = Path(__file__).parents[2] / "tests" / "validation"
NEGLIGIBLE = 1e-6
G = 9810.0  # what the books use
RESIN = 1.1e-3


class Kind(Enum):
    """How a figure is known."""

    PRINTED = "as printed"
    INDEPENDENT = "reckoned by other means"
    HAND = "by hand"


@dataclass(frozen=True)
class Row:
    """One figure: where it is from, how it is known, what it is, as known, as moldgen has it."""

    source: str
    kind: Kind
    case: str
    known: float
    ours: float
    unit: str = ""

    @property
    def share(self) -> float:
        """Relative deviation [-]."""
        return abs(self.ours / self.known - 1.0)

    @property
    def deviation(self) -> str:
        """The same in percent, for people."""
        return "0" if self.share < NEGLIGIBLE else f"{100.0 * self.share:.2g} %"


@cache
def test_file(name: str) -> ModuleType:
    """A file of tests/validation, for the tables of known figures that it holds."""
    spec = importlib.util.spec_from_file_location(f"known_{name}", TESTS / f"test_{name}.py")
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module
