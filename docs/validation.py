"""Reckon the figures of docs/validation.md: python docs/validation.py writes them into the page."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import groupby
from pathlib import Path

from known import liquids, plates, resins
from known.row import Kind, Row

PAGE = Path(__file__).with_name("validation.md")
START, END = "<!-- reckoned -->", "<!-- end of reckoned -->"


def rows() -> Iterator[Row]:
    """Every figure of the page."""
    yield from plates.rows()
    yield from liquids.rows()
    yield from resins.rows()


def counted() -> Counter[Kind]:
    """How many figures are known in each way."""
    return Counter(row.kind for row in rows())


def reckoned() -> str:
    """The count and the table in Markdown."""
    count = counted()
    told = ", ".join(f"{count[kind]} {kind.value}" for kind in Kind)
    recalled = sum("from memory" in r.source for r in rows() if r.kind is Kind.PRINTED)
    lines = [
        f"{count.total()} figures: {told}. Of those as printed, {recalled} are remembered prints: "
        f"the book was not at hand. Worst deviation: {_worst()}.",
        "",
        "| source | case | known | moldgen | deviation |",
        "|---|---|---|---|---|",
    ]
    for (source, kind), group in groupby(rows(), key=lambda r: (r.source, r.kind)):
        for k, row in enumerate(group):
            known, ours = f"{row.known:.5g} {row.unit}", f"{row.ours:.5g} {row.unit}"
            name = f"{source} ({kind.value})" if k == 0 else ""
            cells = (name, row.case, known.strip(), ours.strip(), row.deviation)
            lines.append("| " + " | ".join(cells) + " |")
    return "\n".join(lines)


def _worst() -> str:
    row = max(rows(), key=lambda r: r.share)
    return f"{row.deviation}, {row.case}"


def page_with(table: str, page: str) -> str:
    """The page with its table replaced."""
    head, rest = page.split(START)
    return f"{head}{START}\n\n{table}\n\n{END}{rest.split(END)[1]}"


if __name__ == "__main__":
    PAGE.write_text(page_with(reckoned(), PAGE.read_text("utf-8")), encoding="utf-8")
