"""What a rack lacks, in millimeters, and the nearest box that it does make."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace

from moldgen.job.rack import Rack
from moldgen.plan.board_nouns import BASE
from moldgen.plan.boards import WALLS
from moldgen.plan.choice import board_needs_mm, choose
from moldgen.plan.routed import FEWEST, finger_edges, lowest_finger_mm
from moldgen.plan.routed_nouns import GROOVE_MM
from moldgen.plan.wanted import Wanted, board_bow_mm

STEP_MM = 0.1  # shortfalls are named in steps of this
LEAST_RUBBER_MM = 6.0  # thinner skins tear: common practice, no source
AXES = ("long in X", "long in Y", "high")


def shortfall(wanted: Wanted, rack: Rack) -> str:
    """Why the rack does not make the box, in one clause or several.

    Parameters
    ----------
    wanted : Wanted
    rack : Rack
    """
    thin = _too_thin(wanted, rack) or _no_fingers(wanted, rack)
    if thin:
        return thin
    over = [(axis, less_by(wanted, rack, i)) for i, axis in enumerate(AXES)]
    found = [f"{mm:.1f} mm too {axis}" for axis, mm in over if mm is not None]
    missing = _missing(wanted, rack)
    said = ["the inside is " + " or ".join(found)] if found else []
    said += [f"one more board of {missing} would do"] if missing else []
    return "; ".join(said or _more_missing(wanted, rack))


def _more_missing(wanted: Wanted, rack: Rack) -> list[str]:
    """Where neither one side nor one board does: all three sides at once, and every piece."""
    room = min(*wanted.inside, _room_above(wanted)) - STEP_MM
    by = least_step(lambda mm: _fits(_smaller(wanted, mm), rack), room)
    said = [f"the inside is {by:.1f} mm too large along each of X, Y and Z"] if by else []
    thick = dict.fromkeys(WALLS, max(b.thickness_mm for b in rack.boards if b.count))
    sizes = (board_needs_mm(name, wanted, thick) for name in (BASE, *WALLS[::2]))
    base, one, three = (f"{long:.1f} × {wide:.1f} mm" for long, wide in sizes)
    return [
        *said,
        "more than one board is missing: out of boards of "
        f"{thick[WALLS[0]]:g} mm it takes {base} for the base, {one} for each of wall-1 and "
        f"wall-2 and {three} for each of wall-3 and wall-4",
    ]


def _smaller(wanted: Wanted, by_mm: float) -> Wanted:
    return shrunk(shrunk(shrunk(wanted, 0, by_mm), 1, by_mm), 2, by_mm)


def less_by(wanted: Wanted, rack: Rack, axis: int) -> float | None:
    """How much smaller the box must be along one axis alone to come out of the rack [mm].

    Parameters
    ----------
    wanted : Wanted
    rack : Rack
    axis : int
        0 and 1 for the inside along x and y, 2 for the height.
    """
    room = (*wanted.inside, _room_above(wanted))[axis]
    return least_step(lambda mm: _fits(shrunk(wanted, axis, mm), rack), room - STEP_MM)


def _room_above(wanted: Wanted) -> float:
    """How much lower the box may be at most: fingers need their height."""
    if wanted.router is None:
        return wanted.fill_mm
    fingers = wanted.wall_mm + GROOVE_MM - FEWEST * lowest_finger_mm(wanted.router)
    return min(wanted.fill_mm, fingers)


def thinner_rubber(wanted: Wanted, rack: Rack, beside_mm: float, below_mm: float) -> float | None:
    """Rubber to take off beside and below the part so that the box comes out of the rack [mm].

    Parameters
    ----------
    wanted : Wanted
    rack : Rack
    beside_mm, below_mm : float
        As wished.
    """

    def thinned(mm: float) -> Wanted:
        narrower = shrunk(shrunk(wanted, 0, 2.0 * mm), 1, 2.0 * mm)
        return shrunk(narrower, 2, mm)

    room = min(beside_mm, below_mm) - LEAST_RUBBER_MM
    return least_step(lambda mm: _fits(thinned(mm), rack), room) if room > 0.0 else None


def shrunk(wanted: Wanted, axis: int, by_mm: float) -> Wanted:
    """The same box made smaller along one axis.

    Parameters
    ----------
    wanted : Wanted
    axis : int
    by_mm : float
    """
    x, y = wanted.inside
    if axis == 2:
        return replace(wanted, fill_mm=wanted.fill_mm - by_mm, wall_mm=wanted.wall_mm - by_mm)
    return replace(wanted, inside=(x - by_mm, y) if axis == 0 else (x, y - by_mm))


def least_step(fits: Callable[[float], bool], most_mm: float) -> float | None:
    """The least whole number of steps that fits, by halving; None where not even the most does.

    Parameters
    ----------
    fits : callable
        True from some length on [mm].
    most_mm : float
    """
    low, high = 0, int(most_mm / STEP_MM + 1e-9)
    if high < 1 or not fits(high * STEP_MM):
        return None
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if fits(middle * STEP_MM) else (middle, high)
    return round(high * STEP_MM, 1)


def _fits(wanted: Wanted, rack: Rack) -> bool:
    return choose(wanted, rack) is not None


def _too_thin(wanted: Wanted, rack: Rack) -> str | None:
    """No board for the base, or none stiff enough for a wall."""
    boards = [b for b in rack.boards if b.count]
    thickest = max((b.thickness_mm for b in boards), default=0.0)
    if thickest < wanted.base_mm:
        return (
            f"no board is thick enough for the base: {wanted.base_mm:g} mm are needed for the "
            f"holes of the formers' feet, {wanted.base_mm - thickest:.1f} mm more than the thickest"
        )
    for wall in WALLS:
        stiffest = min(boards, key=lambda b: board_bow_mm(wanted, wall, b))
        bow = board_bow_mm(wanted, wall, stiffest)
        if bow > wanted.bow_mm:
            enough = stiffest.thickness_mm * (bow / wanted.bow_mm) ** (1 / 3)
            return (
                f"no board is stiff enough for {wall}: {stiffest.name} would bow by {bow:.2f} mm, "
                f"{wanted.bow_mm:g} mm allowed; {stiffest.material} would have to be "
                f"{enough - stiffest.thickness_mm:.1f} mm thicker"
            )
    return None


def _no_fingers(wanted: Wanted, rack: Rack) -> str | None:
    """No board thick enough for the cutter, or walls too low for fingers."""
    if wanted.router is None:
        return None
    cutter = wanted.router.cutter_mm
    thickest = max(b.thickness_mm for b in rack.boards if b.count)
    if thickest < cutter:
        return (
            f"no board is as thick as the cutter is wide: {thickest:g} mm at most, the cutter has "
            f"{cutter:g} mm; use one of {thickest:g} mm or less (box.cutter_mm)"
        )
    if all(finger_edges(wanted, b.thickness_mm) is None for b in rack.boards if b.count):
        high = wanted.wall_mm + GROOVE_MM
        return (
            f"walls of {high:.1f} mm are too low for three fingers of "
            f"{lowest_finger_mm(wanted.router):.1f} mm, which a cutter of {cutter:g} mm needs; use "
            f"one of {math.floor((high / 3.0 - wanted.router.fit_mm) * 5.0) / 10.0:g} mm or less "
            "(box.cutter_mm)"
        )
    return None


def _missing(wanted: Wanted, rack: Rack) -> str | None:
    """The smallest single board that would complete the box."""
    found: list[tuple[float, str]] = []
    for name in (BASE, *WALLS):
        choice = choose(wanted, rack, without=(name,))
        if choice:
            long, wide = board_needs_mm(name, wanted, choice.thick_mm)
            thick = wanted.base_mm if name == BASE else choice.thick_mm[name]
            words = f"{long:.1f} × {wide:.1f} mm, {thick:g} mm thick, for the {name}"
            found.append((long * wide, words if name == BASE else words.replace("the ", "")))
    return min(found)[1] if found else None


def turned_insides(
    extents_mm: Sequence[float], beside_mm: float, above_and_below_mm: float
) -> list[tuple[int, tuple[float, float], float]]:
    """Insides and heights of the box with the part's X or Y axis upright.

    Parameters
    ----------
    extents_mm : sequence of float
        Of the part as it lies.
    beside_mm, above_and_below_mm : float
        Rubber.
    """
    turned = []
    for up in (0, 1):
        x, y = (extents_mm[i] + 2.0 * beside_mm for i in range(3) if i != up)
        turned.append((up, (x, y), extents_mm[up] + above_and_below_mm))
    return turned
