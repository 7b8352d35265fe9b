"""A part file from an unknown hand, made into a sound part or refused in one sentence."""

from __future__ import annotations

import hashlib
import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from moldgen.errors import Finding, Grade, JobError, PartError
from moldgen.files.child import Limits, read_in_child
from moldgen.files.describe import doubted_unit, size_words
from moldgen.files.limits import MAX_FILE_BYTES, MAX_SIDE_MM, MIN_SIDE_MM, check_triangles
from moldgen.files.raw import RawPart, shown
from moldgen.files.read_3mf import read_3mf
from moldgen.files.read_obj import read_obj
from moldgen.files.read_ply import read_ply
from moldgen.files.read_step import read_bare_step, read_step, speaks_of_faces
from moldgen.files.read_stl import read_stl
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.repair import Repaired, repair
from moldgen.part.part import Part
from moldgen.units import LengthUnit

_FAR_SIDES = 1e5  # of its own longest side: farther off, single precision has eaten the detail
_LISTED_BODIES = 8


def _apart(reader: Callable[[bytes], RawPart]) -> Callable[[bytes], RawPart]:
    return lambda data: read_in_child(reader, data, Limits.for_size(len(data)))


def _step_apart(data: bytes) -> RawPart:
    """A STEP file, without the names and colors of its faces where it cannot be read with them."""
    try:
        return _apart(read_step)(data)
    except PartError:
        if not speaks_of_faces(data):
            raise
    bare = _apart(read_bare_step)(data)
    text = "the names and colors of its faces are damaged, so no face can be marked by them"
    return replace(bare, findings=(*bare.findings, Finding(Grade.NOTE, text)))


READERS: dict[str, Callable[[bytes], RawPart]] = {
    ".stl": read_stl,
    ".obj": read_obj,
    ".ply": read_ply,
    ".3mf": _apart(read_3mf),
    ".step": _step_apart,
    ".stp": _step_apart,
}
_EXACT = (".step", ".stp")


def read_part(
    path: str | Path,
    unit: LengthUnit | None = None,
    body: int | None = None,
    scale: float = 1.0,
) -> Part:
    """Read a part file.

    Parameters
    ----------
    path : str or Path
        A file ending in .stl, .obj, .ply, .3mf, .step or .stp, in either case.
    unit : LengthUnit or None
        The unit of STL, OBJ and PLY files, which state none; None means mm. For 3MF and STEP,
        which state theirs, it must be that one.
    body : int or None
        Which of several separate bodies, numbered from 1 by falling volume.
    scale : float
        Factor applied after the unit.

    Returns
    -------
    Part
        With the bytes of the STEP file it came from, if its bodies were neither chosen from nor
        mended; the bytes know nothing of `scale`.

    Raises
    ------
    PartError
        If the file cannot be used: one sentence with the file's name, the reason, the place
        and the remedy.
    JobError
        If `scale` is not a positive number or `body` is below 1.
    """
    _check_wishes(body, scale)
    path = Path(path)
    try:
        return _read(path, unit, body, scale)
    except PartError as error:
        raise PartError(f"{shown(path.name)}: {error}") from error


def _check_wishes(body: int | None, scale: float) -> None:
    if not (math.isfinite(scale) and scale > 0.0):
        raise JobError(f"the scale must be a number above 0, not {scale:g}")
    if body is not None and body < 1:
        raise JobError(f"bodies are numbered from 1, so there is no body {body}")


def _read(path: Path, unit: LengthUnit | None, body: int | None, scale: float) -> Part:
    ending = path.suffix.lower()
    reader = READERS.get(ending)
    if reader is None:
        raise PartError(
            f"a file ending in '{shown(ending)}' is not read: export the part as "
            f"{', '.join(READERS)}"
        )
    data = load_bytes(path)
    raw = reader(data)
    taken = _unit_of(raw, unit)
    as_listed = _scaled(raw, 1.0 if raw.unit else taken.mm, scale)
    repaired = repair(as_listed)
    chosen = _chosen(repaired, body)
    as_drawn = len(repaired.bodies) == 1 and not repaired.changes
    return Part(
        mesh=chosen,
        name=shown(path.stem),
        file=shown(path.name),
        sha256=hashlib.sha256(data).hexdigest(),
        unit=taken,
        scale=scale,
        closed=repaired.closed_as_read,
        repairs=repaired.changes,
        findings=(*raw.findings, *_findings(raw, unit, repaired, chosen)),
        exact_step=data if ending in _EXACT and as_drawn else None,
        labels=raw.labels and raw.labels.carried_to(as_listed, chosen),
    )


def load_bytes(path: Path) -> bytes:
    """A file's bytes.

    Raises
    ------
    PartError
        If it is not there, cannot be opened, is too long or empty; without its name.
    """
    try:
        if not path.is_file():
            what = "is not a file" if path.exists() else "does not exist"
            raise PartError(f"it {what}: check the name and the folder")
        size = path.stat().st_size
        if size > MAX_FILE_BYTES:
            raise PartError(
                f"it is {size / 1e6:,.0f} MB long and at most {MAX_FILE_BYTES / 1e6:.0f} MB are "
                "read: export it more coarsely or in binary"
            )
        with path.open("rb") as stream:
            data = stream.read(MAX_FILE_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "its name cannot be used"
        raise PartError(f"it cannot be opened ({reason}): check the name and its rights") from error
    if not data:
        raise PartError("it is empty: export or copy the part again")
    return data


def _unit_of(raw: RawPart, asked: LengthUnit | None) -> LengthUnit:
    if raw.unit is None:
        return asked or LengthUnit.MM
    if asked not in (None, raw.unit):
        raise PartError(
            f"it states its unit, {raw.unit.value}, and {asked.value} was asked for: leave out "
            "--unit, or use --scale to change its size"
        )
    return raw.unit


def _scaled(raw: RawPart, mm: float, scale: float) -> Mesh:
    check_triangles(len(raw.faces))
    _check_finite(raw)
    with np.errstate(over="ignore"):  # an infinite side is refused as too long
        vertices = raw.vertices * mm * scale
        used = vertices[_named(raw)]
        low, high = used.min(axis=0), used.max(axis=0)
        _check_size(low, high)
    return Mesh(vertices, raw.faces)


def _named(raw: RawPart) -> NDArray[np.bool_]:
    """Which vertices a face names; a mask is far quicker than sorting the numbers."""
    named = np.zeros(len(raw.vertices), dtype=bool)
    named[raw.faces] = True
    return named


def _check_finite(raw: RawPart) -> None:
    for bad in np.flatnonzero(~np.isfinite(raw.vertices).all(axis=1))[:1]:
        point = ", ".join(f"{x:g}" for x in raw.vertices[bad])
        raise PartError(
            f"vertex {bad + 1} is ({point}), which is not a finite place: export the part again"
        )


def _check_size(low: FloatArray, high: FloatArray) -> None:
    longest = float((high - low).max())
    if not MIN_SIDE_MM <= longest <= MAX_SIDE_MM:
        raise PartError(
            f"its longest side is {longest:.4g} mm and {MIN_SIDE_MM:g} to {MAX_SIDE_MM:,.0f} mm "
            "are read: check the unit"
        )
    away = float(np.abs((low + high) / 2.0).max())
    if away > _FAR_SIDES * longest:
        raise PartError(
            f"it is {longest:.4g} mm long and lies {away:.4g} mm from the origin, where its "
            "detail is lost in rounding: move it to the origin and export it again"
        )


def _chosen(repaired: Repaired, body: int | None) -> Mesh:
    bodies = repaired.bodies
    if body is not None and body > len(bodies):
        raise PartError(
            f"it holds {len(bodies)} {'body' if len(bodies) == 1 else 'bodies'}, so there is no "
            f"body {body}: choose one with --body 1 to {len(bodies)}"
        )
    if body is None and len(bodies) > 1:
        raise PartError(
            f"it holds {len(bodies)} separate bodies, {_listed(bodies)}: choose one with --body N"
        )
    return bodies[(body or 1) - 1]


def _listed(bodies: tuple[Mesh, ...]) -> str:
    words = [
        f"{n} of {size_words(mesh.extents_mm)} at "
        + "({:.1f}, {:.1f}, {:.1f}) mm".format(*(mesh.bounds.mean(axis=0) + 0.0))
        for n, mesh in enumerate(bodies[:_LISTED_BODIES], start=1)
    ]
    more = len(bodies) - len(words)
    return ", ".join(words) + (f" and {more} smaller" if more else "")


def _findings(
    raw: RawPart, asked: LengthUnit | None, repaired: Repaired, chosen: Mesh
) -> list[Finding]:
    findings = []
    if raw.unit is None and asked is None:
        findings.append(doubted_unit(chosen.extents_mm, LengthUnit.MM))
    if raw.labels and repaired.changes:
        text = "the names and colors of faces were carried over to the nearest mended triangles"
        findings.append(Finding(Grade.NOTE, text))
    if len(repaired.bodies) > 1:
        left = len(repaired.bodies) - 1
        text = f"{left} other {'body' if left == 1 else 'bodies'} of the file were left out"
        findings.append(Finding(Grade.NOTE, text, float(left)))
    return [finding for finding in findings if finding]
