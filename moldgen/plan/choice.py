"""Boards for a box, whichever way it is cut."""

from __future__ import annotations

from collections.abc import Sequence

from moldgen.job.rack import Rack
from moldgen.plan.board_nouns import BoardBox
from moldgen.plan.boards import board_box, choose_boards, needed_mm
from moldgen.plan.bridge import Rect
from moldgen.plan.routed import choose_routed, routed_box, routed_needs_mm
from moldgen.plan.routed_nouns import RoutedBox
from moldgen.plan.wanted import Choice, Wanted


def choose(wanted: Wanted, rack: Rack, without: Sequence[str] = ()) -> Choice | None:
    """Boards for base and walls; None where the rack does not do.

    Parameters
    ----------
    wanted : Wanted
    rack : Rack
    without : sequence of str
        Pieces that need no board.
    """
    return (choose_routed if wanted.router else choose_boards)(wanted, rack, without)


def box_of_choice(wanted: Wanted, rack: Rack, choice: Choice, inside: Rect) -> BoardBox | RoutedBox:
    """The box that a choice of boards makes, in its place.

    Parameters
    ----------
    wanted : Wanted
    rack : Rack
    choice : Choice
    inside : Rect
        Of the box, in the casting frame [mm].
    """
    if wanted.router:
        return routed_box(wanted, rack, choice, inside)
    return board_box(wanted, rack, choice, inside)


def board_needs_mm(name: str, wanted: Wanted, thick_mm: dict[str, float]) -> tuple[float, float]:
    """The least board that a piece comes out of, with what the router keeps off its edges [mm].

    Parameters
    ----------
    name : str
    wanted : Wanted
    thick_mm : dict
        Thickness of each wall.
    """
    if wanted.router is None:
        return needed_mm(name, wanted, thick_mm)
    edge = 2.0 * wanted.router.edge_mm
    long, wide = routed_needs_mm(name, wanted, next(iter(thick_mm.values())))
    return (long + edge, wide + edge)
