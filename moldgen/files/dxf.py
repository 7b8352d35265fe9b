"""DXF for the router: closed outlines in mm, the work and its depth in the layer's name.

A layer is `WORK_DEPTH`, the depth in mm with two decimals: `CUT_12.00`, `DRILL_3.50`,
`POCKET_2.50`, `NAME_0.30`; `STOCK` has none. Arcs are bulges, so that a circle is a circle. Only
marks and names are open lines, one for each stroke.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from moldgen.errors import CheckError
from moldgen.plan.flat import Feature, FlatSheet, Loop, Stroke, Work
from moldgen.plan.letters import strokes

if TYPE_CHECKING:
    from ezdxf.document import Drawing

VERSION = "R2010"
MILLIMETERS = 4  # what $INSUNITS says for mm
COLORS = {Work.STOCK: 8, Work.CUT: 1, Work.POCKET: 5, Work.DRILL: 3, Work.MARK: 4, Work.NAME: 6}
OPEN = (Work.MARK, Work.NAME)  # the works that open lines may stand for
SAME_AREA = 1e-9  # of an outline's area: the file holds every digit


def layer_of(work: Work, depth_mm: float) -> str:
    """The layer for a work and its depth.

    Parameters
    ----------
    work : Work
    depth_mm : float

    Examples
    --------
    >>> layer_of(Work.DRILL, 3.5)
    'DRILL_3.50'
    """
    return work.value if work is Work.STOCK else f"{work.value}_{depth_mm:.2f}"


def write_dxf(path: Path, sheet: FlatSheet) -> None:
    """One board as a drawing; the same sheet gives the same bytes."""
    import ezdxf

    kept = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        drawing = ezdxf.new(VERSION, setup=False, units=MILLIMETERS)
        drawing.header["$MEASUREMENT"] = 1
        _frame(drawing, sheet)
        _draw(drawing, sheet)
        drawing.saveas(path, encoding="utf-8")
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = kept


def read_dxf(path: Path) -> FlatSheet:
    """A drawing that `write_dxf` wrote, read and audited.

    Parameters
    ----------
    path : Path

    Raises
    ------
    CheckError
        If the drawing has an error, is not in mm, or holds anything but closed outlines, and open
        lines for marks and names.

    Notes
    -----
    Names come back as their strokes, among the marks.
    """
    import ezdxf

    try:
        drawing = ezdxf.readfile(path)
    except (OSError, ezdxf.DXFError) as error:
        raise CheckError(f"{path.name} cannot be read back as DXF: {error}") from error
    errors = drawing.audit().errors
    if errors:
        raise CheckError(f"{path.name} has {len(errors)} errors as DXF: {errors[0].message}")
    if drawing.header.get("$INSUNITS") != MILLIMETERS:
        raise CheckError(f"{path.name} is not in mm")
    return _sheet(path, drawing)


def require_same_sheet(place: str, read: FlatSheet, written: FlatSheet) -> None:
    """Hold a drawing that was read back to the sheet that was written.

    Parameters
    ----------
    place : str
        The file's name.
    read, written : FlatSheet

    Raises
    ------
    CheckError
        If an outline is missing, on another layer, or of another area.
    """
    if len(read.features) != len(written.features) or read.marks != lines_of(written):
        raise CheckError(f"{place} does not hold the outlines and names that were written")
    for found, wanted in zip(read.features, written.features, strict=True):
        layers = [layer_of(f.work, f.depth_mm) for f in (found, wanted)]
        area, right = found.loop.area_mm2, wanted.loop.area_mm2
        if layers[0] != layers[1] or not abs(area - right) <= SAME_AREA * abs(right):
            raise CheckError(
                f"{place} reads back {layers[0]} of {area:.6f} mm², {layers[1]} of {right:.6f} mm² "
                "was written"
            )


def lines_of(sheet: FlatSheet) -> tuple[Stroke, ...]:
    """Every open line of a sheet: marks, then the strokes of its names."""
    return (*sheet.marks, *(line for label in sheet.labels for line in strokes(label)))


def _frame(drawing: Drawing, sheet: FlatSheet) -> None:
    """Where the drawing lies, so that a viewer opens on all of it."""
    long, wide, _ = sheet.size_mm
    low, high = (0.0, 0.0, 0.0), (long, wide, 0.0)
    drawing.modelspace().reset_extents(low, high)
    drawing.header["$EXTMIN"], drawing.header["$EXTMAX"] = low, high  # not taken over from zero
    drawing.set_modelspace_vport(height=max(wide, long / 2.0), center=(long / 2.0, wide / 2.0))


def _draw(drawing: Drawing, sheet: FlatSheet) -> None:
    space = drawing.modelspace()
    for feature in sheet.features:
        layer = _layer(drawing, feature.work, feature.depth_mm)
        space.add_lwpolyline(
            feature.loop.corners, format="xyb", close=True, dxfattribs={"layer": layer}
        )
    for line in lines_of(sheet):
        layer = _layer(drawing, line.work, line.depth_mm)
        space.add_lwpolyline(line.points, format="xy", dxfattribs={"layer": layer})


def _layer(drawing: Drawing, work: Work, depth_mm: float) -> str:
    name = layer_of(work, depth_mm)
    if name not in drawing.layers:
        drawing.layers.add(name, color=COLORS[work])
    return name


def _sheet(path: Path, drawing: Drawing) -> FlatSheet:
    features: list[Feature] = []
    marks: list[Stroke] = []
    for entity in drawing.modelspace():
        if entity.dxftype() != "LWPOLYLINE":
            raise CheckError(f"{path.name} holds a {entity.dxftype()} that is no outline")
        work, depth = _work(path, entity.dxf.layer)
        if entity.closed:
            features.append(Feature(work, depth, Loop(tuple(entity.get_points("xyb")))))
        elif work in OPEN:
            marks.append(Stroke(work, depth, tuple(entity.get_points("xy"))))
        else:
            raise CheckError(f"{path.name} holds an outline for {work.value} that is not closed")
    stock = [f.loop.corners for f in features if f.work is Work.STOCK]
    long, wide = (max((c[i] for ring in stock for c in ring), default=0.0) for i in (0, 1))
    thick = max((f.depth_mm for f in features), default=0.0)
    return FlatSheet(path.stem, (long, wide, thick), tuple(features), marks=tuple(marks))


def _work(path: Path, layer: str) -> tuple[Work, float]:
    work, _, depth = layer.partition("_")
    try:
        return Work(work), float(depth or 0.0)
    except ValueError:
        raise CheckError(f"{path.name} has a layer {layer} that says no work and depth") from None
