"""Writing a finished set: every body goes out, comes back, and is held to its promises."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TypeAlias

from moldgen.build.balance import prove_meshes
from moldgen.build.nouns import MoldSet, Piece
from moldgen.build.rejoin import rejoined
from moldgen.build.rigid_proof import prove_rigid_meshes
from moldgen.build.two_part_proof import prove_two_part_meshes
from moldgen.errors import CheckError, Finding, Grade, SolidError
from moldgen.files.document import Document, json_text
from moldgen.files.folder import check_target, fresh_folder
from moldgen.files.manifest import SET_FILE, is_our_set, manifest
from moldgen.files.router import prove_router, write_router
from moldgen.files.step import read_step_names, write_step
from moldgen.files.stl import read_stl, write_stl
from moldgen.files.threemf import read_3mf, write_3mf
from moldgen.geometry.brep import exact_solid
from moldgen.geometry.brep_kernel import exact_kernel_missing
from moldgen.geometry.closed import is_closed
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.recipe import Placed, Recipe
from moldgen.geometry.rigid import inverse
from moldgen.plan.nouns import MoldPlan

Progress: TypeAlias = Callable[[str, float], None]
MakeSheet: TypeAlias = Callable[[Document], str]
PieceFiles: TypeAlias = dict[str, dict[str, str]]

SET_3MF = "print/set.3mf"
SHEET_FILE = "job-sheet.html"
ROUTED_ROLES = ("half-a", "half-b")
SAME_VOLUME = 1e-5  # single precision moves a skin by 4e-6 mm at 100 mm from the origin
FACET_SHARE = 1e-3  # a circle of 64 sides is met within this; an error of construction is larger


def check_out(out: Path, force: bool = False, keep: Sequence[Path] = ()) -> None:
    """Refuse a folder that `write_set` would refuse, before any work is done.

    Parameters
    ----------
    out : Path
    force : bool
        Replace a folder that moldgen did not write.
    keep : sequence of Path
        Files that must not be lost with it.

    Raises
    ------
    FileError
        If it is a file, is not ours to replace, or holds something that must be kept.
    """
    check_target(out, is_our_set, force, keep)


def write_set(
    mold_set: MoldSet,
    pictures: Mapping[str, bytes],
    make_sheet: MakeSheet,
    out: Path,
    force: bool = False,
    progress: Progress | None = None,
    keep: Sequence[Path] = (),
) -> Document:
    """Write the folder of a finished set, whole or not at all.

    Parameters
    ----------
    mold_set : MoldSet
    pictures : mapping
        PNG bytes by file name.
    make_sheet : callable
        From the manifest to the job sheet's HTML.
    out : Path
        The folder to make; one that moldgen wrote before is replaced.
    force : bool
        Replace a folder that moldgen did not write.
    progress : callable, optional
        Called with (label, share done).
    keep : sequence of Path
        Files that must not be lost with a folder that is replaced.

    Returns
    -------
    dict
        The content of set.json.

    Raises
    ------
    FileError
        If the folder must not be replaced or the disk refuses.
    CheckError
        If what was written does not read back as the set that was proven.
    """
    tell = progress or (lambda _label, _share: None)
    with fresh_folder(out, is_our_set, force, keep) as folder:
        tell("writing bodies", 0.0)
        files = _write_meshes(folder, mold_set.pieces)
        tell("writing exact solids", 0.2)
        findings = _write_exact(folder, mold_set.pieces, files)
        for name, place in write_router(folder, mold_set.plan).items():
            files[name]["dxf"] = place
        document = manifest(mold_set, files, findings)
        tell("writing the job sheet", 0.5)
        _write_papers(folder, pictures, make_sheet(document), document)
        tell("reading everything back", 0.6)
        _prove_files(folder, mold_set, files)
        prove_router(folder, mold_set.plan)
        tell("done", 1.0)
    return document


def _write_meshes(folder: Path, pieces: Sequence[Piece]) -> PieceFiles:
    """One STL a piece and one 3MF of all that are printed, if any; which piece is where."""
    for room in {"view", "pictures", *(_room_of(piece) for piece in pieces)}:
        (folder / room).mkdir()
    files: PieceFiles = {}
    for piece in pieces:
        files[piece.name] = {"stl": f"{_room_of(piece)}/{piece.name}.stl"}
        write_stl(folder / files[piece.name]["stl"], piece.mesh)
    printed = _printed(pieces)
    if printed:
        write_3mf(folder / SET_3MF, printed, title="mold set")
    for piece in printed:
        files[piece.name]["3mf"] = SET_3MF
    return files


def _write_exact(folder: Path, pieces: Sequence[Piece], files: PieceFiles) -> tuple[Finding, ...]:
    """STEP of every piece that is made and has a recipe, in its STL's frame; or why one is not."""
    missing = exact_kernel_missing()
    if missing:
        return (Finding(Grade.CAUTION, f"the folder cad is left out: {missing}"),)
    made = [(p, p.recipe) for p in pieces if p.recipe is not None and _room_of(p) != "view"]
    if made:
        (folder / "cad").mkdir()
    findings = []
    for piece, recipe in made:
        name = f"cad/{piece.name}.step"
        try:
            _write_step(folder / name, piece, recipe)
        except SolidError as error:
            (folder / name).unlink(missing_ok=True)
            findings.append(Finding(Grade.CAUTION, f"{name} is left out: {error}"))
            continue
        _require_exact(name, read_step_names(folder / name), piece)
        files[piece.name]["step"] = name
    return tuple(findings)


def _write_step(path: Path, piece: Piece, recipe: Recipe) -> None:
    there = inverse(piece.placement).tolist()
    write_step(
        path, [(piece.name, exact_solid(Placed(recipe, tuple(tuple(row) for row in there))))]
    )


def _write_papers(
    folder: Path, pictures: Mapping[str, bytes], sheet: str, document: Document
) -> None:
    for name, png in pictures.items():
        (folder / "pictures" / name).write_bytes(png)
    (folder / SHEET_FILE).write_text(sheet, encoding="utf-8")
    (folder / SET_FILE).write_text(json_text(document), encoding="utf-8")


def _prove_files(folder: Path, mold_set: MoldSet, files: PieceFiles) -> None:
    """Read every body back and prove the set again on what the files hold."""
    bodies = {p.name: read_stl(folder / files[p.name]["stl"]) for p in mold_set.pieces}
    for piece in mold_set.pieces:
        _require_same(files[piece.name]["stl"], bodies[piece.name], piece)
    printed = _printed(mold_set.pieces)
    objects = read_3mf(folder / SET_3MF) if printed else {}
    if set(objects) != {p.name for p in printed}:
        raise CheckError(f"{SET_3MF} names {sorted(objects)}, not the printed pieces")
    for piece in printed:
        _require_same(f"{SET_3MF} ({piece.name})", objects[piece.name], piece)
    standing = {p.name: bodies[p.name].moved(p.placement) for p in mold_set.pieces}
    prove_whole(mold_set.plan, rejoined(mold_set.splits, standing))


def prove_whole(plan: MoldPlan, meshes: Mapping[str, Mesh]) -> None:
    """Hold the bodies of a set, each in one piece, to what its kind of mold promises.

    Parameters
    ----------
    plan : MoldPlan
    meshes : mapping
        Every piece by name, in the casting frame [mm].

    Raises
    ------
    CheckError
        If a promise is broken.
    """
    if plan.rigid:
        prove_rigid_meshes(plan, meshes)
    elif plan.two_part:
        prove_two_part_meshes(plan, meshes)
    else:
        prove_meshes(plan, meshes)


def _require_same(place: str, body: Mesh, piece: Piece) -> None:
    """The body read back is closed and as large as the piece that was written."""
    if not is_closed(body):
        raise CheckError(
            f"{place} does not read back closed: two corners lie closer together than a file of"
            " single precision can tell apart; scale the part or mend it there"
        )
    wanted = piece.mesh.volume_mm3
    if not abs(body.volume_mm3 - wanted) <= SAME_VOLUME * wanted:
        raise CheckError(
            f"{place} reads back with {body.volume_mm3:.3f} mm³, {wanted:.3f} mm³ were written"
        )


def _require_exact(place: str, read: list[tuple[str, float]], piece: Piece) -> None:
    """The STEP read back is one solid of the piece's name and, facets aside, of its volume."""
    wanted = piece.mesh.volume_mm3
    if [name for name, _ in read] != [piece.name]:
        raise CheckError(f"{place} does not read back as one solid named {piece.name}")
    if not abs(read[0][1] - wanted) <= FACET_SHARE * wanted:
        raise CheckError(
            f"{place} reads back with {read[0][1]:.2f} mm³, {wanted:.2f} mm³ are printed"
        )


def _room_of(piece: Piece) -> str:
    """Where its files go: what is printed, what is routed from the solid, what is looked at."""
    if piece.material == "print":
        return "print"
    return "router" if piece.role in ROUTED_ROLES and piece.material == "board" else "view"


def _printed(pieces: Sequence[Piece]) -> list[Piece]:
    return [p for p in pieces if p.material == "print"]
