"""What to print: the printer taken, every piece on its bed, and what is joined from parts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from moldgen.build.nouns import MoldSet
from moldgen.job.job import PrintWishes
from moldgen.report.boards import Table
from moldgen.report.phrases import count, grams
from moldgen.report.print_view import print_view

HEAD = ("piece", "count", "size, mm", "filament", "lies on its", "touches the bed", "mind")


@dataclass(frozen=True, eq=False)
class PrintPages:
    """What the sheet says of the printer: sentences, tables, and a picture of each piece."""

    answer: str
    words: tuple[str, ...]
    tables: tuple[Table, ...]
    pictures: tuple[tuple[str, str, bytes], ...]


def print_pages(mold_set: MoldSet, manifest: dict[str, Any]) -> PrintPages | None:
    """The prints of a set; None where nothing is printed.

    Parameters
    ----------
    mold_set : MoldSet
    manifest : dict
        The content of set.json.
    """
    made = {p["name"]: p for p in manifest["pieces"] if p.get("print")}
    if not made:
        return None
    printing, wishes = manifest["printing"], mold_set.plan.job.printing
    return PrintPages(
        answer=f"{count(printing['pieces'], 'piece')}, {grams(printing['filament_g'])} of "
        f"filament, {printing['filament_m']:.1f} m",
        words=(_printer(wishes), _model(wishes)),
        tables=(
            Table("", HEAD, tuple(_row(p) for p in made.values())),
            *_joined(printing["splits"]),
        ),
        pictures=tuple(
            (name, _caption(made[name]), print_view(piece, wishes.room_mm).png())
            for name, piece in ((p.name, p) for p in mold_set.pieces)
            if name in made
        ),
    )


def _printer(wishes: PrintWishes) -> str:
    x, y, z = wishes.room_mm
    return (
        f"Taken is a printer with room for {x:g} × {y:g} × {z:g} mm that lays lines of "
        f"{wishes.nozzle_mm:g} mm in layers of {wishes.layer_mm:g} mm; pieces go together with "
        f"{wishes.fit_mm:g} mm of clearance. Every file lies as it is to be printed: turn nothing."
    )


def _model(wishes: PrintWishes) -> str:
    return (
        f"The filament is reckoned with {wishes.perimeters} lines of skin all round and "
        f"{100.0 * wishes.infill_share:.0f} % of the inside filled, "
        f"Ø\u00a0{wishes.filament_mm:g} mm, {wishes.filament_g_cm3:g} g/cm³: "
        "common practice; brims, purges and supports come on top. How long it takes is the "
        "slicer's to say."
    )


def _row(piece: dict[str, Any]) -> tuple[str, ...]:
    made = piece["print"]
    return (
        piece["name"],
        str(piece["count"]),
        _sides(made["size_mm"]),
        _whole(f"{grams(made['filament_g'])}, {made['filament_m']:.1f} m"),
        _whole(made["lies_on"]),
        f"{100.0 * made['bed_share']:.0f} %",
        ", ".join(made["mind"]) or "–",
    )


def _size(size_mm: list[float]) -> str:
    return _sides(size_mm) + "\u00a0mm"


def _sides(size_mm: list[float]) -> str:
    return _whole(" × ".join(f"{v:.1f}" for v in size_mm))


def _whole(words: str) -> str:
    """The words on one line."""
    return words.replace(" ", "\u00a0")


def _caption(piece: dict[str, Any]) -> str:
    made = piece["print"]
    mind = "".join(f" · {word}" for word in made["mind"])
    return f"{_size(made['size_mm'])} · {grams(made['filament_g'])}{mind}"


def _joined(splits: list[dict[str, Any]]) -> tuple[Table, ...]:
    rows = tuple(
        (
            split["piece"],
            ", ".join(split["parts"]),
            _size(split["size_mm"]),
            count(len(split["seams"]), "seam"),
            f"{split['seams'][0]['clearance_mm']:g} mm",
        )
        for split in splits
    )
    head = ("piece", "printed as", "joined", "seams", "clearance")
    return (Table("Joined from parts", head, rows),) if rows else ()
