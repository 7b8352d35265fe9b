"""How much a part file may ask for before it is refused.

The limits leave room for scans far finer than a mold needs, and keep a hostile file from
filling the memory: below 1 GB at the largest count of triangles.
"""

from __future__ import annotations

from moldgen.errors import PartError

MAX_FILE_BYTES = 256_000_000
MAX_TRIANGLES = 1_000_000
MAX_SIDE_MM = 100_000.0
MIN_SIDE_MM = 0.01


def check_triangles(n_triangles: int) -> None:
    """Refuse a file of no triangles or of too many.

    Raises
    ------
    PartError
    """
    if n_triangles == 0:
        raise PartError("it holds no triangles: export the part again as a solid")
    if n_triangles > MAX_TRIANGLES:
        raise PartError(
            f"it holds {n_triangles:,} triangles and at most {MAX_TRIANGLES:,} are read: "
            "export it more coarsely or decimate it"
        )
