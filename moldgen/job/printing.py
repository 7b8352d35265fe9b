"""Wishes for what is printed: the printer, its filament, and what holds the part down."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class PrintWishes:
    """The printer, the printed pieces [mm], and what holds the part down.

    Attributes
    ----------
    wall_mm : float
        Least thickness of a wall; it is made a whole number of lines, and thick enough not to bow.
    base_mm, fit_mm : float
        Thickness of the base; clearance between pieces that go together.
    foot_diameter_mm, foot_depth_mm : float
        Of the formers.
    part_density_g_cm3 : float
    bow_mm : float
        As far as a wall or the hold-down may give.
    glue_mpa : float
        What the glue between part, formers and base bears in a pull; 0 where nothing is glued.
    peg_hold_n : float
        What each foot holds by friction in its recess.
    clamp_n : float
        What a clamp at one end of a bridge or hold-down bears.
    hold_safety : float
        How many times the lift the weakest joint must hold [-].
    nozzle_mm, layer_mm : float
        Width of a line and height of a layer.
    room_mm : (3,) float
        What the printer can fill, across, along and up, with brim and skirt taken off.
    filament_mm, filament_g_cm3 : float
        Diameter and density of the filament.
    perimeters : int
        Lines round every outline; tops and floors are taken as thick.
    infill_share : float
        How much of what is inside them is filled [-].
    """

    wall_mm: float = 4.0
    base_mm: float = 6.0
    fit_mm: float = 0.15
    foot_diameter_mm: float = 5.0
    foot_depth_mm: float = 3.5
    part_density_g_cm3: float = 1.0
    bow_mm: float = 0.3  # this and what follows: common practice, no source
    glue_mpa: float = 1.0  # a good bond on a clean print bears several times this
    peg_hold_n: float = 0.0  # feet are set with clearance
    clamp_n: float = 20.0  # a small spring clamp
    hold_safety: float = 2.0
    nozzle_mm: float = 0.4
    layer_mm: float = 0.2
    room_mm: tuple[float, float, float] = (220.0, 220.0, 250.0)
    filament_mm: float = 1.75
    filament_g_cm3: float = 1.24  # polylactide
    perimeters: int = 3
    infill_share: float = 0.2
