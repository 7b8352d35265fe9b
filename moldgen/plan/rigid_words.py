"""A place of the part in words, in the axes of its file."""

from __future__ import annotations

import numpy as np

from moldgen.geometry.mesh import Mesh
from moldgen.geometry.recipe import Point3
from moldgen.plan.channel_notes import point_text

OUTER_SHARE = 0.3  # of the part's length along an axis, that counts as its end


def place_words(point: Point3, mesh: Mesh) -> str:
    """Where a point lies: its coordinates, and toward which ends of the part.

    Parameters
    ----------
    point : (3,) float
        In the frame of the mesh [mm].
    mesh : Mesh
        The part in its file's frame.

    Examples
    --------
    >>> import numpy as np
    >>> from moldgen.geometry.mesh import Mesh
    >>> corners = np.array([[0.0, 0, 0], [10, 0, 0], [0, 10, 0], [0, 0, 10]])
    >>> faces = np.array([[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]], dtype=np.int32)
    >>> place_words((9.0, 5.0, 1.0), Mesh(corners, faces))
    'at (9.0, 5.0, 1.0) mm of the part file, toward its +X and -Z end'
    """
    low, high = mesh.bounds
    shares = (np.array(point) - low) / np.maximum(high - low, 1e-9)
    ends = [
        ("+" if share > 0.5 else "-") + axis
        for axis, share in zip("XYZ", shares, strict=True)
        if abs(share - 0.5) > 0.5 - OUTER_SHARE
    ]
    where = f"toward its {' and '.join(ends)} end" if ends else "near its middle"
    return f"at {point_text(point)} of the part file, {where}"
