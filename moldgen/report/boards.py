"""The boards on the job sheet: cut list, pieces, and a drawing of each board."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from moldgen.plan.flat_sheets import board_sheets, box_of
from moldgen.plan.nouns import MoldPlan
from moldgen.report.board_view import HOLES, board_svg, cut_words
from moldgen.report.phrases import count, mm

SEEN_MM = 0.01  # a smaller bow is not worth a figure
SAW_CAUTION = (
    "Saws and routers maim and wood dust harms the lungs: guards on, eyes and ears covered, dust "
    "drawn off; the machine's manual and local rules decide."
)


@dataclass(frozen=True)
class Table:
    """Rows under a head."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class BoardPages:
    """What the sheet says of the boards: a sentence, tables, and drawings with their words."""

    summary: str
    tables: tuple[Table, ...]
    drawings: tuple[tuple[str, str], ...]


def board_pages(plan: MoldPlan, box: dict[str, Any]) -> BoardPages | None:
    """The boards of a plan; None where the box is printed.

    Parameters
    ----------
    plan : MoldPlan
    box : dict
        The key `box` of set.json.
    """
    if plan.boards is None:
        return None
    sheets = board_sheets(plan)
    drawings = tuple(
        (board_svg(sheet, entry), _words(entry))
        for sheet, entry in zip(sheets, box["boards"], strict=True)
    )
    summary = f"{_work(box)} {SAW_CAUTION}"
    tables = (_pieces(box), *_cut_list(box), *_places(box), *_holes(plan, box))
    return BoardPages(summary, tables, drawings)


def _work(box: dict[str, Any]) -> str:
    """What saw or router have to do."""
    if "cutter_mm" in box:
        return (
            f"Routed with a cutter of {mm(box['cutter_mm'])}, outlines outside and grooves inside "
            f"the line, pieces {mm(box['edge_mm'])} off the boards' edges. Walls lie with their "
            f"outside up, the base with its groove up, {mm(box['groove_mm'])} deep. Fingers and "
            f"groove have {box['joint_fit_mm']:g} mm of play: make a sample joint first."
        )
    n = box["cuts"]
    blade = f"{count(n, 'cut')}; the blade, {mm(box['kerf_mm'])}, runs beyond each measure."
    return blade if n else "The boards serve uncut."


def _words(entry: dict[str, Any]) -> str:
    size = " × ".join(f"{v:g}" for v in entry["size_mm"])
    share = f", {100.0 * entry['used_share']:.0f} % of it used"
    return f"{entry['drawing']}: {entry['name']}, {entry['material']} {size} mm{share}"


def _pieces(box: dict[str, Any]) -> Table:
    rows = tuple(
        (
            p["name"],
            p["board"],
            " × ".join(f"{v:.1f}" for v in p["size_mm"]) + " mm",
            " × ".join(f"{v:.1f}" for v in p["needs_mm"]) + " mm",
            _bow(p["bow_mm"]),
        )
        for p in box["pieces"]
    )
    return Table(
        "Pieces of board", ("piece", "board", "is", "needs at least", "bows under rubber"), rows
    )


def _bow(bow_mm: float | None) -> str:
    if bow_mm is None:
        return "–"
    return f"{bow_mm:.2f} mm" if bow_mm >= SEEN_MM else f"under {SEEN_MM:g} mm"


def _cut_list(box: dict[str, Any]) -> tuple[Table, ...]:
    rows = tuple(
        (entry["drawing"], str(i), cut_words(cut))
        for entry in box["boards"]
        for i, cut in enumerate(entry["cuts"], start=1)
    )
    return (Table("Cut list, in order", ("board", "cut", "where"), rows),) if rows else ()


def _places(box: dict[str, Any]) -> tuple[Table, ...]:
    """Where pieces lie on the router's boards; a saw goes by its cuts."""
    if "cutter_mm" not in box:
        return ()
    rows = tuple(
        (
            place["name"],
            entry["drawing"],
            " × ".join(f"{v:.1f}" for v in place["size_mm"]) + " mm",
            ", ".join(f"{v:.1f}" for v in place["low_mm"]) + " mm",
            "turned" if place["turned"] else "upright",
        )
        for entry in box["boards"]
        for place in entry["places"]
    )
    head = ("piece", "board", "takes", "lower left corner at", "lies")
    return (Table("Places on the boards, from their lower left corner", head, rows),)


def _holes(plan: MoldPlan, entry: dict[str, Any]) -> tuple[Table, ...]:
    fit, box = plan.job.printing.fit_mm, box_of(plan)
    formers = box.formers if box.is_standing else ()
    rows = tuple(
        (
            letter,
            f.name,
            f"Ø {2.0 * (f.foot_mm + fit):.1f} mm",
            f"{f.foot_height_mm:.1f} mm deep, flat",
            _hole_tool(2.0 * (f.foot_mm + fit), entry),
        )
        for letter, f in zip(HOLES, formers, strict=False)
    )
    head = ("hole", "foot", "across", "depth", "with")
    return (Table("Holes in the base for the feet", head, rows),) if rows else ()


def _hole_tool(wide_mm: float, entry: dict[str, Any]) -> str:
    return "the cutter" if wide_mm >= entry.get("cutter_mm", float("inf")) else "a drill"
