"""Cuts from edge to edge: valid against shapely, fewest against every tree of cuts there is."""

from __future__ import annotations

from functools import cache
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import box

from moldgen.plan.guillotine import Layout, Need, lay_out

MM = 1000


def every_tree(
    size: tuple[int, int], needs: tuple[Need, ...], kerf: int, keeps: bool
) -> int | None:
    """Fewest cuts by trying a cut at every whole step of the board: blind, and sure."""

    @cache
    def best(w: int, h: int, left: tuple[Need, ...]) -> int | None:
        if not left:
            return 0
        found = []
        if len(left) == 1:
            n = left[0]
            ways = [(n.long, n.wide), (n.wide, n.long)] if n.turns else [(n.long, n.wide)]
            fits = [(a, b) for a, b in ways if (a <= w and b <= h if keeps else (a, b) == (w, h))]
            found += [0] if fits else []
        for length, turned in ((w, False), (h, True)):
            for at in range(1, length):
                rest = max(length - at - kerf, 0)
                for r in range(len(left) + 1):
                    for picked in set(combinations(range(len(left)), r)):
                        one = tuple(left[i] for i in picked)
                        two = tuple(n for i, n in enumerate(left) if i not in picked)
                        if (two and not rest) or (not one) or (keeps and not two):
                            continue
                        a = best(*((w, at) if turned else (at, h)), one)
                        b = (
                            best(*((w, rest) if turned else (rest, h)), two)
                            if a is not None
                            else None
                        )
                        if a is not None and b is not None:
                            found.append(1 + a + b)
        return min(found, default=None)

    return best(*size, tuple(sorted(needs)))


def require_valid(size: tuple[int, int], needs: list[Need], kerf: int, layout: Layout) -> None:
    """Inside the board, a kerf apart, large enough, each need once."""
    assert sorted(p.need for p in layout.parts) == list(range(len(needs)))
    boxes = []
    for part in layout.parts:
        need, (w, h) = needs[part.need], part.size
        assert need.turns or not part.turned
        wanted = (need.wide, need.long) if part.turned else (need.long, need.wide)
        assert w >= wanted[0] and h >= wanted[1]
        boxes.append(box(*part.low, part.low[0] + w, part.low[1] + h))
    assert all(box(0, 0, *size).covers(b) for b in boxes)
    assert all(a.distance(b) >= kerf - 1e-6 for a, b in combinations(boxes, 2))  # shapely rounds


def replayed(size: tuple[int, int], layout: Layout, kerf: int) -> set[tuple[int, int, int, int]]:
    """The rectangles on the bench after the cuts, made one after the other."""
    bench = {(0, 0, *size)}
    for cut in layout.cuts:
        x, y, w, h = (*cut.low, *cut.size)
        bench.remove((x, y, w, h))  # a cut goes through a rectangle that is there, edge to edge
        at, rest = cut.at, (w, h)[cut.axis] - cut.at - kerf
        assert 0 < at < (w, h)[cut.axis]
        bench.add((x, y, at, h) if cut.axis == 0 else (x, y, w, at))
        if rest > 0:
            bench.add((x + at + kerf, y, rest, h) if cut.axis == 0 else (x, y + at + kerf, w, rest))
    return bench


def can_be_cut(size: tuple[int, int], needs: tuple[Need, ...], kerf: int) -> bool:
    """Whether any tree of cuts gets the pieces out: every split of them, at every sum of sides."""

    @cache
    def able(w: int, h: int, left: tuple[Need, ...]) -> bool:
        if sum(n.long * n.wide for n in left) > w * h:
            return False
        if len(left) == 1:
            return any(a <= w and b <= h for a, b in left[0].ways)
        return any(
            able(*low, one) and able(*high, two)
            for one, two in halves(left)
            for at in ends(one)
            for low, high in (
                ((at, h), (w - at - kerf, h)),
                ((w, at), (w, h - at - kerf)),
            )
            if min(*low, *high) > 0
        )

    def ends(left: tuple[Need, ...]) -> tuple[int, ...]:
        sums = {0}
        for n in left:
            sides = {side for way in n.ways for side in way}
            sums |= {s + side + kerf for s in sums for side in sides}
        return tuple(sorted(s - kerf for s in sums if s))

    def halves(left: tuple[Need, ...]) -> set[tuple[tuple[Need, ...], tuple[Need, ...]]]:
        return {
            (
                tuple(n for i, n in enumerate(left) if i in low),
                tuple(n for i, n in enumerate(left) if i not in low),
            )
            for r in range(1, len(left))
            for low in combinations(range(len(left)), r)
        }

    return able(*size, tuple(sorted(needs)))


@pytest.mark.parametrize("seed", range(10))
@pytest.mark.parametrize("n", [5, 6])
def test_what_can_be_cut_is_laid_out_and_nothing_else(n: int, seed: int) -> None:
    rng = np.random.default_rng(seed)
    kinds = [Need(int(rng.integers(3, 9)), int(rng.integers(2, 6))) for _ in range(4)]
    needs = [kinds[int(rng.integers(4))] for _ in range(n)]
    area = sum((p.long + 1) * (p.wide + 1) for p in needs)
    wide = int((area * rng.uniform(0.8, 1.2)) ** 0.5)
    size = (wide, int(area * rng.uniform(1.0, 1.25) / wide))
    layout = lay_out(size, needs, 1, keeps_rest=True)
    assert (layout is not None) == can_be_cut(size, tuple(needs), 1)


needs_of = st.lists(
    st.builds(Need, st.integers(1, 4), st.integers(1, 3), st.booleans()), min_size=1, max_size=3
)


@settings(max_examples=60, deadline=None)
@given(st.tuples(st.integers(2, 8), st.integers(2, 6)), needs_of, st.integers(0, 1), st.booleans())
def test_no_tree_of_cuts_has_fewer(
    size: tuple[int, int], needs: list[Need], kerf: int, keeps: bool
) -> None:
    layout = lay_out(size, needs, kerf, keeps)
    assert (len(layout.cuts) if layout else None) == every_tree(size, tuple(needs), kerf, keeps)


workshop = st.builds(
    Need, st.integers(40 * MM, 260 * MM), st.integers(30 * MM, 200 * MM), st.booleans()
)


@settings(max_examples=60, deadline=None)
@given(
    st.tuples(st.integers(200 * MM, 1300 * MM), st.integers(80 * MM, 700 * MM)),
    st.lists(workshop, min_size=1, max_size=5),
    st.sampled_from([0, 1200, 3000]),
    st.booleans(),
)
def test_what_is_laid_out_can_be_sawn(
    size: tuple[int, int], needs: list[Need], kerf: int, keeps: bool
) -> None:
    layout = lay_out(size, needs, kerf, keeps)
    if layout is None:
        return
    require_valid(size, needs, kerf, layout)
    bench = replayed(size, layout, kerf)
    assert {(*p.low, *p.size) for p in layout.parts} <= bench
    if keeps:
        assert len(layout.cuts) == len(needs) - 1
    else:
        assert all(
            sorted(p.size) == sorted((needs[p.need].long, needs[p.need].wide)) for p in layout.parts
        )


@pytest.mark.parametrize(
    ("size", "kerf", "cuts"),
    [
        pytest.param((203, 50), 3, 1, id="two of 100 and a kerf of 3: one cut, nothing left"),
        pytest.param((202, 50), 3, None, id="a hair short"),
        pytest.param((204, 50), 3, 2, id="a hair over: a trim"),
        pytest.param((204, 51), 3, 3, id="over both ways: the long edge first"),
        pytest.param((50, 203), 3, 1, id="turned"),
    ],
)
def test_two_boards_of_a_known_length(size: tuple[int, int], kerf: int, cuts: int | None) -> None:
    layout = lay_out(size, [Need(100, 50), Need(100, 50)], kerf, keeps_rest=False)
    assert (len(layout.cuts) if layout else None) == cuts
