"""Every file that cannot be used is refused in one sentence that says what is wrong."""

from __future__ import annotations

import io
import os
import runpy
import struct
import subprocess
import sys
import zipfile
from pathlib import Path

import numpy as np
import pytest

from moldgen.errors import JobError, PartError
from moldgen.files.read import read_part
from moldgen.units import LengthUnit

HERE = Path(__file__)
MADE = runpy.run_path(str(HERE.with_name("made_files.py")))
BAD_INPUTS = runpy.run_path(str(HERE.with_name("bad_inputs.py")))["bad_inputs"]()


@pytest.mark.parametrize("bad", BAD_INPUTS, ids=lambda bad: bad.name)
def test_refused_in_one_sentence(bad, tmp_path: Path) -> None:
    path = tmp_path / bad.file
    path.write_bytes(bad.data)
    with pytest.raises(PartError) as refusal:
        read_part(path)
    sentence = str(refusal.value)
    assert sentence.startswith(f"{bad.file}: ")
    assert bad.says in sentence
    assert sentence.isprintable()  # so it is one line
    assert ". " not in sentence
    assert len(sentence) < 700


def test_there_are_many() -> None:
    assert len(BAD_INPUTS) >= 60
    assert len({bad.name for bad in BAD_INPUTS}) == len(BAD_INPUTS)


def test_missing_file(tmp_path: Path) -> None:
    with pytest.raises(PartError, match=r"^knob\.stl: it does not exist"):
        read_part(tmp_path / "knob.stl")


def test_folder(tmp_path: Path) -> None:
    (tmp_path / "knob.stl").mkdir()
    with pytest.raises(PartError, match="not a file"):
        read_part(tmp_path / "knob.stl")


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "knob.stl")
    with pytest.raises(PartError, match="not a file"):
        read_part(tmp_path / "knob.stl")


def test_name_that_no_system_takes() -> None:
    with pytest.raises(PartError, match="name"):
        read_part("knob\0.stl")


def test_line_breaks_in_a_name_stay_out_of_the_sentence(tmp_path: Path) -> None:
    path = tmp_path / "two\nlines.stl"
    path.write_bytes(b"")
    with pytest.raises(PartError, match=r"^two\?lines\.stl: "):
        read_part(path)


@pytest.mark.parametrize("scale", [0.0, -1.0, float("nan"), float("inf")])
def test_scale_that_is_none(scale: float) -> None:
    with pytest.raises(JobError, match="scale"):
        read_part("knob.stl", scale=scale)


def test_body_below_one() -> None:
    with pytest.raises(JobError, match="numbered from 1"):
        read_part("knob.stl", body=0)


def test_body_beyond_the_last(tmp_path: Path) -> None:
    path = tmp_path / "knob.stl"
    path.write_bytes(MADE["stl"](MADE["box"]()))
    with pytest.raises(PartError, match="no body 2"):
        read_part(path, body=2)


def test_other_unit_than_the_file_states(tmp_path: Path) -> None:
    path = tmp_path / "knob.3mf"
    path.write_bytes(MADE["threemf"](MADE["model"]()))
    with pytest.raises(PartError, match="states its unit, mm, and inch was asked for"):
        read_part(path, unit=LengthUnit.INCH)


# what takes memory or time, read by a process that the system stops at 10 s of computing

GUARDED = """
import resource, sys
from pathlib import Path
from moldgen.errors import PartError
from moldgen.files.read import read_part
resource.setrlimit(resource.RLIMIT_CPU, (10, 11))
try:
    read_part(Path(sys.argv[1]))
except PartError as refusal:
    print(refusal)
high_water = next(l for l in Path("/proc/self/status").read_text().splitlines() if "VmHWM" in l)
print(int(high_water.split()[1]) // 1024)
"""


def _huge_file(path: Path) -> Path:
    path = path.with_suffix(".stl")
    with path.open("wb") as stream:
        stream.truncate(3_000_000_000)
    return path


def _soup(path: Path) -> Path:
    path = path.with_suffix(".stl")
    triangles = np.random.default_rng(1).random((1_000_000, 3, 3)) * 100.0
    path.write_bytes(MADE["stl"](triangles))
    return path


def _lying_archive(path: Path) -> Path:
    """Its directory announces a small model; 300 MB of blanks come out."""
    path = path.with_suffix(".3mf")
    text, blanks = MADE["model"]().encode(), 300_000_000
    buffer = io.BytesIO(MADE["threemf"](None))
    archive = zipfile.ZipFile(buffer, "a", zipfile.ZIP_DEFLATED)
    with archive, archive.open(MADE["MODEL"], "w") as stream:
        stream.write(text)
        for _ in range(300):
            stream.write(b" " * (blanks // 300))
    size = struct.pack("<I", len(text) + blanks)
    assert size in buffer.getvalue()
    path.write_bytes(buffer.getvalue().replace(size, struct.pack("<I", 900_000)))
    return path


def _instances(path: Path) -> Path:
    path = path.with_suffix(".3mf")
    more = MADE["components"](60, fan=60)
    path.write_bytes(MADE["threemf"](MADE["model"](more=more, build='<item objectid="61"/>')))
    return path


def _deep_chain(path: Path) -> Path:
    path = path.with_suffix(".3mf")
    more = MADE["components"](9_000, fan=1) + '<object id="9002"><components/></object>'
    path.write_bytes(MADE["threemf"](MADE["model"](more=more, build='<item objectid="9001"/>' * 2)))
    return path


def _long_words(path: Path) -> Path:
    path = path.with_suffix(".stl")
    text = MADE["ascii_stl"](MADE["box"]())
    path.write_bytes(text.replace("20.0", "2" * 100_000_000, 1).encode())
    return path


def _blanks(path: Path) -> Path:
    path = path.with_suffix(".stl")
    path.write_bytes(b"solid x\nfacet normal" + b" " * 200_000_000 + b"\n")
    return path


def _concave_faces(path: Path) -> Path:
    """Combs of 1000 corners, as many as fit the limits and more."""
    path = path.with_suffix(".obj")
    lines = [f"v {x} {20 + 10 * (x % 2)} 0" for x in range(998)] + ["v 997 0 0", "v 0 0 0"]
    face = "f " + " ".join(str(k) for k in range(1000, 0, -1))
    path.write_text("\n".join(lines + [face] * 500))
    return path


def _many_holes(path: Path) -> Path:
    path = path.with_suffix(".stl")
    x, y = np.meshgrid(np.arange(300.0), np.arange(300.0))
    a = np.stack([x.ravel(), y.ravel(), 0 * x.ravel()], axis=1)
    path.write_bytes(MADE["stl"](np.stack([a, a + np.eye(3)[0], a + np.eye(3)[1]], axis=1)))
    return path


BOMBS = [
    _huge_file,
    pytest.param(_soup, marks=pytest.mark.slow),
    _lying_archive,
    _instances,
    _deep_chain,
    _long_words,
    _blanks,
    pytest.param(_concave_faces, marks=pytest.mark.slow),
    _many_holes,
]


@pytest.mark.slow
@pytest.mark.skipif(sys.platform != "linux", reason="reads its memory from /proc")
@pytest.mark.parametrize("bomb", BOMBS, ids=lambda bomb: bomb.__name__)
def test_little_time_and_memory(bomb, tmp_path: Path) -> None:
    path = bomb(tmp_path / "bomb")
    run = subprocess.run(
        [sys.executable, "-c", GUARDED, str(path)], capture_output=True, text=True, check=False
    )
    path.unlink()
    assert run.returncode == 0, run.stderr
    *refusal, megabytes = run.stdout.splitlines()
    assert len(refusal) == 1
    assert int(megabytes) < 1000
