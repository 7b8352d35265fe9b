"""What `moldgen materials` shows to people: the shelf, or one material with ranges and sources."""

from __future__ import annotations

from typing import Any

import typer
from rich.box import SIMPLE
from rich.console import Console
from rich.table import Table

from moldgen.files.document import Document

READ = {
    "doubles": "until its viscosity doubles",
    "gels": "to the gel",
    "unpourable": "until it no longer pours",
}
COLUMNS = ("density_g_cm3", "viscosity_pa_s", "pot_life_min", "demold_h", "shrink_percent")
NAMES = {
    "pot_life_mass_g": "pot life is for",
    "pot_life_c": "pot life is at",
    "pour_c": "poured at",
    "limit_c": "bears up to",
}
ENDS = (
    *("_g_cm3", "_pa_s", "_min", "_mass_g", "_c", "_h", "_percent", "_w_mk", "_j_gk", "_j_g"),
    *("_shore_a", "_shore_d", "_kn_m", "_mn_m", "_deg"),
)
HEADS = ("g/cm³", "Pa·s", "pot life min", "demold h", "shrink %")


def show_shelf(document: Document) -> None:
    """Every material in one table for each role."""
    for role, title in (("rubber", "What molds are made of"), ("resin", "What is cast")):
        table = _table(title, "name", *HEADS)
        for entry in document["materials"]:
            if entry["role"] == role:
                figures = entry["figures"]
                cells = (_number(figures.get(key)) for key in COLUMNS)
                table.add_row(entry["name"], *cells)
        Console(highlight=False).print(table)
    typer.echo(
        "Typical figures of a class, for ranges and sources: moldgen materials NAME. "
        "The data sheet in hand wins: put its figures in a file, --materials FILE.toml."
    )


def show_material(document: Document) -> None:
    """One material: figures with ranges and sources, mixing, pairs and cautions."""
    (entry,) = document["materials"]
    typer.echo(f"{entry['name']}: {entry['title']}, from {document['source']}")
    table = _table("", "figure", "value", "from", "to", "unit", "source")
    for key, figure in entry["figures"].items():
        low, high = ("" if figure[end] is None else f"{figure[end]:g}" for end in ("low", "high"))
        unit = figure["unit"] or "-"
        table.add_row(_words(key), f"{figure['value']:g}", low, high, unit, figure["source"])
    Console(highlight=False).print(table)
    for line in (*_mixing(entry), *_reading(entry)):
        typer.echo(line)
    for pair in entry["pairs"]:
        typer.echo(f"with {pair['with']}: {pair['grade']}: {pair['text']}")
    for text in (*entry["bench"], *entry["cautions"]):
        typer.echo(f"caution: {text}")
    for mark, words in document["sources"].items():
        typer.echo(f"source {mark}: {words}")


def _mixing(entry: dict[str, Any]) -> list[str]:
    mix = entry["mix"]
    if not mix["hardener_parts"]:
        return [f"mix: {mix['base']} alone"]
    return [
        f"mix: {mix['base']} to {mix['hardener']} {mix['base_parts']:g}:{mix['hardener_parts']:g} "
        f"by {mix['by']}; usual is {mix['usual']}"
    ]


def _reading(entry: dict[str, Any]) -> list[str]:
    if entry["pot_life"] is None:
        return ["pot life: it does not set by itself"]
    told = "as its maker says" if entry["pot_life_told"] else "the usual reading of the class"
    return [f'pot life: the time {READ[entry["pot_life"]]} ("{entry["pot_life"]}"), {told}']


def _words(key: str) -> str:
    """A key without its unit: "density" of "density_g_cm3"."""
    stem = next((key.removesuffix(u) for u in ENDS if key.endswith(u)), key)
    return NAMES.get(key, stem.replace("_", " "))


def _table(title: str, *heads: str) -> Table:
    table = Table(title=title or None, box=SIMPLE, title_justify="left", padding=(0, 1))
    for k, head in enumerate(heads):
        last = head in ("unit", "source")
        table.add_column(head, justify="left" if not k or last else "right", no_wrap=not last)
    return table


def _number(figure: dict[str, Any] | None) -> str:
    return "-" if figure is None else f"{figure['value']:g}"
