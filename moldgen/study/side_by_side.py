"""Asking about many directions at once: the compiled loops leave Python's lock alone."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from typing import TypeVar

FEW_TRIANGLES = 4000  # below it the way to a thread costs more than the answer

A = TypeVar("A")
B = TypeVar("B")


def side_by_side(ask: Callable[[A], B], of: Sequence[A], n_triangles: int) -> list[B]:
    """The answers in order, several cores at work where the part is large enough.

    Parameters
    ----------
    ask : callable
        Must not change anything that another call reads.
    of : sequence
    n_triangles : int
        Of the part asked about.
    """
    n_cores = os.cpu_count() or 1
    if n_triangles < FEW_TRIANGLES or n_cores == 1 or len(of) < 2:
        return [ask(one) for one in of]
    pool = ThreadPoolExecutor(n_cores)
    try:
        return list(pool.map(ask, of))
    finally:
        pool.shutdown(cancel_futures=True)
