"""Cuts from edge to edge: how a saw gets pieces out of a board, and with how few cuts.

Lengths are whole micrometers, so that what fits exactly is seen to fit. x runs along the board's
length and y along its width, from one corner.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TypeAlias

import numpy as np
from numba import njit
from numpy.typing import NDArray

Size: TypeAlias = tuple[int, int]


@dataclass(frozen=True, order=True)
class Need:
    """A piece that is wanted: at least so long and so wide [µm]; whether it may be turned."""

    long: int
    wide: int
    turns: bool = True

    @property
    def ways(self) -> tuple[Size, ...]:
        """Its size along x and y, as it lies and turned where it may be."""
        lying = (self.long, self.wide)
        return (lying, lying[::-1]) if self.turns and self.long != self.wide else (lying,)


@dataclass(frozen=True)
class Cut:
    """One pass of the saw through a rectangle.

    Attributes
    ----------
    low, size : (2,) int
        The rectangle that is cut, before the cut [µm].
    axis : int
        0 where the cut crosses the length, at a distance along x; 1 where it runs along it.
    at : int
        Where the saw enters, from the rectangle's low side [µm].
    """

    low: Size
    size: Size
    axis: int
    at: int


@dataclass(frozen=True)
class Part:
    """A piece as it comes off: which of the needs, where, and how large [µm]."""

    need: int
    low: Size
    size: Size
    turned: bool


@dataclass(frozen=True)
class Layout:
    """Pieces on one board, and the cuts in the order they are made."""

    parts: tuple[Part, ...]
    cuts: tuple[Cut, ...]


# Size of a board, pieces, kerf and whether what is not needed stays on them, to a layout or None.
Laying: TypeAlias = Callable[[Size, Sequence["Need"], int, bool], "Layout | None"]


@dataclass(frozen=True)
class _Block:
    """Pieces held by the smallest rectangle they leave by cuts, and how many cuts are in it."""

    size: Size
    cuts: int
    axis: int = -1
    low: _Block | None = None
    high: _Block | None = None
    need: int = -1


def lay_out(size: Size, needs: Sequence[Need], kerf: int, keeps_rest: bool) -> Layout | None:
    """All the pieces out of one board with the fewest cuts; None where they do not fit.

    Parameters
    ----------
    size : (2,) int
        Of the board [µm].
    needs : sequence of Need
    kerf : int
        What the saw takes [µm].
    keeps_rest : bool
        Whether what is not needed stays on the pieces; then n pieces take n - 1 cuts. Otherwise
        each is cut to its size.

    Notes
    -----
    Every order of cuts is tried, over blocks: rectangles that their pieces fill to two edges. A
    tree of cuts whose parts are wider than their blocks has no fewer cuts than the same tree with
    blocks, trimmed once each way, so the answer is exact.
    """
    order = sorted(range(len(needs)), key=lambda i: needs[i])
    found = _fewest(size, tuple(needs[i] for i in order), kerf, keeps_rest)
    if found is None:
        return None
    walk = _Walk(needs, order, kerf, keeps_rest)
    walk.take(found, (0, 0), size)
    return Layout(tuple(walk.parts), tuple(walk.cuts))


def _fewest(size: Size, needs: tuple[Need, ...], kerf: int, keeps_rest: bool) -> _Block | None:
    """The block of fewest cuts in a board; where the rest stays on, the first that fits."""
    best, least = None, 0
    for block in _every_block(needs, kerf):
        if block.size[0] <= size[0] and block.size[1] <= size[1]:
            cuts = block.cuts + _trims(block.size, size)
            if keeps_rest or cuts == len(needs) - 1:
                return block
            if best is None or cuts < least:
                best, least = block, cuts
    return best


def _every_block(needs: tuple[Need, ...], kerf: int) -> Iterator[_Block]:
    """Blocks of these pieces, out of blocks of fewer that no other serves in the place of."""
    if len(needs) == 1:
        yield from (_Block(way, 0, need=0) for way in needs[0].ways)
        return
    seen: set[tuple[Need, ...]] = set()
    for picked in range(1, (1 << len(needs)) - 1, 2):  # the first piece is always on the low side
        low = [i for i in range(len(needs)) if picked >> i & 1]
        high = [i for i in range(len(needs)) if not picked >> i & 1]
        kinds = tuple(needs[i] for i in low)
        if kinds not in seen:
            seen.add(kinds)
            ones = [_renamed(b, low) for b in _blocks(kinds, kerf)]
            twos = [_renamed(b, high) for b in _blocks(tuple(needs[i] for i in high), kerf)]
            yield from (b for one in ones for two in twos for b in _joined(one, two, kerf))


@lru_cache(maxsize=4096)
def _blocks(needs: tuple[Need, ...], kerf: int) -> tuple[_Block, ...]:
    """Every block of these pieces that no other serves in the place of."""
    blocks = sorted(
        _every_block(needs, kerf), key=lambda b: (b.size[0] * b.size[1], b.cuts, b.size)
    )
    figures = np.array([(*b.size, b.cuts) for b in blocks], dtype=np.int64)
    return tuple(blocks[i] for i in _unbeaten(figures))


def _joined(one: _Block, two: _Block, kerf: int) -> Iterator[_Block]:
    """Two blocks beside each other along x, and along y."""
    for axis in (0, 1):
        length = one.size[axis] + kerf + two.size[axis]
        a, b = one.size[1 - axis], two.size[1 - axis]
        size = (length, max(a, b)) if axis == 0 else (max(a, b), length)
        yield _Block(size, one.cuts + two.cuts + 1 + (a != b), axis, one, two)


def _renamed(block: _Block, names: Sequence[int]) -> _Block:
    if block.low is None or block.high is None:
        return _Block(block.size, block.cuts, need=names[block.need])
    low, high = _renamed(block.low, names), _renamed(block.high, names)
    return _Block(block.size, block.cuts, block.axis, low, high)


@njit(cache=True)  # type: ignore[untyped-decorator]
def _unbeaten(figures: NDArray[np.int64]) -> NDArray[np.int64]:
    """Rows (width, height, cuts), by area, that none before serves, trimmed, in the place of."""
    kept = np.empty(len(figures), np.int64)
    n = 0
    for i in range(len(figures)):
        w, h, cuts = figures[i]
        beaten = False
        for k in range(n):
            ow, oh, other = figures[kept[k]]
            beaten = beaten or (ow <= w and oh <= h and other + (ow < w) + (oh < h) <= cuts)
        if not beaten:
            kept[n] = i
            n += 1
    return kept[:n]


def _trims(block: Size, size: Size) -> int:
    return (block[0] < size[0]) + (block[1] < size[1])


def _resized(size: Size, axis: int, length: int) -> Size:
    return (length, size[1]) if axis == 0 else (size[0], length)


class _Walk:
    """Reads a block off as cuts in their order and pieces in their places."""

    def __init__(
        self, needs: Sequence[Need], order: Sequence[int], kerf: int, keeps_rest: bool
    ) -> None:
        self._needs, self._order, self._kerf = needs, order, kerf
        self._keeps_rest = keeps_rest
        self.parts: list[Part] = []
        self.cuts: list[Cut] = []

    def take(self, block: _Block, low: Size, size: Size) -> None:
        """Cut a block out of a rectangle that holds it."""
        if not self._keeps_rest:
            size = self._trimmed(block, low, size)
        if block.low is None or block.high is None:
            need = self._order[block.need]
            turned = block.size != (self._needs[need].long, self._needs[need].wide)
            self.parts.append(Part(need, low, size, turned))
            return
        axis, at = block.axis, block.low.size[block.axis]
        self.cuts.append(Cut(low, size, axis, at))
        self.take(block.low, low, _resized(size, axis, at))
        start = at + self._kerf
        there = (low[0] + start, low[1]) if axis == 0 else (low[0], low[1] + start)
        self.take(block.high, there, _resized(size, axis, size[axis] - start))

    def _trimmed(self, block: _Block, low: Size, size: Size) -> Size:
        for axis in (0, 1):
            if block.size[axis] < size[axis]:
                self.cuts.append(Cut(low, size, axis, block.size[axis]))
                size = _resized(size, axis, block.size[axis])
        return size
