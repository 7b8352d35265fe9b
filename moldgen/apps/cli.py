"""The command line: demo, check, poses, materials, reach, make.

Rooms are imported inside the commands, so that `moldgen --help` answers at once.
"""

from __future__ import annotations

import signal
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from moldgen.apps.console import STOPPED, answer, command, complain
from moldgen.apps.make_command import make
from moldgen.apps.options import (
    AsJson,
    Body,
    Cutters,
    Force,
    JobFile,
    Limit,
    Materials,
    PartFile,
    Scale,
    ShowFaces,
    Triple,
    Unit,
)

if TYPE_CHECKING:
    from moldgen.part.part import Part

app = typer.Typer(
    name="moldgen",
    help="Turns a part into a checked flexible-rubber casting mold.",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
)


def main() -> None:
    """Entry point of the program."""
    try:
        app(prog_name="moldgen")
    except KeyboardInterrupt:
        complain("stopped, nothing was written")
        sys.exit(STOPPED + signal.SIGINT)


@app.callback(invoke_without_command=True)
def _version(
    version: Annotated[bool, typer.Option("--version", help="Show the version and stop.")] = False,
) -> None:
    if version:
        from moldgen import __version__

        typer.echo(__version__)
        raise typer.Exit()


@app.command()
def demo(
    out: Annotated[Path, typer.Option("--out", metavar="DIR")] = Path("moldgen-demo"),
    as_json: AsJson = False,
    force: Force = False,
) -> None:
    """Make the mold of a fitting that the package carries."""
    with command("demo") as progress:
        from moldgen.apps.make import make as make_folder
        from moldgen.apps.tables import show_set
        from moldgen.demo import demo_part_path

        document = make_folder(demo_part_path(), out, force=force, progress=progress)
    answer({**document, "folder": str(out)}, as_json, lambda told: show_set(told, out))


@app.command()
def check(
    part_file: PartFile,
    unit: Unit = None,
    body: Body = None,
    scale: Scale = 1.0,
    as_json: AsJson = False,
) -> None:
    """Tell what is in a part file: units, size, closed or not, what would be mended."""
    with command("check"):
        from moldgen.apps.tables import show_check
        from moldgen.files.check_document import check_document
        from moldgen.files.read import read_part

        document = check_document(read_part(part_file, unit, body, scale))
    answer(document, as_json, show_check)


@app.command()
def poses(
    part_file: PartFile,
    unit: Unit = None,
    body: Body = None,
    scale: Scale = 1.0,
    config: JobFile = None,
    limit: Limit = None,
    show_face: ShowFaces = None,
    sheet: Annotated[
        Path | None,
        typer.Option("--sheet", metavar="FILE.html", help="Write a sheet of the poses."),
    ] = None,
    thorough: Annotated[
        bool,
        typer.Option("--thorough", help="Go on until the fewest connections are proved."),
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Rank the poses of a part by the gates and vents they need."""
    with command("poses") as progress:
        from moldgen.apps.job_file import read_job
        from moldgen.apps.tables import show_poses
        from moldgen.files.poses_document import poses_document
        from moldgen.files.read import read_part
        from moldgen.workflow import study

        job = read_job(config, {"channels.limit_mm3": limit}, show_face or ())
        part = read_part(part_file, unit, body, scale)
        found = study(part, job, progress, thorough)
        document = poses_document(part, found, job.show_faces)
        if sheet:
            _write_sheet(sheet, part_file, found, part, job)
    answer(document, as_json, show_poses)


@app.command()
def materials(
    name: Annotated[
        str | None, typer.Argument(metavar="NAME", help="One material, with ranges and sources.")
    ] = None,
    own: Materials = None,
    as_json: AsJson = False,
) -> None:
    """Show the classes of rubber and resin that moldgen reckons with, and your own."""
    with command("materials"):
        from moldgen.apps.shelf_tables import show_material, show_shelf
        from moldgen.files.shelf_document import materials_document
        from moldgen.materials.read import read_materials, shelf

        document = materials_document(read_materials(own) if own else shelf(), name)
    answer(document, as_json, show_material if name else show_shelf)


@app.command()
def reach(
    part_file: PartFile,
    pull: Annotated[
        Triple | None,
        typer.Option(
            "--pull", metavar="X Y Z", help="The file's direction along which halves come apart."
        ),
    ] = None,
    cutters: Cutters = None,
    unit: Unit = None,
    body: Body = None,
    scale: Scale = 1.0,
    as_json: AsJson = False,
) -> None:
    """Tell whether a router's cutters can cut rigid halves of a part, and what they would leave."""
    with command("reach"):
        from moldgen.apps.cutter_file import read_cutters
        from moldgen.apps.reach import find_reach, show_reach
        from moldgen.files.read import read_part
        from moldgen.job.cutters import CutterList

        listed = read_cutters(cutters) if cutters else CutterList()
        document = find_reach(read_part(part_file, unit, body, scale), pull, listed)
    answer(document, as_json, show_reach)


app.command()(make)


def _write_sheet(sheet: Path, part_file: Path, study: Any, part: Part, job: Any) -> None:
    from moldgen.errors import FileError
    from moldgen.report.poses_html import poses_sheet

    if sheet.resolve() == part_file.resolve():
        raise FileError(f"--sheet {sheet} is the part itself: choose another name")
    try:
        sheet.write_text(poses_sheet(study, part.mesh, job, part.name), encoding="utf-8")
    except OSError as error:
        raise FileError(f"{sheet} could not be written: {error.strerror}") from error
