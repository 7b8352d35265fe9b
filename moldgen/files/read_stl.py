"""STL: binary (a count, then 50 bytes a triangle) and ASCII (facets in words).

Which of the two it is follows from the size alone: a binary file is exactly 84 + 50 n bytes
long, and a header that begins with "solid" proves nothing. Normals are not read: the order of
the corners says the same, and exporters get normals wrong.
"""

from __future__ import annotations

import re
from array import array

import numpy as np

from moldgen.errors import PartError
from moldgen.files.limits import MAX_TRIANGLES, check_triangles
from moldgen.files.raw import RawPart, plain_number, shown
from moldgen.geometry.mesh import FloatArray

_HEADER_BYTES = 84
_TRIANGLE = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])

_NUMBER = rb"\s++([^\s]{1,64}+)"
_VERTEX = rb"\s++vertex" + 3 * _NUMBER
_FACET = re.compile(
    rb"facet\s++normal(?:\s++(?!outer\b)[^\s]{1,64}+){0,3}\s++outer\s++loop"
    + 3 * _VERTEX
    + rb"\s++endloop\s++endfacet\b",
    re.IGNORECASE,
)
_SPACE = re.compile(rb"\s*+")
_NAME_LINE = re.compile(rb"(?:end)?solid\b[^\r\n]*+", re.IGNORECASE)


def read_stl(data: bytes) -> RawPart:
    """Read an STL file's bytes.

    Raises
    ------
    PartError
        If it is neither binary nor ASCII STL, is cut short, or a number is not one.
    """
    count = int.from_bytes(data[80:_HEADER_BYTES], "little")
    if len(data) >= _HEADER_BYTES and len(data) == _HEADER_BYTES + _TRIANGLE.itemsize * count:
        corners = _binary_corners(data, count)
    elif _is_text(data):
        corners = _ascii_corners(data)
    else:
        raise PartError(_size_complaint(data, count))
    return RawPart(
        corners.reshape(-1, 3), np.arange(3 * len(corners), dtype=np.int32).reshape(-1, 3)
    )


def _binary_corners(data: bytes, count: int) -> FloatArray:
    check_triangles(count)
    records = np.frombuffer(data, _TRIANGLE, count, _HEADER_BYTES)
    return records["corners"].astype(np.float64)


def _is_text(data: bytes) -> bool:
    head = data[:1024]
    return head.lstrip()[:5].lower() == b"solid" and b"\0" not in head


def _size_complaint(data: bytes, count: int) -> str:
    if len(data) < _HEADER_BYTES:
        return f"it is {len(data)} bytes long, too short to be STL: export the part again"
    whole, rest = divmod(len(data) - _HEADER_BYTES, _TRIANGLE.itemsize)
    extra = f" and {rest} bytes more" if rest else ""
    return (
        f"its header announces {count:,} triangles, but it has room for {whole:,}{extra}: "
        "it is cut short or damaged, export or copy it again"
    )


def _ascii_corners(data: bytes) -> FloatArray:
    numbers = array("d")
    place = 0
    while True:
        place = _SPACE.match(data, place).end()  # type: ignore[union-attr]  # matches nothing too
        if place == len(data):
            break
        if facet := _FACET.match(data, place):
            _append_numbers(numbers, facet, data)
            place = facet.end()
        elif name := _NAME_LINE.match(data, place):
            place = name.end()
        else:
            raise PartError(_facet_complaint(data, place))
    check_triangles(len(numbers) // 9)
    return np.array(numbers).reshape(-1, 3, 3)


def _append_numbers(numbers: array[float], facet: re.Match[bytes], data: bytes) -> None:
    if len(numbers) >= 9 * MAX_TRIANGLES:
        check_triangles(MAX_TRIANGLES + 1)
    try:
        numbers.extend(map(plain_number, facet.groups()))
    except ValueError:
        bad = next(k for k in range(1, 10) if not _is_number(facet[k]))
        raise PartError(
            f"line {_line(data, facet.start(bad))} has '{shown(facet[bad])}' where a number is "
            "wanted: export it again with decimal points"
        ) from None


def _is_number(text: bytes) -> bool:
    try:
        plain_number(text)
    except ValueError:
        return False
    return True


def _facet_complaint(data: bytes, place: int) -> str:
    line = _line(data, place)
    words = data[place : place + 4096].lower().split()
    if words[:1] != [b"facet"]:
        return f"line {line} has '{shown(words[0])}' where 'facet' is wanted: export it again"
    body = words[: words.index(b"endfacet")] if b"endfacet" in words else words
    if body is words and len(data) - place < 4096:
        return f"it is cut short inside the facet of line {line}: export or copy it again"
    corners = body.count(b"vertex")
    wanted = f"has {corners} corners, 3 wanted" if corners != 3 else "is not written as STL asks"
    return f"the facet of line {line} {wanted}: export it again as triangles"


def _line(data: bytes, place: int) -> int:
    return data.count(b"\n", 0, place) + 1
