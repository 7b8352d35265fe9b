"""The fittings that the package carries: a restoration workshop recasts what furniture has lost.

Each module draws one fitting with CadQuery (`shape()`); the folder `parts` holds what they drew,
so that the demo needs neither CadQuery nor a network.
"""

from __future__ import annotations

from pathlib import Path

FITTINGS = ("fluted-knob", "leaf-pull", "bracket", "finial", "drop-pull")


def demo_part_path(fitting: str = "finial", ending: str = ".stl") -> Path:
    """Where the package keeps a fitting, as .stl or .step.

    Raises
    ------
    ValueError
        If there is no such fitting.
    """
    if fitting not in FITTINGS or ending not in (".stl", ".step"):
        raise ValueError(f"no fitting {fitting}{ending}; there are {', '.join(FITTINGS)}")
    return Path(__file__).parent / "parts" / f"{fitting}{ending}"
