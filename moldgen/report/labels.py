"""Labels: where text goes on the paper so that no two pieces of it meet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

Point = tuple[float, float]
Size = tuple[float, float]


@dataclass(frozen=True)
class Rect:
    """An upright rectangle on the paper, y running down [px]."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """Width [px]."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Height [px]."""
        return self.bottom - self.top

    @property
    def middle(self) -> Point:
        """Its middle [px]."""
        return (self.left + self.right) / 2.0, (self.top + self.bottom) / 2.0

    def overlaps(self, other: Rect) -> bool:
        """Whether the two share any area."""
        across = min(self.right, other.right) - max(self.left, other.left)
        down = min(self.bottom, other.bottom) - max(self.top, other.top)
        return across > 1e-9 and down > 1e-9

    def holds(self, other: Rect) -> bool:
        """Whether the other lies wholly inside."""
        return (
            self.left <= other.left + 1e-9
            and self.top <= other.top + 1e-9
            and self.right >= other.right - 1e-9
            and self.bottom >= other.bottom - 1e-9
        )

    def shrunk(self, left: float, top: float, right: float, bottom: float) -> Rect:
        """The rectangle with a margin taken off each side [px]."""
        return Rect(self.left + left, self.top + top, self.right - right, self.bottom - bottom)


def spread(wanted: Sequence[float], sizes: Sequence[float], low: float, high: float) -> list[float]:
    """Starts of intervals that stay in order, never overlap, and lie near where they are wanted.

    Least squares under the order of `wanted`, by pooling neighbors that collide.

    Parameters
    ----------
    wanted : sequence of float
        Wanted middle of each interval [px].
    sizes : sequence of float
        Length of each interval, gap included [px].
    low, high : float
        Where the intervals must stay [px].

    Raises
    ------
    ValueError
        If the intervals together are longer than the room.
    """
    room = high - low - sum(sizes)
    if room < -1e-9:
        raise ValueError(f"{sum(sizes):.0f} px of labels do not fit in {high - low:.0f} px")
    order = sorted(range(len(wanted)), key=lambda i: (wanted[i], i))
    before, shifts = 0.0, []
    for i in order:
        shifts.append(wanted[i] - sizes[i] / 2.0 - before)
        before += sizes[i]
    starts, before = [0.0] * len(wanted), 0.0
    for i, shift in zip(order, _pooled(shifts), strict=True):
        starts[i] = min(max(shift, low), low + max(room, 0.0)) + before
        before += sizes[i]
    return starts


def _pooled(values: Sequence[float]) -> list[float]:
    """The nearest sequence that never falls (isotonic regression)."""
    pools: list[tuple[float, int]] = []
    for value in values:
        mean, n = value, 1
        while pools and pools[-1][0] > mean:
            other, m = pools.pop()
            mean, n = (mean * n + other * m) / (n + m), n + m
        pools.append((mean, n))
    return [mean for mean, n in pools for _ in range(n)]


def place_labels(
    anchors: Sequence[Point], sizes: Sequence[Size], left: Rect, right: Rect, gap: float = 8.0
) -> list[Rect]:
    """A place for each label, in the column on its anchor's side, level with its anchor if it can.

    Labels stand flush with the inner edge of their column, so leader lines are short.

    Parameters
    ----------
    anchors : sequence of (2,) float
        What each label points at [px].
    sizes : sequence of (2,) float
        Width and height of each label [px].
    left, right : Rect
        The two columns [px].
    gap : float
        Least distance between labels in a column [px].

    Raises
    ------
    ValueError
        If the labels do not fit in the two columns together.
    """
    heights = [height + gap for _, height in sizes]
    on_left = _left_side(anchors, heights, left, right)
    places: dict[int, Rect] = {}
    for column, members in ((left, on_left), (right, set(range(len(sizes))) - on_left)):
        chosen = sorted(members)
        wanted = [anchors[i][1] for i in chosen]
        tops = spread(wanted, [heights[i] for i in chosen], column.top, column.bottom + gap)
        for i, top in zip(chosen, tops, strict=True):
            width, height = sizes[i]
            x = column.right - width if column is left else column.left
            places[i] = Rect(x, top, x + width, top + height)
    return [places[i] for i in range(len(sizes))]


def _left_side(
    anchors: Sequence[Point], heights: Sequence[float], left: Rect, right: Rect
) -> set[int]:
    """Labels that go left: anchors left of the middle, moved over where a column is full."""
    order = sorted(range(len(anchors)), key=lambda i: (anchors[i][0], i))
    middle = (left.right + right.left) / 2.0
    n = sum(anchors[i][0] < middle for i in order)
    while n and sum(heights[i] for i in order[:n]) > left.height:
        n -= 1
    while n < len(order) and sum(heights[i] for i in order[n:]) > right.height:
        n += 1
    return set(order[:n])
