"""Which piece comes out of which board: every way to share them out, the best one kept.

On every board taken, pieces are laid for a saw (`guillotine.lay_out`) or a router (`nest.nest`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TypeAlias

from moldgen.plan.guillotine import Laying, Layout, Need, Size, lay_out

Group: TypeAlias = tuple[int, ...]
Price: TypeAlias = tuple[float, ...]

MOST_PIECES = 6  # 203 ways to group them, and seconds to lay them all on one board


@dataclass(frozen=True)
class Lot:
    """Boards alike, as cuts see them.

    Attributes
    ----------
    size : (2,) int
        What may be used of each [µm].
    count : int
    is_scrap : bool
        Whether it may be used up; a sheet must be bought again.
    turns : bool
        Whether pieces may be turned on it.
    to_size : bool
        Whether every piece is cut to its size even of a scrap.
    """

    size: Size
    count: int
    is_scrap: bool
    turns: bool = True
    to_size: bool = False

    @property
    def keeps_rest(self) -> bool:
        """Whether what is not needed stays on the pieces."""
        return self.is_scrap and not self.to_size


@dataclass(frozen=True)
class Share:
    """One board, and the pieces that come out of it.

    Attributes
    ----------
    lot : int
        Which lot the board is of.
    pieces : tuple of int
        Which pieces; the layout counts them in this order.
    layout : Layout
    """

    lot: int
    pieces: Group
    layout: Layout


Sharing: TypeAlias = tuple[Share, ...]
Serves: TypeAlias = Callable[[int, int], bool]
Pricing: TypeAlias = Callable[[Share, Sequence[Lot], Sequence[Need]], Price]


def saw_price(share: Share, lots: Sequence[Lot], needs: Sequence[Need]) -> Price:
    """What a saw minds: sheets opened first, then cuts, then how much board is used up [mm²].

    A scrap costs nothing and a sheet must be bought again, so cuts are saved after sheets.
    """
    lot = lots[share.lot]
    used = [(need.long, need.wide) for need in (needs[i] for i in share.pieces)]
    area = _mm2([lot.size]) if lot.keeps_rest else _mm2(used)
    return (0 if lot.is_scrap else 1, len(share.layout.cuts), area)


def router_price(share: Share, lots: Sequence[Lot], _needs: Sequence[Need]) -> Price:
    """What a router minds: sheets opened first, then boards to clamp, then their area [mm²]."""
    lot = lots[share.lot]
    return (0 if lot.is_scrap else 1, 1, _mm2([lot.size]))


def share_out(
    needs: Sequence[Need],
    lots: Sequence[Lot],
    kerf: int,
    serves: Serves = lambda _piece, _lot: True,
    price: Pricing = saw_price,
    lay: Laying = lay_out,
    under: Price | None = None,
) -> tuple[Price, Sharing] | None:
    """The cheapest way to get every piece out of the lots; None where there is none.

    Parameters
    ----------
    needs : sequence of Need
        Six at most.
    lots : sequence of Lot
    kerf : int
        What the saw or the cutter takes [µm].
    serves : callable
        Whether a piece may come out of a lot.
    price : callable
        Of one share; prices add up and are compared entry by entry.
    lay : callable
        Size of a board, pieces, kerf and whether the rest stays on, to a layout or None.
    under : tuple of float, optional
        Only a price below this is of interest [of the price].

    Notes
    -----
    Every grouping of the pieces is tried, and for each group every lot, so the answer is exact.
    """
    if len(needs) > MOST_PIECES:
        raise ValueError(
            f"{len(needs)} pieces are too many to try every way: {MOST_PIECES} at most"
        )
    offers: dict[Group, list[tuple[Price, Share]]] = {}
    best: tuple[Price, Sharing] | None = None
    for groups in _groupings(len(needs)):
        for group in groups:
            if group not in offers:
                offers[group] = _offers(group, needs, lots, kerf, serves, price, lay)
        if all(offers[group] for group in groups):
            limit = best[0] if best else under
            best = (
                _assigned([offers[g] for g in groups], [lot.count for lot in lots], limit) or best
            )
    return best


def _offers(
    group: Group,
    needs: Sequence[Need],
    lots: Sequence[Lot],
    kerf: int,
    serves: Serves,
    price: Pricing,
    lay: Laying,
) -> list[tuple[Price, Share]]:
    """Every lot that a group comes out of, cheapest first."""
    found = []
    for i, lot in enumerate(lots):
        if lot.count and all(serves(piece, i) for piece in group):
            wanted = tuple(needs[p] if lot.turns else _fixed(needs[p]) for p in group)
            layout = _laid_out(lay, lot.size, wanted, kerf, lot.keeps_rest)
            if layout:
                share = Share(i, group, layout)
                found.append((price(share, lots, needs), share))
    return sorted(found, key=lambda offer: (offer[0], offer[1].lot))


@lru_cache(maxsize=65536)
def _laid_out(
    lay: Laying, size: Size, needs: tuple[Need, ...], kerf: int, keeps_rest: bool
) -> Layout | None:
    if sum(n.long * n.wide for n in needs) > size[0] * size[1]:
        return None
    if not all(any(w[0] <= size[0] and w[1] <= size[1] for w in n.ways) for n in needs):
        return None
    return lay(size, needs, kerf, keeps_rest)


def _fixed(need: Need) -> Need:
    return Need(need.long, need.wide, turns=False)


def _assigned(
    offers: Sequence[list[tuple[Price, Share]]], left: list[int], under: Price | None
) -> tuple[Price, Sharing] | None:
    """The cheapest choice of one offer a group that no lot runs out for, below a price."""
    floors: list[Price] = [()] * (len(offers) + 1)
    floors[-1] = tuple(0.0 for _ in offers[0][0][0])
    for i in reversed(range(len(offers))):
        floors[i] = _sum(floors[i + 1], offers[i][0][0])
    best: tuple[Price, Sharing] | None = None

    def choose(i: int, spent: Price, chosen: Sharing) -> None:
        nonlocal best
        limit = best[0] if best else under
        if limit is not None and not _sum(spent, floors[i]) < limit:
            return
        if i == len(offers):
            best = (spent, chosen)
            return
        for cost, share in offers[i]:
            if left[share.lot]:
                left[share.lot] -= 1
                choose(i + 1, _sum(spent, cost), (*chosen, share))
                left[share.lot] += 1

    choose(0, floors[-1], ())
    return best


def _sum(a: Price, b: Price) -> Price:
    return tuple(p + q for p, q in zip(a, b, strict=True))


def _groupings(n: int) -> Iterator[tuple[Group, ...]]:
    """Every way to part pieces 0 to n - 1 into groups, most groups first."""
    return iter(_all_groupings(n))


@lru_cache
def _all_groupings(n: int) -> tuple[tuple[Group, ...], ...]:
    if n == 0:
        return ((),)
    found: list[tuple[Group, ...]] = []
    for groups in _all_groupings(n - 1):
        last = n - 1
        found.append((*groups, (last,)))
        found += [(*groups[:i], (*group, last), *groups[i + 1 :]) for i, group in enumerate(groups)]
    return tuple(sorted(found, key=len, reverse=True))


def _mm2(sizes: Sequence[Size]) -> float:
    return sum(a * b for a, b in sizes) / 1e6
