"""PLY: a header that describes its elements, then their records in words or in bytes."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from moldgen.errors import PartError
from moldgen.files.limits import check_triangles
from moldgen.files.ply_header import Element, read_header
from moldgen.files.polygons import split_polygons
from moldgen.files.raw import RawPart, plain_number, shown
from moldgen.geometry.mesh import FloatArray

_CUT = "it is cut short or damaged, export or copy it again"
_MAX_LINE_BYTES = 100_000

Column: TypeAlias = "NDArray[np.generic] | list[list[int]]"


def read_ply(data: bytes) -> RawPart:
    """Read a PLY file's bytes.

    Raises
    ------
    PartError
        If the header or a record cannot be read, the file is cut short, or it has no faces.
    """
    order, elements, place = read_header(data)
    columns: dict[str, dict[str, Column]] = {}
    for element in elements:
        _check_room(element, order, len(data) - place)
        if order:
            columns[element.name], place = _read_bytes(data, place, element, order)
        else:
            columns[element.name], place = _read_words(data, place, element)
    vertices = _vertices(columns.get("vertex", {}))
    return RawPart(vertices, split_polygons(vertices, _faces(columns)))


def _vertices(columns: dict[str, Column]) -> FloatArray:
    if not {"x", "y", "z"} <= set(columns):
        raise PartError("its header names no vertices with x, y and z: export it again as a mesh")
    return np.column_stack([np.asarray(columns[axis], dtype=np.float64) for axis in "xyz"])


def _faces(columns: dict[str, dict[str, Column]]) -> Column:
    faces = columns.get("face", {})
    rows = faces.get("vertex_indices", faces.get("vertex_index"))
    if rows is None:
        also = " but triangle strips" if "tristrips" in columns else ""
        raise PartError(f"it describes no faces{also}: export it again as a mesh of triangles")
    check_triangles(len(rows))
    return rows


def _check_room(element: Element, order: str, room: int) -> None:
    need = element.count * (element.least_bytes if order else element.least_text_bytes)
    if need > room + 1:  # the last line may lack its end
        raise PartError(
            f"its header announces {element.count:,} records of '{shown(element.name)}', which "
            f"need {need:,} bytes, and {room:,} are left: {_CUT}"
        )


# in words: one record a line


def _read_words(data: bytes, place: int, element: Element) -> tuple[dict[str, Column], int]:
    rows: dict[str, list[list[float]]] = {p.name: [] for p in element.properties}
    for record in range(element.count):
        end = data.find(b"\n", place)
        end = len(data) if end < 0 else end
        if end - place > _MAX_LINE_BYTES:
            raise PartError(f"{_which(element, record)} is too long a line: {_CUT}")
        _append_record(rows, data[place:end].split(), element, record)
        place = min(end + 1, len(data))
    return {p.name: _column(rows[p.name], p.is_list) for p in element.properties}, place


def _append_record(
    rows: dict[str, list[list[float]]], words: list[bytes], element: Element, record: int
) -> None:
    at = 0
    for p in element.properties:
        try:
            count = int(words[at]) if p.is_list else 1
            at += p.is_list
            values = [plain_number(word) for word in words[at : at + count]]
        except (IndexError, ValueError):
            count, values = 1, []
        if count < 0 or len(values) != count:
            line = shown(b" ".join(words)) or "missing"
            raise PartError(f"{_which(element, record)} is '{line}': {_CUT}")
        at += count
        rows[p.name].append(values)


def _column(rows: list[list[float]], is_list: bool) -> Column:
    if not is_list:
        return np.array(rows, dtype=np.float64).reshape(-1)
    return [[int(k) if k == k and abs(k) < 2**53 else -1 for k in row] for row in rows]


def _which(element: Element, record: int) -> str:
    return f"record {record + 1} of '{shown(element.name)}'"


# in bytes


def _read_bytes(
    data: bytes, place: int, element: Element, order: str
) -> tuple[dict[str, Column], int]:
    """Whole columns at once where every record is as long as the first, else one by one."""
    lengths = _list_lengths(data, place, element, order) if element.count else []
    record = element.record_type(order, lengths)
    end = place + element.count * record.itemsize
    if end <= len(data):
        table = np.frombuffer(data, record, element.count, place)
        if all((table[f"#{k}"] == n).all() for k, n in enumerate(lengths)):
            return {p.name: table[p.name] for p in element.properties}, end
    return _walk_records(data, place, element, order)


def _list_lengths(data: bytes, place: int, element: Element, order: str) -> list[int]:
    """Lengths of the lists in the record at `place`."""
    lengths: list[int] = []
    for p in element.properties:
        if p.is_list:
            lengths.append(_length(data, place, order + p.count_type))
            place += np.dtype(p.count_type).itemsize
        place += np.dtype(p.type).itemsize * (lengths[-1] if p.is_list else 1)
    return lengths


def _length(data: bytes, place: int, count_type: str) -> int:
    size = np.dtype(count_type).itemsize
    if place + size > len(data):
        raise PartError(f"its bytes end inside a list: {_CUT}")
    length = int(np.frombuffer(data, count_type, 1, place)[0])
    if not 0 <= length <= len(data):
        raise PartError(f"byte {place:,} begins a list of {length:,} entries: {_CUT}")
    return length


def _walk_records(
    data: bytes, place: int, element: Element, order: str
) -> tuple[dict[str, Column], int]:
    rows: dict[str, list[list[float]]] = {p.name: [] for p in element.properties}
    for _ in range(element.count):
        for p in element.properties:
            count = 1
            if p.is_list:
                count = _length(data, place, order + p.count_type)
                place += np.dtype(p.count_type).itemsize
            end = place + count * np.dtype(p.type).itemsize
            if end > len(data):
                raise PartError(f"its bytes end inside '{shown(element.name)}': {_CUT}")
            rows[p.name].append(np.frombuffer(data, order + p.type, count, place).tolist())
            place = end
    return {p.name: _column(rows[p.name], p.is_list) for p in element.properties}, place
