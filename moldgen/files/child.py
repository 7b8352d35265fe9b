"""A reader run in a process of its own, with limits on its time and its memory.

Native libraries may hang, crash or swell on a hostile file; here they take only the child with
them. The child is a fresh interpreter, never a fork: the exact kernel hangs after one. Answers
come back as plain arrays and text in a temporary folder, so nothing the child writes is run,
and what the kernel prints goes nowhere.
"""

from __future__ import annotations

import importlib
import json
import os
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeAlias

import numpy as np

from moldgen.errors import Finding, Grade, PartError
from moldgen.files.raw import RawPart
from moldgen.geometry.face_labels import FaceLabels
from moldgen.units import LengthUnit

Reader: TypeAlias = "Callable[[bytes], RawPart]"

_GIVEN, _ANSWER, _REFUSAL = "given", "answer.npz", "refusal.txt"
_POLL_S = 0.02
_START_S = 120.0  # a cold disk may take this long to bring the libraries in
_ADDRESS_BYTES = 6_000_000_000  # far above the libraries' own mappings of about 1 GB


@dataclass(frozen=True)
class Limits:
    """What a child may use: computing time [s] and resident memory [MB]."""

    seconds: float
    megabytes: float

    @classmethod
    def for_size(cls, n_bytes: int) -> Limits:
        """Limits that grow with the file: a small file can have no good reason to take long."""
        megabytes = n_bytes / 1e6
        return cls(8.0 + 4.0 * megabytes, min(1000.0 + 20.0 * megabytes, 4000.0))


def read_in_child(reader: Reader, data: bytes, limits: Limits) -> RawPart:
    """Run a module's public reader on bytes in a child process.

    Parameters
    ----------
    reader : function
        A function at the top of a module; the child imports it by name.
    data : bytes
        The file.
    limits : Limits

    Raises
    ------
    PartError
        As the reader itself, or if the child hangs, swells or crashes.
    """
    with tempfile.TemporaryDirectory(prefix="moldgen-") as folder:
        room = Path(folder)
        (room / _GIVEN).write_bytes(data)
        ending = _run(f"{reader.__module__}:{reader.__qualname__}", room, limits)
        if (room / _REFUSAL).exists():
            raise PartError((room / _REFUSAL).read_text("utf-8"))
        if ending or not (room / _ANSWER).exists():
            raise PartError(f"{ending or 'its reader gave no answer'}: export the part again")
        return _unpacked(room / _ANSWER)


def _run(reader: str, room: Path, limits: Limits) -> str:
    """What ended the child, in words; empty if it ended by itself in good order."""
    order = [sys.executable, "-P", "-m", __name__, reader, str(room), str(limits.seconds)]
    environment = os.environ | {"PYTHONPATH": os.pathsep.join(p for p in sys.path if p)}
    child = subprocess.Popen(
        order,
        env=environment,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    try:
        return _watch(child, limits)
    finally:
        child.kill()
        child.wait()


def _watch(child: subprocess.Popen[bytes], limits: Limits) -> str:
    latest = time.monotonic() + _START_S + 10.0 * limits.seconds
    while child.poll() is None:
        if _resident_mb(child.pid) > limits.megabytes:
            return f"reading it takes more than {limits.megabytes:.0f} MB of memory"
        if time.monotonic() > latest:
            return _too_long(limits)
        time.sleep(_POLL_S)
    if child.returncode == -getattr(signal, "SIGXCPU", 0):
        return _too_long(limits)
    return f"its reader crashes (code {child.returncode})" if child.returncode else ""


def _too_long(limits: Limits) -> str:
    return f"reading it takes more than {limits.seconds:.0f} s of computing time"


def _resident_mb(pid: int) -> float:
    """Memory in use [MB]; 0 where the system has no /proc."""
    try:
        pages = int(Path(f"/proc/{pid}/statm").read_text().split()[1])
    except (OSError, IndexError):
        return 0.0
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


def _packed(path: Path, raw: RawPart) -> None:
    findings = [[f.grade.value, f.text, f.measured, f.limit] for f in raw.findings]
    facts: dict[str, Any] = {"unit": raw.unit and raw.unit.value, "findings": findings}
    arrays: dict[str, Any] = {"vertices": raw.vertices, "faces": raw.faces}
    if raw.labels:
        facts |= {"names": raw.labels.names, "colors": raw.labels.colors}
        arrays["labels"] = raw.labels.face_of_triangle
    with path.open("wb") as stream:
        np.savez(stream, facts=np.array(json.dumps(facts)), **arrays)


def _unpacked(path: Path) -> RawPart:
    with np.load(path, allow_pickle=False) as answer:
        facts = json.loads(str(answer["facts"]))
        vertices, faces = answer["vertices"], answer["faces"]
        labels = FaceLabels(answer["labels"], *_tables(facts)) if "labels" in answer else None
    findings = tuple(Finding(Grade(grade), *rest) for grade, *rest in facts["findings"])
    unit = facts["unit"] and LengthUnit(facts["unit"])
    return RawPart(vertices, faces, unit, findings, labels)


def _tables(facts: dict[str, Any]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    return tuple(facts["names"]), tuple(facts["colors"])


# in the child


def _limit_child(seconds: float) -> None:
    """Have the system stop this process; Windows has no such limits, only the parent's watch."""
    try:
        import resource
    except ImportError:
        return
    used = sum(resource.getrusage(resource.RUSAGE_SELF)[:2])
    resource.setrlimit(resource.RLIMIT_CPU, (int(used + seconds) + 1, resource.RLIM_INFINITY))
    resource.setrlimit(resource.RLIMIT_AS, (_ADDRESS_BYTES, resource.RLIM_INFINITY))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def _serve(name: str, room: Path, seconds: float) -> None:
    module, _, function = name.partition(":")
    reader: Reader = getattr(importlib.import_module(module), function)
    _limit_child(seconds)
    try:
        _packed(room / _ANSWER, reader((room / _GIVEN).read_bytes()))
    except PartError as refusal:
        (room / _REFUSAL).write_text(str(refusal), "utf-8")
    except MemoryError:
        (room / _REFUSAL).write_text("reading it takes too much memory: export it again", "utf-8")


if __name__ == "__main__":
    _serve(sys.argv[1], Path(sys.argv[2]), float(sys.argv[3]))
