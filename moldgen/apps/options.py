"""The options that several commands share."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, TypeAlias

import typer

from moldgen.units import LengthUnit

Triple: TypeAlias = tuple[float, float, float]

PartFile = Annotated[
    Path, typer.Argument(metavar="PART", help="The part: .stl .obj .ply .3mf .step .stp")
]
Unit = Annotated[
    LengthUnit | None, typer.Option("--unit", help="Unit of the file's numbers, where it has none.")
]
Body = Annotated[
    int | None, typer.Option("--body", min=1, help="Which body, where the file holds several.")
]
Scale = Annotated[float, typer.Option("--scale", help="Factor on the size, for shrinkage.")]
AsJson = Annotated[bool, typer.Option("--json", help="One JSON document on stdout.")]
JobFile = Annotated[
    Path | None, typer.Option("--config", metavar="FILE.toml", help="Job file with the wishes.")
]
Materials = Annotated[
    Path | None,
    typer.Option("--materials", metavar="FILE.toml", help="Your own materials, over the classes."),
]
Limit = Annotated[
    float | None, typer.Option("--limit", metavar="MM3", help="Air pocket that needs no outlet.")
]
Wall = Annotated[
    float | None, typer.Option("--wall", metavar="MM", help="Least rubber round the part.")
]
Shop = Annotated[
    float | None,
    typer.Option("--shop-c", metavar="C", help="Temperature of the shop in degrees Celsius."),
]
ShowFaces = Annotated[
    list[str] | None,
    typer.Option(
        "--show-face",
        metavar="MARK",
        help="Where no scar is welcome, as often as needed: 'sphere X Y Z R', "
        "'box X0 Y0 Z0 X1 Y1 Z1', 'point X Y Z R', 'patch FILE.stl', 'name NAME', 'color RRGGBB'.",
    ),
]
ShortFill = Annotated[
    bool,
    typer.Option("--allow-short-fill", help="Make a mold that the resin does not fill in time."),
]
Cutters = Annotated[
    Path | None,
    typer.Option("--cutters", metavar="FILE", help="Cutters at hand: a .toml or .csv file."),
]
Force = Annotated[
    bool, typer.Option("--force", help="Replace a folder that moldgen did not write.")
]
