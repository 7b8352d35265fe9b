"""The box out of the rack: four boards, each butting on the next and running past the one before.

Boards of any length make a box of any size that way. wall-1 and wall-2 stand along x at low and
high y, wall-3 and wall-4 along y at low and high x.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product

from moldgen.job.rack import Board, Rack, Stock
from moldgen.physics.hydrostatics import wall_force_micronewton
from moldgen.plan.board_nouns import BASE, BUTTS_ON, RUNS_PAST, BoardBox, BoardPiece, Clamp, Sawn
from moldgen.plan.bridge import Rect
from moldgen.plan.guillotine import Need
from moldgen.plan.share_out import share_out
from moldgen.plan.walls import BETWEEN, RUNNING
from moldgen.plan.wanted import UM, Choice, Wanted, board_bow_mm, is_stiff, lots_of, up_um
from moldgen.units import newton

WALLS = (*RUNNING, *BETWEEN)
LEDGE_MM = 5.0  # base beyond the walls, for the bead outside: common practice, no source
FRICTION = 0.3  # wood on wood, dry: from memory, handbooks have 0.25 to 0.5
CLAMP_SAFETY = 2.0  # common practice, no source


def choose_boards(wanted: Wanted, rack: Rack, without: Sequence[str] = ()) -> Choice | None:
    """Boards for base and walls; None where the rack does not do.

    Parameters
    ----------
    wanted : Wanted
    rack : Rack
    without : sequence of str
        Pieces that need no board.

    Notes
    -----
    Every mix of thicknesses is tried, for a wall must cover the next one's end: a wall needs the
    inside and the thickness of the wall that it runs past. Fewest sheets opened first, then fewest
    cuts, then the least board used up.
    """
    best: Choice | None = None
    names = [name for name in (BASE, *WALLS) if name not in without]
    lots = lots_of(rack, wanted.to_size)
    for thick in _thicknesses(wanted, rack):
        needs = [_need(name, wanted, thick) for name in names]
        found = share_out(
            needs,
            lots,
            round(wanted.kerf_mm * UM),
            lambda piece, lot, thick=thick: _serves(  # type: ignore[misc]
                names[piece], rack.boards[lot], wanted, thick
            ),
            under=best.price if best else None,
        )
        if found:
            best = Choice(thick, *found)
    return best


def board_box(wanted: Wanted, rack: Rack, choice: Choice, inside: Rect) -> BoardBox:
    """The box that a choice of boards makes, in its place.

    Parameters
    ----------
    wanted : Wanted
    rack : Rack
    choice : Choice
    inside : Rect
        Of the box, in the casting frame [mm].
    """
    names = (BASE, *WALLS)
    pieces: dict[str, BoardPiece] = {}
    for share in choice.sharing:
        board = rack.boards[share.lot]
        for part in share.layout.parts:
            name = names[share.pieces[part.need]]
            long, wide = (s / UM for s in (part.size[::-1] if part.turned else part.size))
            pieces[name] = _piece(name, board, (long, wide), wanted, choice.thick_mm, inside)
    walls = tuple(pieces[name] for name in WALLS)
    sawn = tuple(
        Sawn(
            rack.boards[s.lot],
            tuple(names[i] for i in s.pieces),
            s.layout,
            rack.boards[s.lot].stock is Stock.SCRAP and not wanted.to_size,
        )
        for s in choice.sharing
    )
    return BoardBox(pieces[BASE], walls, sawn, wanted.kerf_mm, _clamps(walls, wanted))


def needed_mm(name: str, wanted: Wanted, thick_mm: dict[str, float]) -> tuple[float, float]:
    """The least length and height of a wall, or sides of the base [mm].

    Parameters
    ----------
    name : str
    wanted : Wanted
    thick_mm : dict
        Thickness of each wall.
    """
    if name != BASE:
        return (wanted.span_mm(name) + thick_mm[RUNS_PAST[name]], wanted.wall_mm)
    x = wanted.inside[0] + thick_mm["wall-3"] + thick_mm["wall-4"] + 2.0 * LEDGE_MM
    return (x, wanted.inside[1] + thick_mm["wall-1"] + thick_mm["wall-2"] + 2.0 * LEDGE_MM)


def _thicknesses(wanted: Wanted, rack: Rack) -> Iterator[dict[str, float]]:
    """Every mix of wall thicknesses; half of them are another turned over, so they are left out."""
    stiff = [
        sorted({b.thickness_mm for b in rack.boards if b.count and is_stiff(wanted, wall, b)})
        for wall in WALLS
    ]
    for mix in product(*stiff):
        one, two, three, four = mix
        if (one, three) <= (two, four):
            yield dict(zip(WALLS, mix, strict=True))


def _serves(name: str, board: Board, wanted: Wanted, thick_mm: dict[str, float]) -> bool:
    if name == BASE:
        return board.thickness_mm >= wanted.base_mm
    return board.thickness_mm == thick_mm[name] and is_stiff(wanted, name, board)


def _need(name: str, wanted: Wanted, thick_mm: dict[str, float]) -> Need:
    long, wide = needed_mm(name, wanted, thick_mm)
    return Need(up_um(long), up_um(wide))


def _piece(
    name: str,
    board: Board,
    size_mm: tuple[float, float],
    wanted: Wanted,
    thick_mm: dict[str, float],
    inside: Rect,
) -> BoardPiece:
    needs = needed_mm(name, wanted, thick_mm)
    if name == BASE:
        rect = _base_rect(size_mm, thick_mm, inside)
        return BoardPiece(name, board, rect, board.thickness_mm, needs)
    size_mm = needs if wanted.to_size else size_mm  # cut to size: whole micrometers are no more
    rect = wall_rect(name, size_mm[0], thick_mm[name], inside)
    return BoardPiece(name, board, rect, size_mm[1], needs, board_bow_mm(wanted, name, board))


def wall_rect(name: str, long_mm: float, thick_mm: float, inside: Rect) -> Rect:
    """Where a wall stands, seen from above: its end on the wall it butts on, the rest run past.

    Parameters
    ----------
    name : str
    long_mm, thick_mm : float
    inside : Rect
        Of the box, in the casting frame [mm].
    """
    (x0, y0), (x1, y1) = inside
    return {
        "wall-1": ((x0, y0 - thick_mm), (x0 + long_mm, y0)),
        "wall-2": ((x1 - long_mm, y1), (x1, y1 + thick_mm)),
        "wall-3": ((x0 - thick_mm, y1 - long_mm), (x0, y1)),
        "wall-4": ((x1, y0), (x1 + thick_mm, y0 + long_mm)),
    }[name]


def _base_rect(size_mm: tuple[float, float], thick_mm: dict[str, float], inside: Rect) -> Rect:
    """The base, in the middle under the walls' ring."""
    (x0, y0), (x1, y1) = inside
    x = (x0 - thick_mm["wall-3"] + x1 + thick_mm["wall-4"]) / 2.0
    y = (y0 - thick_mm["wall-1"] + y1 + thick_mm["wall-2"]) / 2.0
    half_x, half_y = size_mm[0] / 2.0, size_mm[1] / 2.0
    return ((x - half_x, y - half_y), (x + half_x, y + half_y))


def _clamps(walls: Sequence[BoardPiece], wanted: Wanted) -> tuple[Clamp, ...]:
    """One along each wall.

    It presses the wall's end on the wall it butts on. Half of that one's push comes back to it,
    and half of the push on its own wall is held by friction at the end.
    """
    push = {
        w: newton(wall_force_micronewton(wanted.density_g_mm3, wanted.span_mm(w), wanted.fill_mm))
        for w in WALLS
    }
    thick = {wall.name: wall.size_mm[2] for wall in walls}
    return tuple(
        Clamp(
            wall.name,
            BUTTS_ON[wall.name],
            wall.size_mm[0] + thick[BUTTS_ON[wall.name]],
            CLAMP_SAFETY * (push[BUTTS_ON[wall.name]] + push[wall.name] / FRICTION) / 2.0,
        )
        for wall in walls
    )
