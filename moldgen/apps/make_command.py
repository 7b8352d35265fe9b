"""`moldgen make`: its options, what goes with what, and the wishes they put over a job file."""

from __future__ import annotations

from collections.abc import Mapping
from math import isfinite
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from moldgen.apps.console import answer, command
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
    Shop,
    ShortFill,
    ShowFaces,
    Triple,
    Unit,
    Wall,
)
from moldgen.errors import JobError
from moldgen.job.job import Arrangement, Job, MoldKind
from moldgen.job.rack import BoxMake
from moldgen.job.rigid import HalfMake

if TYPE_CHECKING:
    from moldgen.pose.pose import Pose


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
        from moldgen.apps.tables import show_set
        from moldgen.files.deliver import check_out
        from moldgen.files.read import read_part
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
        _check_options(job, wishes)
        own_files = (config, job.materials.path, job.rack.path, job.cutters.path)
        keep = [part_file, *(file for file in own_files if file), *patch_files(job)]
        require_built(job.kind)
        check_out(out, force, keep)
        part = read_part(part_file, unit, body, scale)
        document = make_folder(part, out, job, wanted, force, progress, keep)
    answer({**document, "folder": str(out)}, as_json, lambda told: show_set(told, out))


def _check_options(job: Job, wishes: Mapping[str, Any]) -> None:
    """Refuse options that the job, with its file, has no use for."""
    given = {key for key, wish in wishes.items() if wish is not None}
    if "two_part.pull" in given and job.kind not in (MoldKind.TWO_PART, MoldKind.RIGID):
        kinds = "--kind two-part or rigid"
        raise JobError(f"--pull goes with {kinds}: a {job.kind.value} mold has no pull")
    if "rubber.wall_mm" in given and job.kind is MoldKind.RIGID:
        raise JobError("--wall is of rubber: a rigid mold takes rigid.flange_mm, in a job file")
    routed = job.kind is MoldKind.RIGID and job.rigid.made is HalfMake.ROUTED
    if "rack" in given and job.box.make is BoxMake.PRINTED and not routed:
        raise JobError("--rack goes with --box boards or routed: a printed box takes none")
    if "cutters" in given and not routed:
        raise JobError("--cutters goes with --kind rigid --halves routed: nothing else is cut")
    if "rigid.made" in given and job.kind is not MoldKind.RIGID:
        raise JobError(f"--halves goes with --kind rigid, not with {job.kind.value}")


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
