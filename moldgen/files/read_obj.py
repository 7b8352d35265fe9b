"""OBJ: vertices and faces in words, one statement a line.

Everything but `v` and `f` is passed over, material libraries with it: no other file is opened.
"""

from __future__ import annotations

from array import array
from collections.abc import Iterator

import numpy as np

from moldgen.errors import PartError
from moldgen.files.limits import MAX_TRIANGLES
from moldgen.files.polygons import split_polygons
from moldgen.files.raw import RawPart, plain_number, shown

_FREE_FORM = {b"curv", b"curv2", b"surf", b"cstype", b"vp"}
_MAX_LINE_BYTES = 100_000


def read_obj(data: bytes) -> RawPart:
    """Read an OBJ file's bytes.

    Raises
    ------
    PartError
        If a statement cannot be read, a face names no vertex, or it holds free-form surfaces.
    """
    numbers, polygons = array("d"), []
    for line, words in _statements(data):
        if words[0] == b"v":
            numbers.extend(_coordinates(words, line))
        elif words[0] == b"f":
            polygons.append(_corners(words, len(numbers) // 3, line))
            if len(polygons) > MAX_TRIANGLES:
                break  # the count is refused below
        elif words[0] in _FREE_FORM:
            raise PartError(f"line {line} begins a free-form surface: export it again as a mesh")
    vertices = np.array(numbers).reshape(-1, 3)
    return RawPart(vertices, split_polygons(vertices, polygons))


def _statements(data: bytes) -> Iterator[tuple[int, list[bytes]]]:
    """Line number and words of each statement; a backslash joins a line to the next."""
    if b"\0" in data:
        raise PartError("it holds zero bytes, which no OBJ text does: export it again as OBJ")
    first, held, start, line = 1, b"", 0, 0
    while start < len(data):
        end = data.find(b"\n", start)
        end = len(data) if end < 0 else end
        line += 1
        if end - start + len(held) > _MAX_LINE_BYTES:
            raise PartError(
                f"line {line} is longer than {_MAX_LINE_BYTES:,} bytes: export it again"
            )
        text, start = data[start:end].rstrip(), end + 1
        if text.endswith(b"\\"):
            held += text[:-1] + b" "
            continue
        if words := (held + text).partition(b"#")[0].split():
            yield first, words
        first, held = line + 1, b""


def _coordinates(words: list[bytes], line: int) -> list[float]:
    try:
        x, y, z = (plain_number(word) for word in words[1:4])
    except ValueError:
        raise PartError(
            f"line {line} is '{shown(b' '.join(words))}' where 'v' and three numbers with decimal "
            "points are wanted: export it again"
        ) from None
    return [x, y, z]


def _corners(words: list[bytes], n_vertices: int, line: int) -> list[int]:
    """Corner numbers from 0; a negative one counts back from the latest vertex."""
    try:
        numbers = [int(word.partition(b"/")[0]) for word in words[1:]]
    except ValueError:
        numbers = [0]
    if 0 in numbers:
        raise PartError(
            f"line {line} is '{shown(b' '.join(words))}' where 'f' and corner numbers from 1 are "
            "wanted: export it again"
        )
    corners = [k - 1 if k > 0 else n_vertices + k for k in numbers]
    if min(corners, default=0) < 0:
        raise PartError(
            f"line {line} counts back {-min(numbers)} vertices and {n_vertices} stand before it: "
            "the file is damaged, export it again"
        )
    return corners
