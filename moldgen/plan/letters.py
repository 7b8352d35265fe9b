"""Plain letters of single lines, for engraving: each on a field 4 wide and 6 high.

A glyph is its lines, and a line its points, two figures each: how far across, how far up.
"""

from __future__ import annotations

from dataclasses import replace

from moldgen.plan.flat import SCRATCH_MM, Label, Stroke, Work, moved

HIGH = 6.0  # of the field
ADVANCE = 5.5  # from one letter to the next

GLYPHS: dict[str, str] = {
    "A": "002640 1333",
    "B": "00063645443303 3342413000",
    "C": "4536160501103041",
    "D": "00062644422000",
    "E": "40000646 0333",
    "F": "000646 0333",
    "G": "45361605011030414323",
    "H": "0006 4046 0343",
    "I": "2026",
    "J": "4641301001",
    "K": "0006 460340",
    "L": "060040",
    "M": "0006234640",
    "N": "00064046",
    "O": "100105163645413010",
    "P": "00063645443303",
    "Q": "100105163645413010 2240",
    "R": "00063645443303 2340",
    "S": "453616050413334241301001",
    "T": "0646 2620",
    "U": "060110304146",
    "V": "062046",
    "W": "0610233046",
    "X": "0046 0640",
    "Y": "0623 462320",
    "Z": "06460040",
    "0": "100105163645413010 1135",
    "1": "152620 1030",
    "2": "05163645440040",
    "3": "05163645443323 334241301001",
    "4": "30360242",
    "5": "4606033342413000",
    "6": "4536160501103041423303",
    "7": "064610",
    "8": "13040516364544331302011030414233",
    "9": "0110304145361605041343",
    "-": "0343",
}


def strokes(label: Label) -> tuple[Stroke, ...]:
    """The lines that write a name, in capitals; what has no letter is left out.

    Parameters
    ----------
    label : Label
    """
    return tuple(
        Stroke(
            Work.NAME,
            SCRATCH_MM,
            tuple(_placed(label, i, line[k : k + 2]) for k in range(0, len(line), 2)),
        )
        for i, letter in enumerate(label.text.upper())
        for line in GLYPHS.get(letter, "").split()
    )


def fitted(label: Label, room_mm: float) -> Label:
    """The name written smaller where there is no room for it.

    Parameters
    ----------
    label : Label
    room_mm : float
        Along the name.
    """
    return replace(label, height_mm=label.height_mm * min(1.0, room_mm / width_mm(label)))


def width_mm(label: Label) -> float:
    """How long a name is written [mm]."""
    return ((len(label.text) - 1) * ADVANCE + 4.0) * label.height_mm / HIGH


def _placed(label: Label, place: int, point: str) -> tuple[float, float]:
    scale = label.height_mm / HIGH
    x, y = (place * ADVANCE + int(point[0])) * scale, int(point[1]) * scale
    return moved((x, y), label.at, label.turned)
