"""3MF: a zip archive looked over first, then read by lib3mf, which knows the standard.

Objects of type "support" and "other" are not part of the part and are left out with a finding.
"""

from __future__ import annotations

import ctypes
from collections import Counter
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from moldgen.errors import Finding, Grade, PartError
from moldgen.files.limits import check_triangles
from moldgen.files.raw import RawPart, shown
from moldgen.files.xml_guard import root_attributes
from moldgen.files.zip_guard import open_archive, unpacked
from moldgen.geometry.mesh import FloatArray, IntArray
from moldgen.units import LengthUnit

MAX_INSTANCES = 10_000
_UNITS = {
    "micron": LengthUnit.MICRON,
    "millimeter": LengthUnit.MM,
    "centimeter": LengthUnit.CM,
    "inch": LengthUnit.INCH,
    "foot": LengthUnit.FOOT,
    "meter": LengthUnit.M,
}
_MEANINGS = (
    ("Model Coordinates", "a coordinate is not a finite number"),
    ("to double", "a coordinate is not a finite number with a decimal point"),
    ("missing a coordinate", "a vertex lacks a coordinate"),
    ("node index", "a triangle names a vertex that is not there"),
    ("Coordinate Indices", "a triangle names one vertex twice"),
    ("associated to Component", "a component holds itself, or an object that is not there"),
    ("Build item", "its build list names an object that is not there"),
    ("Duplicate Resource", "two of its objects have one number"),
    ("matrix string", "a transform has not 12 numbers"),
    ("call parameter", "its archive does not say which entry is the 3D model"),
)
_TYPES = ("other", "model", "support", "solidsupport", "surface")


def read_3mf(data: bytes) -> RawPart:
    """Read a 3MF file's bytes; vertices come out in mm.

    Raises
    ------
    PartError
        If the archive is unsafe or damaged, the unit is unknown, an extension is required that
        is not read, or nothing is to be built.
    """
    unit = _checked_unit(data)
    import lib3mf  # 0.1 s that other formats need not pay

    model, warnings = _parsed(lib3mf, data)
    build = _Build()
    items = model.GetBuildItems()
    while items.MoveNext():
        item = items.GetCurrent()
        placed = item.GetObjectTransform() if item.HasObjectTransform() else None
        build.add(item.GetObjectResource(), _matrix(placed))
    vertices, faces = build.merged()
    return RawPart(vertices * unit.mm, faces, unit, (*build.findings(), *_notes(warnings)))


def _checked_unit(data: bytes) -> LengthUnit:
    archive = open_archive(data)
    models = [e for e in archive.infolist() if e.filename.lower().endswith(".model")]
    texts = [e for e in archive.infolist() if e.filename.lower().endswith((".rels", ".xml"))]
    if not models:
        raise PartError("its archive holds no 3D model: export the part again as 3MF")
    for entry in texts:
        root_attributes(unpacked(archive, entry), shown(entry.filename))
    units = {
        root_attributes(unpacked(archive, e), shown(e.filename)).get("unit", "millimeter")
        for e in models
    }
    unknown = sorted(units - set(_UNITS))
    if unknown:
        raise PartError(
            f"its unit '{shown(unknown[0])}' is not one of {', '.join(_UNITS)}: export it in mm"
        )
    if len(units) > 1:
        raise PartError(f"its models are in {' and '.join(sorted(units))}: export it in one unit")
    return _UNITS[units.pop()]


def _parsed(lib3mf: Any, data: bytes) -> tuple[Any, list[str]]:
    wrapper = lib3mf.get_wrapper()
    model = wrapper.CreateModel()
    reader = model.QueryReader("3mf")
    buffer = (ctypes.c_uint8 * len(data)).from_buffer_copy(data)
    try:
        wrapper.checkError(
            reader,
            wrapper.lib.lib3mf_reader_readfrombuffer(
                reader._handle, ctypes.c_uint64(len(data)), buffer
            ),
        )
    except lib3mf.ELib3MFException as error:
        raise PartError(f"{_complaint(error)}: export the part again") from error
    warnings = [reader.GetWarning(k)[1] for k in range(reader.GetWarningCount())]
    for warning in warnings:
        if "required extension" in warning.lower():
            raise PartError("it requires a 3MF extension that is not read: export it as plain 3MF")
    return model, warnings


def _complaint(error: Any) -> str:
    said = str(error.get_error_message())
    for fragment, meaning in _MEANINGS:
        if fragment in said:
            return meaning
    return f"the 3MF library refuses it ({shown(said)})"


def _notes(warnings: list[str]) -> list[Finding]:
    if not warnings:
        return []
    text = (
        f"the 3MF library has {len(warnings)} remarks on the file, the first: {shown(warnings[0])}"
    )
    return [Finding(Grade.NOTE, text)]


@dataclass
class _Build:
    """Gathers the meshes of the build as they are met, placed."""

    vertices: list[FloatArray] = field(default_factory=list)
    faces: list[IntArray] = field(default_factory=list)
    passed_over: Counter[str] = field(default_factory=Counter)
    n_vertices: int = 0
    n_triangles: int = 0
    n_instances: int = 0

    def add(self, resource: Any, placed: FloatArray) -> None:
        waiting = [(resource, placed)]
        while waiting:
            waiting += self._add_one(*waiting.pop())

    def _add_one(self, resource: Any, placed: FloatArray) -> list[tuple[Any, FloatArray]]:
        """Take a mesh; of a list of components, hand back what it places."""
        self.n_instances += 1
        if self.n_instances > MAX_INSTANCES:
            raise PartError(
                f"it places objects more than {MAX_INSTANCES:,} times: export one part alone"
            )
        kind = _TYPES[int(resource.GetType())]
        if kind != "model":
            self.passed_over[kind] += 1
        elif resource.IsComponentsObject():
            parts = [resource.GetComponent(k) for k in range(resource.GetComponentCount())]
            return [(p.GetObjectResource(), placed @ _matrix(p.GetTransform())) for p in parts]
        elif resource.IsMeshObject():
            self._add_mesh(resource, placed)
        else:
            raise PartError("it holds a body that is no mesh: export it as a plain mesh")
        return []

    def _add_mesh(self, mesh: Any, placed: FloatArray) -> None:
        if mesh.BeamLattice().GetBeamCount():
            raise PartError("it holds a beam lattice, which is not read: export it as a plain mesh")
        self.n_triangles += mesh.GetTriangleCount()
        if self.n_triangles:
            check_triangles(self.n_triangles)
        points = _table(mesh, "vertices", mesh.GetVertexCount(), np.float32).astype(np.float64)
        corners = _table(mesh, "triangleindices", mesh.GetTriangleCount(), np.uint32)
        if np.linalg.det(placed[:3, :3]) < 0.0:
            corners = corners[:, ::-1]
        self.vertices.append(points @ placed[:3, :3].T + placed[:3, 3])
        self.faces.append(corners.astype(np.int32) + np.int32(self.n_vertices))
        self.n_vertices += len(points)

    def merged(self) -> tuple[FloatArray, IntArray]:
        if not self.n_instances:
            raise PartError("it lists nothing to build: export the part again")
        if not self.n_triangles and self.passed_over:
            kinds = " and ".join(self.passed_over)
            raise PartError(f"it holds only objects of type {kinds}: export the part itself")
        check_triangles(self.n_triangles)
        return np.concatenate(self.vertices), np.concatenate(self.faces)

    def findings(self) -> list[Finding]:
        return [
            Finding(Grade.CAUTION, f"{n} objects of type '{kind}' were left out", float(n))
            for kind, n in self.passed_over.items()
        ]


def _matrix(transform: Any) -> FloatArray:
    """The (4, 4) placement of a 3MF transform, whose rows multiply from the left."""
    placed = np.eye(4)
    if transform is not None:
        placed[:3] = np.array([list(row) for row in transform.Fields]).T
    if not np.isfinite(placed).all() or abs(np.linalg.det(placed)) < 1e-12:
        raise PartError("it places an object by a matrix that flattens it: export the part again")
    return placed


def _table(mesh: Any, name: str, count: int, kind: type) -> np.ndarray[Any, Any]:
    """A mesh's table in one call: the wrapper's own way makes an object of every row."""
    rows: np.ndarray[Any, Any] = np.zeros((count, 3), dtype=kind)
    wrapper = mesh._wrapper
    get = getattr(wrapper.lib, f"lib3mf_meshobject_get{name}")
    item = get.argtypes[3]._type_ if get.argtypes else ctypes.c_float
    needed = ctypes.c_uint64(0)
    buffer = rows.ctypes.data_as(ctypes.POINTER(item))
    wrapper.checkError(mesh, get(mesh._handle, ctypes.c_uint64(count), needed, buffer))
    return rows
