"""STEP files: named exact bodies in mm, the same bytes for the same bodies."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from moldgen.errors import FileError, SolidError
from moldgen.geometry.brep import exact_volume
from moldgen.geometry.brep_kernel import Shape, require_exact_kernel

SYSTEM = "moldgen"
TIME_STAMP = "2000-01-01T00:00:00"  # fixed: a file depends on its bodies alone
SETTINGS = {
    "write.step.schema": "AP214IS",
    "write.step.unit": "MM",
    "xstep.cascade.unit": "MM",
}


def write_step(path: Path, bodies: Sequence[tuple[str, Shape]]) -> None:
    """Write bodies side by side, each a product under its own name.

    Parameters
    ----------
    path : Path
    bodies : sequence of (str, OCP.TopoDS.TopoDS_Shape)
        Name and exact body, in mm.

    Raises
    ------
    FileError
        If the file cannot be written, or two bodies share a name.
    SolidError
        If the exact kernel is missing or refuses a body.
    """
    require_exact_kernel()
    names = [name for name, _ in bodies]
    if len(set(names)) < len(names):
        raise FileError(f"{path.name} would hold two bodies of one name: {', '.join(names)}")
    content = _step_bytes(path.stem, bodies)
    try:
        path.write_bytes(content)
    except OSError as error:
        raise FileError(f"{path} cannot be written: {error.strerror}") from error


def read_step_names(path: Path) -> list[tuple[str, float]]:
    """Name and volume of every product at the top of a STEP file of ours.

    Parameters
    ----------
    path : Path

    Returns
    -------
    list of (str, float)
        Name and volume [mm³].

    Raises
    ------
    FileError
        If the file cannot be read back.
    SolidError
        If the exact kernel is missing.
    """
    require_exact_kernel()
    from OCP.IFSelect import IFSelect_ReturnStatus
    from OCP.STEPCAFControl import STEPCAFControl_Reader
    from OCP.TDF import TDF_LabelSequence

    try:
        content = path.read_bytes()
    except OSError as error:
        raise FileError(f"{path} cannot be read back: {error.strerror}") from error
    reader, document = STEPCAFControl_Reader(), _document()
    with _settings():
        status = reader.ReadStream(path.name, io.BytesIO(content))
        done = status == IFSelect_ReturnStatus.IFSelect_RetDone and reader.Transfer(document)
    if not done:
        raise FileError(f"{path} cannot be read back as STEP")
    tool, labels = _shape_tool(document), TDF_LabelSequence()
    tool.GetFreeShapes(labels)
    found = [labels.Value(i + 1) for i in range(labels.Length())]
    return [(_name(label), exact_volume(tool.GetShape_s(label))) for label in found]


def _step_bytes(title: str, bodies: Sequence[tuple[str, Shape]]) -> bytes:
    from OCP.IFSelect import IFSelect_ReturnStatus
    from OCP.STEPCAFControl import STEPCAFControl_Writer
    from OCP.STEPControl import STEPControl_StepModelType

    document, stream = _document(), io.BytesIO()
    for name, shape in bodies:
        _add(document, name, shape)
    with _settings():
        writer = STEPCAFControl_Writer()
        writer.SetNameMode(True)
        moved = writer.Transfer(document, STEPControl_StepModelType.STEPControl_AsIs)
        _sign(writer.ChangeWriter().Model(), title)
        written = writer.WriteStream(stream)
    if not moved or written != IFSelect_ReturnStatus.IFSelect_RetDone:
        raise SolidError(f"the exact kernel could not write {title} as STEP")
    return _escaped(stream.getvalue().decode()).encode("ascii")


def _escaped(text: str) -> str:
    """The text in ASCII; other characters as ISO 10303-21 writes them, \\X2\\ and \\X4\\."""
    return re.sub(r"[^\x00-\x7f]+", _escape, text)


def _escape(run: re.Match[str]) -> str:
    mark, code = ("X2", "utf-16-be") if max(run[0]) <= "\uffff" else ("X4", "utf-32-be")
    return f"\\{mark}\\{run[0].encode(code).hex().upper()}\\X0\\"


def _document() -> Any:
    from OCP.TCollection import TCollection_ExtendedString
    from OCP.TDocStd import TDocStd_Document
    from OCP.XCAFApp import XCAFApp_Application

    document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
    XCAFApp_Application.GetApplication_s().InitDocument(document)
    return document


def _shape_tool(document: Any) -> Any:
    from OCP.XCAFDoc import XCAFDoc_DocumentTool

    return XCAFDoc_DocumentTool.ShapeTool_s(document.Main())


def _add(document: Any, name: str, shape: Shape) -> None:
    from OCP.TCollection import TCollection_ExtendedString
    from OCP.TDataStd import TDataStd_Name

    label = _shape_tool(document).AddShape(_standing(shape), False)
    TDataStd_Name.Set_s(label, TCollection_ExtendedString(name, True))  # True: bytes are UTF-8


def _standing(shape: Shape) -> Shape:
    """The shape with its placement worked into its geometry: a placed one becomes an assembly."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
    from OCP.TopLoc import TopLoc_Location

    place = shape.Location().Transformation()
    return BRepBuilderAPI_Transform(shape.Located(TopLoc_Location()), place, True).Shape()


def _name(label: Any) -> str:
    from OCP.TDataStd import TDataStd_Name

    name = TDataStd_Name()
    if not label.FindAttribute(TDataStd_Name.GetID_s(), name):
        return ""
    return str(name.Get().ToExtString())


def _sign(model: Any, title: str) -> None:
    """Fill the file's head; what the kernel would put there changes from run to run."""
    from OCP.APIHeaderSection import APIHeaderSection_MakeHeader
    from OCP.TCollection import TCollection_HAsciiString

    def text(value: str) -> Any:
        return TCollection_HAsciiString(value)

    head = APIHeaderSection_MakeHeader(model)
    head.SetName(text(title))
    head.SetTimeStamp(text(TIME_STAMP))
    head.SetAuthorValue(1, text(SYSTEM))
    head.SetOrganizationValue(1, text(""))
    head.SetOriginatingSystem(text(SYSTEM))
    head.SetPreprocessorVersion(text(SYSTEM))


@contextmanager
def _settings() -> Iterator[None]:
    """The kernel's settings belong to the whole process: borrow them and give them back."""
    from OCP.Interface import Interface_Static

    before = {key: Interface_Static.CVal_s(key) for key in SETTINGS}
    try:
        for key, value in SETTINGS.items():
            Interface_Static.SetCVal_s(key, value)
        yield
    finally:
        for key, value in before.items():
            Interface_Static.SetCVal_s(key, value)
