"""Redraw the fittings that the package carries: `python -m moldgen.demo.redraw`."""

from __future__ import annotations

from importlib import import_module

from moldgen.demo import FITTINGS, demo_part_path
from moldgen.files.read import read_part
from moldgen.files.stl import write_stl

CHORD_MM = 0.02
ANGLE_RAD = 0.12
AS_READ = ("drop-pull",)  # its ring would take 37,000 triangles, and still lose 0.6 % of the volume


def redraw() -> None:
    """Write every fitting as STL and STEP into the package's folder."""
    import cadquery as cq

    for fitting in FITTINGS:
        shape = import_module(f"moldgen.demo.{fitting.replace('-', '_')}").shape()
        stl, step = demo_part_path(fitting), demo_part_path(fitting, ".step")
        cq.exporters.export(cq.Workplane(shape), str(step))
        if fitting in AS_READ:
            write_stl(stl, read_part(step).mesh)
        else:
            cq.exporters.export(
                cq.Workplane(shape), str(stl), tolerance=CHORD_MM, angularTolerance=ANGLE_RAD
            )


if __name__ == "__main__":
    redraw()
