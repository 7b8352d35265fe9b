"""Names and colors that a STEP file gives to faces, read with its shape in one go."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from moldgen.errors import PartError
from moldgen.geometry.brep_kernel import Shape, require_exact_kernel
from moldgen.geometry.brep_mesh import face_meshes, faces_of
from moldgen.geometry.face_labels import FaceLabels, nearest_faces
from moldgen.geometry.mesh import Mesh

_NAMES_OF_FACES = "read.stepcaf.subshapes.name"  # the kernel leaves them out unless asked
_NO_NAME = ("", "NONE")


@dataclass(frozen=True, eq=False)
class LabeledShape:
    """A shape, and the name and the color of each of its faces, "" where it has none.

    Attributes
    ----------
    shape : OCP.TopoDS.TopoDS_Shape
    names, colors : tuple of str
        In the order in which the kernel lists the faces; colors as RRGGBB.
    """

    shape: Shape
    names: tuple[str, ...]
    colors: tuple[str, ...]

    @property
    def is_plain(self) -> bool:
        """Whether no face has a name or a color."""
        return not any(self.names) and not any(self.colors)

    def labels_on(self, mesh: Mesh) -> FaceLabels:
        """The labels on the triangles that `brep_mesh.tessellate` made of the shape."""
        numbers, raw = face_meshes(self.shape)
        nearest = nearest_faces(raw, mesh)
        return FaceLabels(numbers[nearest], self.names, self.colors)


def read_labeled(step: bytes) -> LabeledShape:
    """The bodies of a STEP file in mm, with the names and colors of their faces.

    Raises
    ------
    PartError
        If the bytes are no STEP file or hold no shape.
    SolidError
        If the exact kernel is missing.
    """
    require_exact_kernel()
    from OCP.IFSelect import IFSelect_ReturnStatus
    from OCP.Interface import Interface_Static
    from OCP.STEPCAFControl import STEPCAFControl_Reader
    from OCP.TCollection import TCollection_ExtendedString
    from OCP.TDocStd import TDocStd_Document

    reader = STEPCAFControl_Reader()
    Interface_Static.SetIVal_s(_NAMES_OF_FACES, 1)
    if reader.ReadStream("part", io.BytesIO(step)) != IFSelect_ReturnStatus.IFSelect_RetDone:
        raise PartError("the file cannot be read as STEP: export it again")
    document = TDocStd_Document(TCollection_ExtendedString("labels"))
    reader.Transfer(document)
    shape = reader.ChangeReader().OneShape()
    if shape is None or shape.IsNull():
        raise PartError("the STEP file holds no shape: export the body itself, not a sketch")
    return _labeled(shape, document)


def _labeled(shape: Shape, document: Any) -> LabeledShape:
    """The document's labels, the widest shapes first, so that a face's own word is the last."""
    book = _Book(shape)
    for label_shape, name, color in sorted(
        _entries(document), key=lambda e: e[0].ShapeType().value
    ):
        book.note(label_shape, name, color)
    return LabeledShape(shape, tuple(book.names), tuple(book.colors))


class _Book:
    """What is known of each face of a shape so far."""

    def __init__(self, shape: Shape) -> None:
        from OCP.TopTools import TopTools_IndexedMapOfShape

        self._seen = TopTools_IndexedMapOfShape()
        self._rows: dict[int, list[int]] = {}
        faces = faces_of(shape)
        for row, face in enumerate(faces):
            self._rows.setdefault(self._seen.Add(_unplaced(face)), []).append(row)
        self.names, self.colors = [""] * len(faces), [""] * len(faces)

    def note(self, shape: Shape, name: str, color: str) -> None:
        from OCP.TopAbs import TopAbs_ShapeEnum

        is_face = shape.ShapeType() == TopAbs_ShapeEnum.TopAbs_FACE
        for face in faces_of(shape):
            for row in self._rows.get(self._seen.FindIndex(_unplaced(face)), ()):
                self.colors[row] = color or self.colors[row]
                self.names[row] = name if is_face and name else self.names[row]


def _unplaced(shape: Shape) -> Shape:
    from OCP.TopLoc import TopLoc_Location

    return shape.Located(TopLoc_Location())


def _entries(document: Any) -> Iterator[tuple[Shape, str, str]]:
    """Every shape of the document that has a name or a color, with both."""
    from OCP.XCAFDoc import XCAFDoc_DocumentTool

    tool = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    for label in _below(tool.Label()):
        shape = tool.GetShape_s(label)
        if shape is not None and not shape.IsNull():
            name, color = _name(label), _color(label)
            if name or color:
                yield shape, name, color


def _below(label: Any) -> Iterator[Any]:
    from OCP.TDF import TDF_ChildIterator

    walk = TDF_ChildIterator(label, True)
    while walk.More():
        yield walk.Value()
        walk.Next()


def _name(label: Any) -> str:
    from OCP.TDataStd import TDataStd_Name

    found = TDataStd_Name()
    if not label.FindAttribute(TDataStd_Name.GetID_s(), found):
        return ""
    name = str(found.Get().ToExtString()).strip()
    return "" if name in _NO_NAME else name


def _color(label: Any) -> str:
    """The color of a label's surface as the file writes it, in 8 bits a channel."""
    from OCP.Quantity import Quantity_Color, Quantity_TypeOfColor
    from OCP.XCAFDoc import XCAFDoc_ColorTool, XCAFDoc_ColorType

    found = Quantity_Color()
    for kind in (XCAFDoc_ColorType.XCAFDoc_ColorSurf, XCAFDoc_ColorType.XCAFDoc_ColorGen):
        if XCAFDoc_ColorTool.GetColor_s(label, kind, found):
            shares = found.Values(Quantity_TypeOfColor.Quantity_TOC_sRGB)
            return "".join(f"{round(255.0 * share):02X}" for share in shares)
    return ""
