"""Pieces on one sheet for the router: any place that keeps a cutter's width, cut in no order.

Lengths are whole micrometers, as for the saw.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numba import njit
from numpy.typing import NDArray

from moldgen.plan.guillotine import Laying, Layout, Need, Part, Size

Sides = NDArray[np.int64]


@lru_cache
def nesting(edge: int) -> Laying:
    """The laying for a router that keeps off a sheet's edges [µm]."""

    def lay(size: Size, needs: Sequence[Need], kerf: int, _keeps_rest: bool) -> Layout | None:
        return nest(size, needs, kerf, edge)

    return lay


def nest(size: Size, needs: Sequence[Need], kerf: int, edge: int = 0) -> Layout | None:
    """All the pieces on one sheet, or None where there is no way to lay them.

    Parameters
    ----------
    size : (2,) int
        Of the sheet [µm].
    needs : sequence of Need
    kerf : int
        Width of the cutter: pieces stay this far apart [µm].
    edge : int
        And this far from the sheet's edges [µm].

    Notes
    -----
    In every packing of rectangles each pair can be ordered so that the later one lies right of or
    above the earlier one, all pairs at once: the second sequence of the sequence pair that
    describes the packing (H. Murata and others, IEEE Transactions on CAD 15, 1996; from memory).
    So pieces are laid in every order and each turned both ways, every one into every inner corner
    of the stairs that those before it leave at the low left: no packing is missed.
    """
    room = np.array([s - 2 * edge + kerf for s in size], dtype=np.int64)
    order = sorted(range(len(needs)), key=lambda i: -needs[i].long * needs[i].wide)
    ways = [needs[i].ways for i in order]
    sides = np.array([(*w[0], *w[-1]) for w in ways], dtype=np.int64) + kerf
    turns = np.array([len(w) > 1 for w in ways])
    found = np.zeros((len(needs), 3), dtype=np.int64)
    if not _pack(room, sides, turns, found):
        return None
    placed = zip(order, found.tolist(), strict=True)
    parts = [_part(i, needs[i], (x + edge, y + edge), bool(t)) for i, (x, y, t) in placed]
    return Layout(tuple(sorted(parts, key=lambda part: part.need)), ())


def _part(need: int, wanted: Need, low: Size, turned: bool) -> Part:
    return Part(need, low, wanted.ways[-1] if turned else wanted.ways[0], turned)


@njit(cache=True)  # type: ignore[untyped-decorator]
def _pack(room: Sides, sides: Sides, turns: NDArray[np.bool_], found: Sides) -> bool:
    """Depth first; `found` takes low x, low y and whether it is turned of each piece."""
    n = len(sides)
    rights, tops = np.zeros(n, np.int64), np.zeros(n, np.int64)
    used = np.zeros(n, np.bool_)
    if (sides[:, 0] * sides[:, 1]).sum() > room[0] * room[1]:
        return False
    picked = np.full(n + 1, -1, np.int64)  # which choice each step of the way has come to
    step = 0
    while step >= 0:
        if step == n:
            return True
        if picked[step] >= 0:
            used[picked[step] // (2 * (n + 1))] = False
        choice = _next_choice(picked[step] + 1, step, room, sides, turns, used, rights, tops, found)
        picked[step] = choice
        if choice < 0:
            step -= 1
            continue
        step += 1
        picked[step] = -1
    return False


@njit(cache=True)  # type: ignore[untyped-decorator]
def _next_choice(
    first: int,
    step: int,
    room: Sides,
    sides: Sides,
    turns: NDArray[np.bool_],
    used: NDArray[np.bool_],
    rights: Sides,
    tops: Sides,
    found: Sides,
) -> int:
    """The next piece, way and corner that fits, from a number on; -1 where there is none."""
    n = len(sides)
    for choice in range(first, n * 2 * (n + 1)):
        piece, rest = choice // (2 * (n + 1)), choice % (2 * (n + 1))
        way, corner = rest // (n + 1), rest % (n + 1)
        if used[piece] or corner > step or (way == 1 and not turns[piece]):
            continue
        if _has_twin_before(piece, sides, turns, used):
            continue
        x = 0 if corner == 0 else rights[corner - 1]
        y = _floor(x, step, rights, tops)
        if corner > 0 and not _is_inner_corner(x, y, step, rights, tops):
            continue
        w, h = sides[piece, 2 * way], sides[piece, 2 * way + 1]
        if x + w <= room[0] and y + h <= room[1]:
            used[piece] = True
            rights[step], tops[step] = x + w, y + h
            if _under(step + 1, rights, tops) + _to_come(sides, used) <= room[0] * room[1]:
                found[piece] = (x, y, way)
                return choice
            used[piece] = False
    return -1


@njit(cache=True)  # type: ignore[untyped-decorator]
def _floor(x: int, step: int, rights: Sides, tops: Sides) -> int:
    """How high the stairs are at a place."""
    high = 0
    for k in range(step):
        if rights[k] > x and tops[k] > high:
            high = tops[k]
    return high


@njit(cache=True)  # type: ignore[untyped-decorator]
def _is_inner_corner(x: int, y: int, step: int, rights: Sides, tops: Sides) -> bool:
    """Whether no place farther left lies as low."""
    if y == _floor(0, step, rights, tops):
        return False
    for k in range(step):
        if rights[k] < x and _floor(rights[k], step, rights, tops) == y:
            return False
    return True


@njit(cache=True)  # type: ignore[untyped-decorator]
def _has_twin_before(
    piece: int, sides: Sides, turns: NDArray[np.bool_], used: NDArray[np.bool_]
) -> bool:
    """Whether a piece just like it waits too: then one order of the two is enough."""
    for k in range(piece):
        if not used[k] and turns[k] == turns[piece] and (sides[k] == sides[piece]).all():
            return True
    return False


@njit(cache=True)  # type: ignore[untyped-decorator]
def _under(step: int, rights: Sides, tops: Sides) -> int:
    """Area under the stairs, lost to what is still to come."""
    x, area = 0, 0
    high = _floor(x, step, rights, tops)
    while high > 0:
        end = rights[:step].max()
        for k in range(step):
            if x < rights[k] < end:
                end = rights[k]
        area += (end - x) * high
        x = end
        high = _floor(x, step, rights, tops)
    return area


@njit(cache=True)  # type: ignore[untyped-decorator]
def _to_come(sides: Sides, used: NDArray[np.bool_]) -> int:
    area = 0
    for k in range(len(sides)):
        if not used[k]:
            area += sides[k, 0] * sides[k, 1]
    return area
