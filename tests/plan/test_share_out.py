"""Pieces among boards: as few boards as every way of sharing needs, never more than first-fit."""

from __future__ import annotations

import runpy
from collections.abc import Callable
from itertools import product
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from moldgen.plan.guillotine import Need, lay_out
from moldgen.plan.nest import nesting
from moldgen.plan.share_out import Lot, router_price, share_out

PAIRS = SimpleNamespace(**runpy.run_path(str(Path(__file__).with_name("sequence_pairs.py"))))
KERF = 3000


def lot(long_mm: float, wide_mm: float, count: int = 1, keeps: bool = False) -> Lot:
    return Lot((round(long_mm * 1000), round(wide_mm * 1000)), count, keeps)


def need(long_mm: float, wide_mm: float) -> Need:
    return Need(round(long_mm * 1000), round(wide_mm * 1000))


def singles(lots: list[Lot]) -> list[Lot]:
    return [Lot(x.size, 1, x.keeps_rest, x.turns) for x in lots for _ in range(x.count)]


def can_be_sawn(
    size: tuple[int, int], needs: tuple[Need, ...], kerf: int, keeps: bool
) -> int | None:
    """Fewest cuts on one board; `lay_out` is held against every tree of cuts in its own tests."""
    layout = lay_out(size, needs, kerf, keeps)
    return len(layout.cuts) if layout else None


Judge = Callable[[tuple[int, int], tuple[Need, ...], int, bool], int | None]


def by_brute_force(needs: list[Need], lots: list[Lot], judge: Judge) -> list[tuple[int, int, int]]:
    """Sheets opened, cuts, boards taken of every map from pieces to single boards that works."""
    boards = singles(lots)
    known: dict[tuple[Lot, tuple[Need, ...]], int | None] = {}

    def cuts(board: Lot, group: tuple[Need, ...]) -> int | None:
        key = (board, tuple(sorted(group)))
        if key not in known:
            known[key] = judge(board.size, key[1], KERF, board.keeps_rest)
        return known[key]

    found = []
    for where in product(range(len(boards)), repeat=len(needs)):
        groups = [
            (boards[b], tuple(n for n, w in zip(needs, where, strict=True) if w == b))
            for b in sorted(set(where))
        ]
        each = [cuts(*group) for group in groups]
        if None not in each:
            opened = sum(not board.keeps_rest for board, _ in groups)
            found.append((opened, sum(c or 0 for c in each), len(groups)))
    return found


def by_first_fit(needs: list[Need], lots: list[Lot]) -> int | None:
    """Largest piece first, into the first board that still takes it."""
    boards = singles(lots)
    held: list[list[Need]] = [[] for _ in boards]
    for piece in sorted(needs, key=lambda n: -n.long * n.wide):
        for i, board in enumerate(boards):
            if lay_out(board.size, [*held[i], piece], KERF, False):
                held[i].append(piece)
                break
        else:
            return None
    return sum(bool(h) for h in held)


pieces = st.builds(need, st.integers(40, 200), st.integers(30, 120))
sheets = st.builds(lot, st.integers(100, 500), st.integers(60, 300), st.integers(1, 2))


def drawn(seed: int, n: int) -> tuple[list[Need], list[Lot]]:
    """Pieces and a rack that is often just too small for some of them together [steps of 10 mm]."""
    rng = np.random.default_rng(seed)
    kinds = [need(10 * rng.integers(6, 16), 10 * rng.integers(4, 10)) for _ in range(3)]
    needs = [kinds[int(rng.integers(3))] for _ in range(n)]
    area = sum(p.long * p.wide for p in needs) / 1e6
    lots = []
    for _ in range(int(rng.integers(2, 4))):
        wide = 10 * int(rng.integers(8, 26))
        long = 10 * round(area * rng.uniform(0.3, 1.3) / wide / 10)
        lots.append(lot(max(long, wide, 60), wide, keeps=bool(rng.random() < 0.5)))
    return needs, lots


CASES = [pytest.param(seed, 6 if seed % 2 else 5, id=f"rack {seed}") for seed in range(10)]


@pytest.mark.parametrize(("seed", "n"), CASES)
def test_the_saw_opens_as_few_sheets_and_cuts_as_little_as_any_map(seed: int, n: int) -> None:
    """Up to six pieces, the price that the box of boards is planned by."""
    needs, lots = drawn(seed, n)
    found = share_out(needs, lots, KERF)
    best = min((w[:2] for w in by_brute_force(needs, lots, can_be_sawn)), default=None)
    assert (found[0][:2] if found else None) == best


def can_be_routed(
    size: tuple[int, int], needs: tuple[Need, ...], kerf: int, _keeps: bool
) -> int | None:
    return 0 if PAIRS.can_be_packed(size, list(needs), kerf) else None


@pytest.mark.parametrize(("seed", "n"), CASES)
def test_the_router_opens_as_few_sheets_and_takes_as_few_boards_as_any(seed: int, n: int) -> None:
    """Up to six pieces, the price that the routed box is planned by."""
    needs, lots = drawn(seed, n)
    found = share_out(needs, lots, KERF, price=router_price, lay=nesting(0))
    ways = by_brute_force(needs, lots, can_be_routed)
    best = min(((opened, boards) for opened, _, boards in ways), default=None)
    assert (found[0][:2] if found else None) == best


pieces = st.builds(need, st.integers(40, 200), st.integers(30, 120))
sheets = st.builds(lot, st.integers(100, 500), st.integers(60, 300), st.integers(1, 2))


@settings(max_examples=40, deadline=None)
@given(st.lists(pieces, min_size=1, max_size=5), st.lists(sheets, min_size=1, max_size=4))
def test_never_more_boards_than_first_fit(needs: list[Need], lots: list[Lot]) -> None:
    """Sheets for the saw, boards for the router: each against first-fit with the saw's cuts."""
    simple = by_first_fit(needs, lots)
    for found in (
        share_out(needs, lots, KERF),
        share_out(needs, lots, KERF, price=router_price, lay=nesting(0)),
    ):
        assert simple is None or (found is not None and len(found[1]) <= simple)


@settings(max_examples=40, deadline=None)
@given(st.lists(pieces, min_size=1, max_size=5), st.lists(sheets, min_size=1, max_size=4))
def test_every_piece_once_and_no_board_twice(needs: list[Need], lots: list[Lot]) -> None:
    found = share_out(needs, lots, KERF)
    if found is None:
        return
    assert sorted(i for share in found[1] for i in share.pieces) == list(range(len(needs)))
    for i, x in enumerate(lots):
        assert sum(share.lot == i for share in found[1]) <= x.count
    assert found[0][1] == sum(len(share.layout.cuts) for share in found[1])


def test_a_sheet_stays_whole_where_scraps_do() -> None:
    """Two cuts of scrap or none of a sheet that fits: the scraps are sawn."""
    needs = [need(100, 60), need(100, 60), need(90, 60)]
    lots = [lot(300, 60, keeps=True), lot(100, 60, 2), lot(90, 60)]
    found = share_out(needs, lots, KERF)
    assert found is not None
    assert found[0][:2] == (0, 2)
    assert [share.lot for share in found[1]] == [0]


def test_scraps_that_serve_as_they_are_take_no_cut() -> None:
    needs = [need(100, 60), need(90, 60)]
    lots = [lot(400, 60, keeps=True), lot(120, 80, keeps=True), lot(95, 70, keeps=True)]
    found = share_out(needs, lots, KERF)
    assert found is not None
    assert found[0][:2] == (0, 0)
    assert {share.lot for share in found[1]} == {1, 2}  # the long one stays in the rack


def test_a_piece_that_may_not_come_out_of_a_lot_does_not() -> None:
    lots = [lot(100, 60), lot(300, 200)]
    found = share_out([need(100, 60)], lots, KERF, serves=lambda _piece, i: i == 1)
    assert found is not None
    assert found[1][0].lot == 1


def test_more_pieces_than_can_be_tried_are_refused() -> None:
    with pytest.raises(ValueError, match="7 pieces"):
        share_out([need(10, 10)] * 7, [lot(100, 100)], KERF)
