"""A look at STEP text before the exact kernel reads it: is it whole, finite, and in what unit?

The kernel hangs on numbers that are none, so those are looked for here.
"""

from __future__ import annotations

import re

from moldgen.errors import PartError
from moldgen.files.raw import shown
from moldgen.units import LengthUnit

_BEGIN, _END = b"ISO-10303-21;", b"END-ISO-10303-21;"
_TAIL_BYTES = 4096
_QUOTED = re.compile(rb"'[^']*+'|/\*.*?\*/", re.DOTALL)
_NO_NUMBER = re.compile(rb"[(,]\s*+([-+]?(?:nan|inf|infinity|1\.#\w+)\b)", re.IGNORECASE)
_TOO_LARGE = re.compile(rb"[(,]\s*+([-+]?\d*+\.?\d*+E\+?0*+[1-9]\d\d++)\b", re.IGNORECASE)
_CONTEXT = re.compile(rb"GLOBAL_UNIT_ASSIGNED_CONTEXT\s*+\(\s*+\(([^)]*+)\)")
_LENGTH = re.compile(rb"#(\d++)\s*+=\s*+(\([^;]*?\bLENGTH_UNIT\b[^;]*+);")
_CONVERSION = re.compile(rb"CONVERSION_BASED_UNIT\s*+\(\s*+'([^']*+)'")
_SI = re.compile(rb"SI_UNIT\s*+\(\s*+(\$|\.\w++\.)\s*+,\s*+\.METRE\.\s*+\)")

_PREFIXES = {
    b"$": LengthUnit.M,
    b".CENTI.": LengthUnit.CM,
    b".MILLI.": LengthUnit.MM,
    b".MICRO.": LengthUnit.MICRON,
}
_NAMES = {
    b"INCH": LengthUnit.INCH,
    b"FOOT": LengthUnit.FOOT,
    b"MILLIMETRE": LengthUnit.MM,
    b"MILLIMETER": LengthUnit.MM,
    b"CENTIMETRE": LengthUnit.CM,
    b"METRE": LengthUnit.M,
}


def check_step_text(data: bytes) -> LengthUnit:
    """The length unit a STEP file states, once its text has been found whole and finite.

    Raises
    ------
    PartError
        If it is no STEP file, is cut short, holds a number that is none, or states no length
        unit or one that is not known.
    """
    if not data.lstrip()[: len(_BEGIN)] == _BEGIN:
        raise PartError("it does not begin as STEP does (ISO-10303-21): export the part again")
    if not data[-_TAIL_BYTES:].rstrip().endswith(_END):
        raise PartError(
            f"it does not end as STEP does ({_END.decode()}): it is cut short, export it again"
        )
    _check_numbers(data)
    return _stated_unit(data)


def _check_numbers(data: bytes) -> None:
    text = _QUOTED.sub(lambda quoted: b" " * len(quoted[0]), data)
    bad = _NO_NUMBER.search(text) or _TOO_LARGE.search(text)
    if bad:
        line = data.count(b"\n", 0, bad.start(1)) + 1
        raise PartError(
            f"line {line} has '{shown(bad[1])}' where a finite number is wanted: export it again"
        )


def _stated_unit(data: bytes) -> LengthUnit:
    units = {match[1]: match[2] for match in _LENGTH.finditer(data)}
    named = [
        number
        for context in _CONTEXT.findall(data)
        for number in re.findall(rb"#(\d+)", context)
        if number in units
    ]
    if not named:
        raise PartError("it does not state its length unit: export it again with units")
    return _unit(units[named[0]])


def _unit(entity: bytes) -> LengthUnit:
    if name := _CONVERSION.search(entity):
        unit, word = _NAMES.get(name[1].strip().upper()), name[1]
    else:
        prefix = _SI.search(entity)
        word = prefix[1] if prefix else entity
        unit = _PREFIXES.get(word)
    if unit is None:
        known = ", ".join(u.value for u in LengthUnit)
        raise PartError(f"its length unit '{shown(word)}' is not one of {known}: export it in mm")
    return unit
