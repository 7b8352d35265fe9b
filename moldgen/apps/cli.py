"""The command line: demo, check, poses, materials, make.

Rooms are imported inside the commands, so that `moldgen --help` answers at once.
"""

from __future__ import annotations

import signal
import sys
from math import isfinite
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, TypeAlias

import typer

from moldgen.apps.console import STOPPED, command, complain
from moldgen.errors import JobError
from moldgen.job.job import Arrangement, MoldKind
from moldgen.job.rack import BoxMake
from moldgen.job.rigid import HalfMake
from moldgen.units import LengthUnit

if TYPE_CHECKING:
    from moldgen.files.manifest import Document
    from moldgen.part.part import Part
    from moldgen.pose.pose import Pose

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
        from moldgen.demo import demo_part_path

        document = make_folder(demo_part_path(), out, force=force, progress=progress)
    _show_set(document, out, as_json)


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
        from moldgen.files.manifest import check_document

        document = check_document(_read(part_file, unit, body, scale))
    if as_json:
        _show_json(document)
        return
    from moldgen.apps.tables import show_check

    show_check(document)


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
        from moldgen.files.manifest import poses_document
        from moldgen.workflow import study

        job = read_job(config, {"channels.limit_mm3": limit}, show_face or ())
        part = _read(part_file, unit, body, scale)
        found = study(part, job, progress, thorough)
        document = poses_document(part, found, job.show_faces)
        if sheet:
            _write_sheet(sheet, part_file, found, part, job)
    if as_json:
        _show_json(document)
        return
    from moldgen.apps.tables import show_poses

    show_poses(document)


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
        from moldgen.files.shelf_document import materials_document
        from moldgen.materials.read import read_materials, shelf

        document = materials_document(read_materials(own) if own else shelf(), name)
    if as_json:
        _show_json(document)
        return
    from moldgen.apps.shelf_tables import show_material, show_shelf

    (show_material if name else show_shelf)(document)


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
        from moldgen.apps.reach import find_reach
        from moldgen.job.cutters import CutterList

        listed = read_cutters(cutters) if cutters else CutterList()
        document = find_reach(_read(part_file, unit, body, scale), pull, listed)
    if as_json:
        _show_json(document)
        return
    from moldgen.apps.reach import show_reach

    show_reach(document)


@app.command()
def make(
    part_file: PartFile,
    out: Annotated[Path, typer.Option("--out", metavar="DIR", help="The folder to make.")],
    kind: Annotated[
        MoldKind | None,
        typer.Option("--kind", help="block, two-part or rigid; the others are not built yet."),
    ] = None,
    pose: Annotated[
        int | None, typer.Option("--pose", metavar="N", min=1, help="Rank from `moldgen poses`.")
    ] = None,
    up: Annotated[
        Triple | None,
        typer.Option("--up", metavar="X Y Z", help="The file's direction that points up."),
    ] = None,
    turn: Annotated[
        Triple | None,
        typer.Option(
            "--turn", metavar="RX RY RZ", help="Turns about X, then Y, then Z in degrees."
        ),
    ] = None,
    pull: Annotated[
        Triple | None,
        typer.Option(
            "--pull",
            metavar="X Y Z",
            help="The file's direction along which the halves of a mold come apart.",
        ),
    ] = None,
    unit: Unit = None,
    body: Body = None,
    scale: Scale = 1.0,
    config: JobFile = None,
    limit: Limit = None,
    arrangement: Annotated[
        Arrangement | None,
        typer.Option("--arrangement", help="How the part is carried while rubber is poured."),
    ] = None,
    wall: Wall = None,
    shop_c: Shop = None,
    allow_short_fill: ShortFill = False,
    own: Materials = None,
    box: Annotated[
        BoxMake | None, typer.Option("--box", help="What the box round the rubber is made of.")
    ] = None,
    rack: Annotated[
        Path | None,
        typer.Option("--rack", metavar="FILE", help="Boards at hand: a .toml or .csv file."),
    ] = None,
    halves: Annotated[
        HalfMake | None, typer.Option("--halves", help="How the halves of a rigid mold are made.")
    ] = None,
    cutters: Cutters = None,
    print_room: Annotated[
        Triple | None,
        typer.Option("--print-room", metavar="X Y Z", help="What the printer can fill, in mm."),
    ] = None,
    compensate_shrink: Annotated[
        bool | None,
        typer.Option(
            "--compensate-shrink/--no-compensate-shrink",
            help="Make the part larger by what rubber and resin shrink.",
        ),
    ] = None,
    show_face: ShowFaces = None,
    force: Force = False,
    as_json: AsJson = False,
) -> None:
    """Make the mold set of a part: bodies, pictures, job sheet, all checked."""
    with command("make") as progress:
        wanted = _wanted_pose(pose, up, turn)
        from moldgen.apps.job_file import read_job
        from moldgen.apps.make import make as make_folder
        from moldgen.apps.show_faces import patch_files
        from moldgen.files.deliver import check_out
        from moldgen.workflow import require_built

        wishes: dict[str, Any] = {
            "kind": kind,
            "arrangement": arrangement,
            "two_part.pull": list(pull) if pull else None,
            "channels.limit_mm3": limit,
            "rubber.wall_mm": wall,
            "shop_c": shop_c,
            "resin.allow_short_fill": allow_short_fill or None,
            "materials": str(own) if own else None,
            "box.make": box,
            "rack": str(rack) if rack else None,
            "rigid.made": halves,
            "cutters": str(cutters) if cutters else None,
            "printing.room_mm": list(print_room) if print_room else None,
            "compensate_shrink": compensate_shrink,
        }
        job = read_job(config, wishes, show_face or ())
        if pull and job.kind not in (MoldKind.TWO_PART, MoldKind.RIGID):
            kinds = "--kind two-part or rigid"
            raise JobError(f"--pull goes with {kinds}: a {job.kind.value} mold has no pull")
        if wall is not None and job.kind is MoldKind.RIGID:
            raise JobError("--wall is of rubber: a rigid mold takes rigid.flange_mm, in a job file")
        routed = job.kind is MoldKind.RIGID and job.rigid.made is HalfMake.ROUTED
        if rack and job.box.make is BoxMake.PRINTED and not routed:
            raise JobError("--rack goes with --box boards or routed: a printed box takes none")
        if cutters and not routed:
            raise JobError("--cutters goes with --kind rigid --halves routed: nothing else is cut")
        if halves and job.kind is not MoldKind.RIGID:
            raise JobError(f"--halves goes with --kind rigid, not with {job.kind.value}")
        own_files = (config, job.materials.path, job.rack.path, job.cutters.path)
        keep = [part_file, *(file for file in own_files if file), *patch_files(job)]
        require_built(job.kind)
        check_out(out, force, keep)
        part = _read(part_file, unit, body, scale)
        document = make_folder(part, out, job, wanted, force, progress, keep)
    _show_set(document, out, as_json)


def _read(part_file: Path, unit: LengthUnit | None, body: int | None, scale: float) -> Part:
    from moldgen.files.read import read_part

    return read_part(part_file, unit, body, scale)


def _wanted_pose(pose: int | None, up: Triple | None, turn: Triple | None) -> Pose | int | None:
    """The pose the user gave, or the rank of one that the study finds, if any was asked for."""
    if sum(option is not None for option in (pose, up, turn)) > 1:
        raise JobError("--pose, --up and --turn exclude each other: give one of them")
    from moldgen.geometry.rigid import rotation_xyz
    from moldgen.pose.pose import Pose

    if turn is not None:
        if not all(isfinite(angle) for angle in turn):
            raise JobError(f"--turn needs three finite angles in degrees, not {turn}")
        return Pose(rotation_xyz(*turn))
    if up is not None:
        if not all(isfinite(step) for step in up) or not any(up):
            raise JobError(f"--up needs three finite numbers that are not all zero, not {up}")
        return Pose.from_up(up)
    return pose


def _write_sheet(sheet: Path, part_file: Path, study: Any, part: Part, job: Any) -> None:
    from moldgen.errors import FileError
    from moldgen.report.poses_html import poses_sheet

    if sheet.resolve() == part_file.resolve():
        raise FileError(f"--sheet {sheet} is the part itself: choose another name")
    try:
        sheet.write_text(poses_sheet(study, part.mesh, job, part.name), encoding="utf-8")
    except OSError as error:
        raise FileError(f"{sheet} could not be written: {error.strerror}") from error


def _show_set(document: Document, out: Path, as_json: bool) -> None:
    if as_json:
        _show_json({**document, "folder": str(out)})
        return
    from moldgen.apps.tables import show_set

    show_set(document, out)


def _show_json(document: Document) -> None:
    from moldgen.files.manifest import json_text

    sys.stdout.write(json_text(document))
    sys.stdout.flush()
