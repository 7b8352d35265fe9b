"""Pieces among boards: as few boards as every way of sharing needs, never more than first-fit."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from moldgen.plan.guillotine import Need, lay_out
from moldgen.plan.share_out import Lot, fewest_boards, fewest_cuts, share_out

KERF = 3000


def lot(long_mm: float, wide_mm: float, count: int = 1, keeps: bool = False) -> Lot:
    return Lot((round(long_mm * 1000), round(wide_mm * 1000)), count, keeps)


def need(long_mm: float, wide_mm: float) -> Need:
    return Need(round(long_mm * 1000), round(wide_mm * 1000))


def singles(lots: list[Lot]) -> list[Lot]:
    return [Lot(x.size, 1, x.keeps_rest, x.turns) for x in lots for _ in range(x.count)]


def by_brute_force(needs: list[Need], lots: list[Lot]) -> int | None:
    """Fewest boards over every map from pieces to single boards."""
    boards = singles(lots)
    found = None
    for where in product(range(len(boards)), repeat=len(needs)):
        used = set(where)
        if found is not None and len(used) >= found:
            continue
        groups = {b: [n for n, w in zip(needs, where, strict=True) if w == b] for b in used}
        if all(lay_out(boards[b].size, g, KERF, False) for b, g in groups.items()):
            found = len(used)
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


@settings(max_examples=40, deadline=None)
@given(st.lists(pieces, min_size=1, max_size=4), st.lists(sheets, min_size=1, max_size=2))
def test_no_map_of_pieces_to_boards_needs_fewer(needs: list[Need], lots: list[Lot]) -> None:
    found = share_out(needs, lots, KERF, price=fewest_boards)
    assert (len(found[1]) if found else None) == by_brute_force(needs, lots)


@settings(max_examples=40, deadline=None)
@given(st.lists(pieces, min_size=1, max_size=5), st.lists(sheets, min_size=1, max_size=4))
def test_never_more_boards_than_first_fit(needs: list[Need], lots: list[Lot]) -> None:
    found, simple = share_out(needs, lots, KERF, price=fewest_boards), by_first_fit(needs, lots)
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
    assert found[0][0] == sum(len(share.layout.cuts) for share in found[1])


def test_scraps_that_serve_as_they_are_take_no_cut() -> None:
    needs = [need(100, 60), need(90, 60)]
    lots = [lot(400, 60, keeps=True), lot(120, 80, keeps=True), lot(95, 70, keeps=True)]
    found = share_out(needs, lots, KERF, price=fewest_cuts)
    assert found is not None
    assert found[0][0] == 0
    assert {share.lot for share in found[1]} == {1, 2}  # the long one stays in the rack


def test_a_piece_that_may_not_come_out_of_a_lot_does_not() -> None:
    lots = [lot(100, 60), lot(300, 200)]
    found = share_out([need(100, 60)], lots, KERF, serves=lambda _piece, i: i == 1)
    assert found is not None
    assert found[1][0].lot == 1


def test_more_pieces_than_can_be_tried_are_refused() -> None:
    with pytest.raises(ValueError, match="7 pieces"):
        share_out([need(10, 10)] * 7, [lot(100, 100)], KERF)
