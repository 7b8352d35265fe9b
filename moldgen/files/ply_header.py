"""The header of a PLY file: which elements follow, how many, of which properties."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np

from moldgen.errors import PartError
from moldgen.files.limits import MAX_TRIANGLES
from moldgen.files.raw import shown

_TYPES = {
    name: code
    for code, names in {
        "i1": "char int8",
        "u1": "uchar uint8",
        "i2": "short int16",
        "u2": "ushort uint16",
        "i4": "int int32",
        "u4": "uint uint32",
        "f4": "float float32",
        "f8": "double float64",
    }.items()
    for name in names.split()
}
_ORDERS = {"ascii": "", "binary_little_endian": "<", "binary_big_endian": ">"}
_MAX_HEADER_BYTES = 100_000
_MAX_LINES = 500
_MAX_RECORDS = 3 * MAX_TRIANGLES
_END = re.compile(rb"\n\s*end_header[ \t]*(\r\n|\n|\r)")


@dataclass(frozen=True)
class Property:
    """One field of a record; a list has the type of its count as well."""

    name: str
    type: str
    count_type: str = ""

    @property
    def is_list(self) -> bool:
        """Whether the field is a list with its length before it."""
        return bool(self.count_type)


@dataclass(frozen=True)
class Element:
    """One table of the file."""

    name: str
    count: int
    properties: tuple[Property, ...] = ()

    @property
    def least_bytes(self) -> int:
        """Bytes of a record whose lists are empty."""
        return sum(np.dtype(p.count_type or p.type).itemsize for p in self.properties)

    @property
    def least_text_bytes(self) -> int:
        """Characters of a record whose fields are one digit long, with a blank after each."""
        return max(1, 2 * len(self.properties))

    def record_type(self, order: str, lengths: list[int]) -> np.dtype[np.void]:
        """The layout of a record with lists of these lengths; `#k` counts list k."""
        fields: list[tuple[str, str] | tuple[str, str, tuple[int]]] = []
        left = list(lengths)
        for p in self.properties:
            if p.is_list:
                fields.append((f"#{len(lengths) - len(left)}", order + p.count_type))
                fields.append((p.name, order + p.type, (left.pop(0) if left else 0,)))
            else:
                fields.append((p.name, order + p.type))
        return np.dtype(fields)


def read_header(data: bytes) -> tuple[str, list[Element], int]:
    """Byte order ("" for words), elements, and where their records begin.

    Raises
    ------
    PartError
    """
    if not data.startswith((b"ply\n", b"ply\r")):
        raise PartError("it does not begin with the line 'ply': export the part again")
    end = _END.search(data, 0, _MAX_HEADER_BYTES)
    if end is None:
        raise PartError("its header has no end: it is cut short or damaged, export it again")
    lines = data[: end.start()].decode("latin-1").splitlines()[1:]
    if len(lines) > _MAX_LINES:
        raise PartError(f"its header has {len(lines)} lines, at most {_MAX_LINES} are read")
    order, elements = _parsed([line.split() for line in lines])
    return order, elements, end.end()


def _parsed(lines: list[list[str]]) -> tuple[str, list[Element]]:
    order, elements = None, list[Element]()
    for words in lines:
        match words:
            case ["format", name, "1.0"] if name in _ORDERS:
                order = _ORDERS[name]
            case ["element", name, count] if count.isdecimal() and len(count) < 18:
                elements.append(_new_element(name, int(count), elements))
            case ["property", *rest] if elements:
                elements[-1] = _with_property(elements[-1], rest)
            case [] | ["comment" | "obj_info", *_]:
                pass
            case _:
                raise _not_understood(words)
    if order is None:
        raise PartError("its header names no format: export the part again")
    return order, elements


def _new_element(name: str, count: int, before: list[Element]) -> Element:
    if count > _MAX_RECORDS:
        raise PartError(
            f"its header announces {count:,} records of '{shown(name)}' and at most "
            f"{_MAX_RECORDS:,} are read: export it more coarsely or decimate it"
        )
    if name in [e.name for e in before]:
        raise PartError(f"its header names '{shown(name)}' twice: export the part again")
    return Element(name, count)


def _with_property(element: Element, words: list[str]) -> Element:
    match words:
        case [kind, name] if kind in _TYPES:
            new = Property(name, _TYPES[kind])
        case ["list", count, kind, name] if _TYPES.get(count, "f")[0] in "iu" and kind in _TYPES:
            new = Property(name, _TYPES[kind], _TYPES[count])
        case _:
            raise _not_understood(["property", *words])
    if new.name in [p.name for p in element.properties]:
        raise PartError(f"its header names property '{shown(new.name)}' twice: export it again")
    return Element(element.name, element.count, (*element.properties, new))


def _not_understood(words: list[str]) -> PartError:
    return PartError(
        f"its header line '{shown(' '.join(words))}' is not understood: export the part again"
    )
