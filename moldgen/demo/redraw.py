"""Redraw the fittings that the package carries: `python -m moldgen.demo.redraw`."""

from __future__ import annotations

from importlib import import_module

from moldgen.demo import FITTINGS, demo_part_path

CHORD_MM = 0.02
ANGLE_RAD = 0.12


def redraw() -> None:
    """Write every fitting as STL and STEP into the package's folder."""
    import cadquery as cq

    for fitting in FITTINGS:
        shape = import_module(f"moldgen.demo.{fitting.replace('-', '_')}").shape()
        cq.exporters.export(
            cq.Workplane(shape),
            str(demo_part_path(fitting)),
            tolerance=CHORD_MM,
            angularTolerance=ANGLE_RAD,
        )
        cq.exporters.export(cq.Workplane(shape), str(demo_part_path(fitting, ".step")))


if __name__ == "__main__":
    redraw()
