"""The routed box out of the rack: which boards, how many fingers, where everything stands.

wall-1 and wall-2 stand along x and have the fingers at foot and top of every corner, wall-3 and
wall-4 along y have those between.
"""

from __future__ import annotations

from collections.abc import Sequence

from moldgen.job.rack import Board, Rack
from moldgen.physics.hydrostatics import wall_force_micronewton
from moldgen.plan.board_nouns import BASE, BoardPiece, Clamp, Sawn
from moldgen.plan.bridge import Rect
from moldgen.plan.guillotine import Layout, Need
from moldgen.plan.nest import nest, nesting
from moldgen.plan.routed_nouns import GROOVE_MM, RoutedBox
from moldgen.plan.share_out import router_price, share_out
from moldgen.plan.walls import BETWEEN, RUNNING
from moldgen.plan.wanted import (
    UM,
    Choice,
    Router,
    Wanted,
    board_bow_mm,
    is_stiff,
    lots_of,
    up_um,
)
from moldgen.units import newton

WALLS = (*RUNNING, *BETWEEN)
LEDGE_MM = 8.0  # base beyond the groove: where a clamp holds
FEWEST = 3  # fingers and gaps at a corner: two of one wall hold one of the other between them
FINGER_THICKS = 2.0  # a finger is as high as so many thicknesses, and as so many cutters
FINGER_CUTTERS = 3.0
CLAMP_SAFETY = 2.0  # common practice, no source


def choose_routed(wanted: Wanted, rack: Rack, without: Sequence[str] = ()) -> Choice | None:
    """Boards for base and panels; None where the rack does not do.

    Parameters
    ----------
    wanted : Wanted
        With its router.
    rack : Rack
    without : sequence of str
        Pieces that need no board.

    Notes
    -----
    All walls are of one thickness, for a finger ends flush with its neighbor; every thickness is
    tried. Fewest sheets opened first, then fewest boards on the machine, then the smallest.
    """
    assert wanted.router is not None
    best: Choice | None = None
    names = [name for name in (BASE, *WALLS) if name not in without]
    for thick in usable_thicknesses(wanted, rack):
        sizes = [routed_needs_mm(name, wanted, thick) for name in names]
        found = share_out(
            [Need(up_um(long), up_um(wide)) for long, wide in sizes],
            lots_of(rack),
            round(wanted.router.cutter_mm * UM),
            lambda piece, lot, thick=thick: _serves(  # type: ignore[misc]
                names[piece], rack.boards[lot], wanted, thick
            ),
            router_price,
            nesting(round(wanted.router.edge_mm * UM)),
            best.price if best else None,
        )
        if found:
            best = Choice(dict.fromkeys(WALLS, thick), *found)
    return best


def usable_thicknesses(wanted: Wanted, rack: Rack) -> list[float]:
    """Of boards that walls can be cut from: as thick as the cutter, low enough for fingers [mm]."""
    thick = sorted({b.thickness_mm for b in rack.boards if b.count})
    return [t for t in thick if finger_edges(wanted, t)]


def finger_edges(wanted: Wanted, thick_mm: float) -> tuple[float, ...] | None:
    """Heights over the floor at which fingers meet; None where none can be cut.

    Parameters
    ----------
    wanted : Wanted
    thick_mm : float
        Of the walls.

    Notes
    -----
    An odd number of equal fingers and gaps. The cutter must go into a gap's depth, the thickness,
    and a finger keeps a cutter's width between the two reliefs at its root.
    """
    router = wanted.router
    assert router is not None
    high = wanted.wall_mm + GROOVE_MM
    pitch = max(FINGER_THICKS * thick_mm, FINGER_CUTTERS * router.cutter_mm)
    n = max(FEWEST, int((high / pitch - 1.0) // 2) * 2 + 1)
    if thick_mm < router.cutter_mm or high / n < lowest_finger_mm(router):
        return None
    return tuple(high * k / n - GROOVE_MM for k in range(1, n))


def lowest_finger_mm(router: Router) -> float:
    """The least height of a finger with its clearance: two reliefs and a cutter's width."""
    return 2.0 * router.cutter_mm + router.fit_mm


def routed_needs_mm(name: str, wanted: Wanted, thick_mm: float) -> tuple[float, float]:
    """Length and height of a panel, or sides of the base, without the edge of the board [mm].

    Parameters
    ----------
    name : str
    wanted : Wanted
    thick_mm : float
        Of the walls.
    """
    assert wanted.router is not None
    if name != BASE:
        return (wanted.span_mm(name) + 2.0 * thick_mm, wanted.wall_mm + GROOVE_MM)
    beyond = 2.0 * (thick_mm + wanted.router.fit_mm + LEDGE_MM)
    return (wanted.inside[0] + beyond, wanted.inside[1] + beyond)


def routed_box(wanted: Wanted, rack: Rack, choice: Choice, inside: Rect) -> RoutedBox:
    """The box that a choice of boards makes, in its place.

    Parameters
    ----------
    wanted : Wanted
    rack : Rack
    choice : Choice
    inside : Rect
        Of the box, in the casting frame [mm].
    """
    assert wanted.router is not None
    names = (BASE, *WALLS)
    thick = choice.thick_mm[WALLS[0]]
    edges = finger_edges(wanted, thick)
    assert edges is not None
    from_board = {names[i]: rack.boards[s.lot] for s in choice.sharing for i in s.pieces}
    made = {n: _piece(n, from_board[n], wanted, thick, inside) for n in names}
    sawn = tuple(
        Sawn(
            rack.boards[s.lot],
            tuple(names[i] for i in s.pieces),
            _at_one_end(s.layout, rack.boards[s.lot], wanted.router),
        )
        for s in choice.sharing
    )
    walls = tuple(made[name] for name in WALLS)
    return RoutedBox(made[BASE], walls, sawn, wanted.router, edges, _clamps(wanted, thick))


def _serves(name: str, board: Board, wanted: Wanted, thick_mm: float) -> bool:
    if name == BASE:
        return board.thickness_mm >= wanted.base_mm
    return board.thickness_mm == thick_mm and is_stiff(wanted, name, board)


def _piece(name: str, board: Board, wanted: Wanted, thick_mm: float, inside: Rect) -> BoardPiece:
    needs = routed_needs_mm(name, wanted, thick_mm)
    (x0, y0), (x1, y1) = inside
    if name == BASE:
        x, y = (needs[0] - (x1 - x0)) / 2.0, (needs[1] - (y1 - y0)) / 2.0
        rect: Rect = ((x0 - x, y0 - y), (x1 + x, y1 + y))
        return BoardPiece(name, board, rect, board.thickness_mm, needs)
    u0, v0, u1, v1 = x0 - thick_mm, y0 - thick_mm, x1 + thick_mm, y1 + thick_mm
    rect = {
        "wall-1": ((u0, v0), (u1, y0)),
        "wall-2": ((u0, y1), (u1, v1)),
        "wall-3": ((u0, v0), (x0, v1)),
        "wall-4": ((x1, v0), (u1, v1)),
    }[name]
    return BoardPiece(name, board, rect, needs[1], needs, board_bow_mm(wanted, name, board))


def _at_one_end(layout: Layout, board: Board, router: Router) -> Layout:
    """The same pieces on as little of the board's length as does, to a millimeter."""
    needs = [
        Need(*(part.size[::-1] if part.turned else part.size), not board.grain)
        for part in sorted(layout.parts, key=lambda part: part.need)
    ]
    kerf, edge = round(router.cutter_mm * UM), round(router.edge_mm * UM)
    wide = int(board.width_mm * UM + 1e-6)

    def laid(long_mm: int) -> Layout | None:
        return nest((long_mm * UM, wide), needs, kerf, edge)

    low, high, best = 0, int(board.length_mm), layout
    while high - low > 1:
        middle = (low + high) // 2
        found = laid(middle)
        low, high, best = (low, middle, found) if found else (middle, high, best)
    return best


def _clamps(wanted: Wanted, thick_mm: float) -> tuple[Clamp, ...]:
    """One along each wall, pressing its two neighbors on its ends against half their push."""
    push = {
        w: newton(wall_force_micronewton(wanted.density_g_mm3, wanted.span_mm(w), wanted.fill_mm))
        for w in WALLS
    }
    others = {wall: BETWEEN if wall in RUNNING else RUNNING for wall in WALLS}
    return tuple(
        Clamp(
            wall,
            " and ".join(others[wall]),
            wanted.span_mm(wall) + 2.0 * thick_mm,
            CLAMP_SAFETY * push[others[wall][0]] / 2.0,
        )
        for wall in WALLS
    )
