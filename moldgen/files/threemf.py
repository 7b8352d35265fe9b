"""3MF of the printed pieces: one named object each, in mm, laid out side by side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from uuid import NAMESPACE_URL, uuid5

import lib3mf
import numpy as np
from lib3mf import get_wrapper

from moldgen.build.nouns import Piece
from moldgen.errors import CheckError
from moldgen.files.stl import single_precision
from moldgen.geometry.mesh import Mesh

GAP_MM = 8.0
ROW_MM = 400.0
DECIMALS = 9  # enough to give every single-precision number of a workshop back exactly


@dataclass(frozen=True, eq=False)
class Spot:
    """Where a copy of an object lies on the table: its number and offset (3,) [mm]."""

    number: int
    offset_mm: tuple[float, float, float]


def write_3mf(path: Path, pieces: Sequence[Piece], title: str) -> None:
    """Write pieces as named objects in mm; a piece made twice lies there twice.

    Same pieces, same bytes: the identifiers that the format wants unique are derived from the
    names, since lib3mf would draw them at random.
    """
    wrapper = get_wrapper()
    model = wrapper.CreateModel()
    model.SetUnit(lib3mf.ModelUnit.MilliMeter)
    model.SetBuildUUID(_identifier("build", title))
    model.GetMetaDataGroup().AddMetaData("", "Title", title, "xs:string", True)
    objects = [_add_object(model, piece, str(number)) for number, piece in enumerate(pieces)]
    for copy, spot in enumerate(_layout(pieces)):
        transform = wrapper.GetTranslationTransform(*spot.offset_mm)
        item = model.AddBuildItem(objects[spot.number], transform)
        item.SetUUID(_identifier("item", title, str(copy)))
    writer = model.QueryWriter("3mf")
    writer.SetDecimalPrecision(DECIMALS)
    path.write_bytes(bytes(writer.WriteToBuffer()))


def read_3mf(path: Path) -> dict[str, Mesh]:
    """Read back the objects of a 3MF by name, each in its own frame [mm].

    Raises
    ------
    CheckError
        If lib3mf has a warning in its strict mode, the unit is not mm, or a name comes twice.
    """
    model = get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    try:
        reader.ReadFromBuffer(path.read_bytes())
    except lib3mf.ELib3MFException as error:
        raise CheckError(f"{path.name} did not read back: {error}") from error
    if reader.GetWarningCount() or model.GetUnit() != lib3mf.ModelUnit.MilliMeter:
        raise CheckError(f"{path.name} did not read back as a clean 3MF in mm")
    bodies: dict[str, Mesh] = {}
    objects = model.GetMeshObjects()
    while objects.MoveNext():
        current = objects.GetCurrentMeshObject()
        if current.GetName() in bodies:
            raise CheckError(f"{path.name} holds two objects named {current.GetName()}")
        bodies[current.GetName()] = _mesh_of(current)
    return bodies


def _identifier(*words: str) -> str:
    return str(uuid5(NAMESPACE_URL, "moldgen:" + "/".join(words)))


def _add_object(model: Any, piece: Piece, number: str) -> Any:
    mesh = single_precision(piece.mesh)
    body = model.AddMeshObject()
    body.SetName(piece.name)
    body.SetPartNumber(piece.name)
    body.SetUUID(_identifier("object", piece.name, number))
    positions = (lib3mf.Position * len(mesh.vertices))()
    triangles = (lib3mf.Triangle * mesh.n_triangles)()
    np.frombuffer(positions, dtype=np.float32).reshape(-1, 3)[:] = mesh.vertices
    np.frombuffer(triangles, dtype=np.uint32).reshape(-1, 3)[:] = mesh.faces
    body.SetGeometry(positions, triangles)
    return body


def _mesh_of(body: Any) -> Mesh:
    vertices = np.array([tuple(p.Coordinates) for p in body.GetVertices()], dtype=np.float64)
    faces = np.array([tuple(t.Indices) for t in body.GetTriangleIndices()], dtype=np.int32)
    return Mesh(vertices, faces)


def _layout(pieces: Sequence[Piece]) -> list[Spot]:
    """Every copy in rows along +X, each standing on the table, so that none hides another."""
    spots = []
    x = y = depth = 0.0
    for number, piece in enumerate(pieces):
        low, (width, length, _) = piece.mesh.bounds[0], piece.mesh.extents_mm
        for _ in range(piece.count):
            if x and x + width > ROW_MM:
                x, y, depth = 0.0, y + depth + GAP_MM, 0.0
            corner = np.array([x, y, 0.0]) - low
            spots.append(Spot(number, (float(corner[0]), float(corner[1]), float(corner[2]))))
            x, depth = x + width + GAP_MM, max(depth, length)
    return spots
