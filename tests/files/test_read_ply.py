"""PLY: words and bytes, both byte orders, lists of one length or of many."""

from __future__ import annotations

import runpy
import struct
from pathlib import Path

import pytest

from moldgen.files.read_ply import read_ply
from moldgen.geometry.mesh import Mesh

MADE = runpy.run_path(str(Path(__file__).with_name("made_files.py")))
TEXT, CUBE_V, CUBE_F = MADE["ply"](), MADE["CUBE_V"], MADE["CUBE_F"]
CUBE_MM3 = 20.0**3
THREES = [t for a, b, c, d in CUBE_F for t in ((a, b, c), (a, c, d))]
MIXED = [*CUBE_F[:3], *THREES[6:]]


def volume(data: bytes) -> float:
    raw = read_ply(data)
    return Mesh(raw.vertices, raw.faces).volume_mm3


def rich_bytes(order: str) -> bytes:
    """Vertices with colors and a list, faces with a flag, and an element of no use between."""
    name = {"<": "binary_little_endian", ">": "binary_big_endian"}[order]
    header = (
        f"ply\nformat {name} 1.0\ncomment knob\nobj_info none\n"
        "element vertex 8\nproperty uchar red\nproperty double x\nproperty double y\n"
        "property list ushort short ring\nproperty double z\n"
        "element edge 2\nproperty int a\nproperty list uchar float w\n"
        f"element face {len(MIXED)}\nproperty list uint uint vertex_index\nproperty char flag\n"
        "end_header\n"
    )
    body = b""
    for k, (x, y, z) in enumerate(CUBE_V):
        ring = range(k % 3)
        body += struct.pack(f"{order}BddH{len(ring)}hd", 7, x, y, len(ring), *ring, z)
    body += struct.pack(f"{order}iB2f", 1, 2, 0.0, 0.0) + struct.pack(f"{order}iB", 1, 0)
    for face in MIXED:
        body += struct.pack(f"{order}I{len(face)}Ib", len(face), *face, 1)
    return header.encode() + body


READ_RIGHT = {
    "words": TEXT.encode(),
    "words, windows line ends": TEXT.replace("\n", "\r\n").encode(),
    "words, mixed faces": MADE["ply"](faces=MIXED).encode(),
    "words, no last line end": TEXT.rstrip("\n").encode(),
    "words, other name": TEXT.replace("vertex_indices", "vertex_index").encode(),
    "little": MADE["binary_ply"](),
    "big": MADE["binary_ply"](order=">"),
    "little, triangles": MADE["binary_ply"](THREES),
    "big, mixed": MADE["binary_ply"](MIXED, ">"),
    "little, rich": rich_bytes("<"),
    "big, rich": rich_bytes(">"),
    "bytes behind the end": MADE["binary_ply"]() + b"junk",
}


@pytest.mark.parametrize("data", READ_RIGHT.values(), ids=READ_RIGHT.keys())
def test_cube_of_20(data: bytes) -> None:
    assert volume(data) == pytest.approx(CUBE_MM3, rel=1e-12)


PUBLISHED = {  # volumes by trimesh 5.2 (an independent reader and integrator)
    "nut.ply": (1046, 32171.322236986),
    "sphere.ply": (840, 8425174.0),
    "ant.ply": (912, 482.1436278891934),
}


@pytest.mark.parametrize(("name", "expected"), PUBLISHED.items(), ids=PUBLISHED.keys())
def test_published_files(registry_parts: Path, name: str, expected: tuple[int, float]) -> None:
    paths = sorted(registry_parts.rglob(f"pyvista/examples/{name}"))
    if not paths:
        pytest.skip(f"{name} of pyvista is not there")
    raw = read_ply(paths[0].read_bytes())
    assert (len(raw.faces), Mesh(raw.vertices, raw.faces).volume_mm3) == (
        expected[0],
        pytest.approx(expected[1], rel=1e-9),
    )
