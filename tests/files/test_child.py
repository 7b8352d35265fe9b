"""A reader in a child process: what it hangs, eats, breaks or says stays with the child."""

from __future__ import annotations

import importlib
import sys
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest

from moldgen.errors import Finding, Grade, PartError
from moldgen.files.child import Limits, read_in_child
from moldgen.units import LengthUnit

READERS = """
import os, sys
import numpy as np
from moldgen.errors import Finding, Grade, PartError
from moldgen.files.raw import RawPart
from moldgen.units import LengthUnit

def honest(data):
    os.write(1, b"chatter"); print("more chatter"); print("and more", file=sys.stderr)
    note = Finding(Grade.NOTE, "one leaf left out", 1.0, None)
    vertices = np.frombuffer(data, dtype=float).reshape(-1, 3)
    return RawPart(vertices, np.array([[0, 1, 2]], np.int32), LengthUnit.INCH, (note,))

def refusing(data): raise PartError("it is a leaf pull: export a knob")
def hanging(data):
    while True: pass
def swelling(data): return [bytearray(50_000_000) for _ in range(10_000)]
def greedy(data): return bytearray(20_000_000_000)
def crashing(data): os.abort()
def raising(data): raise KeyError("handle")
def leaving(data): os._exit(0)
"""

SMALL = Limits(seconds=1.0, megabytes=400.0)


@pytest.fixture
def readers(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    (tmp_path / "odd_readers.py").write_text(READERS)
    monkeypatch.syspath_prepend(tmp_path)
    module = importlib.import_module("odd_readers")
    monkeypatch.delitem(sys.modules, "odd_readers")
    return module


def test_answer_comes_back_whole(readers: ModuleType, capfd: pytest.CaptureFixture[str]) -> None:
    numbers = np.arange(9.0)
    raw = read_in_child(readers.honest, numbers.tobytes(), SMALL)
    assert raw.vertices.ravel().tolist() == numbers.tolist()
    assert raw.faces.tolist() == [[0, 1, 2]]
    assert raw.unit is LengthUnit.INCH
    assert raw.findings == (Finding(Grade.NOTE, "one leaf left out", 1.0, None),)
    assert capfd.readouterr() == ("", "")


ENDINGS = {
    "refusing": "it is a leaf pull: export a knob",
    "hanging": "more than 1 s of computing time",
    "swelling": "more than 400 MB of memory",
    "greedy": "too much memory",
    "crashing": "crashes",
    "raising": "crashes",
    "leaving": "no answer",
}


@pytest.mark.parametrize(("reader", "says"), ENDINGS.items(), ids=ENDINGS.keys())
def test_endings(readers: ModuleType, reader: str, says: str) -> None:
    with pytest.raises(PartError, match=says):
        read_in_child(getattr(readers, reader), b"", SMALL)


def test_limits_grow_with_the_file() -> None:
    small, large = Limits.for_size(1_000), Limits.for_size(50_000_000)
    assert small.seconds < large.seconds
    assert small.megabytes <= 1001.0
    assert small.megabytes < large.megabytes
