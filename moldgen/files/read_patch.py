"""A piece of surface in an STL file, which need not be closed."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from moldgen.errors import PartError
from moldgen.files.raw import shown
from moldgen.files.read import load_bytes
from moldgen.files.read_stl import read_stl
from moldgen.geometry.mesh import Mesh


def read_patch(path: Path) -> Mesh:
    """Read an STL file as a bare surface, its numbers as they stand.

    Raises
    ------
    PartError
        If the file cannot be used: one sentence with its name.
    """
    try:
        if path.suffix.lower() != ".stl":
            raise PartError("a patch is an STL file: export the face as STL")
        raw = read_stl(load_bytes(path))
        if not len(raw.faces) or not np.isfinite(raw.vertices).all():
            raise PartError("it holds no surface of finite places: export the face again")
    except PartError as error:
        raise PartError(f"{shown(path.name)}: {error}") from error
    return Mesh(raw.vertices, raw.faces)
