"""From a body in the mold to a piece on the printer."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from moldgen.build.lie import lying
from moldgen.build.nouns import Piece
from moldgen.geometry.printable import printable
from moldgen.geometry.recipe import Recipe
from moldgen.geometry.rigid import inverse, placement
from moldgen.geometry.solids import Solid

AS_IT_STANDS = np.eye(3)
TURNED_OVER = np.diag([1.0, -1.0, -1.0])


def printed(name: str, role: str, body: Solid, recipe: Recipe | None, turn: ArrayLike) -> Piece:
    """A printed piece, laid on the printer: lowest point at 0, in the middle of X and Y.

    Parameters
    ----------
    name, role : str
    body : Solid
        In the casting frame.
    recipe : Recipe or None
        In the casting frame.
    turn : (3, 3) float
        Casting axes to printer axes, as it is meant to be printed; another side goes down where
        that one would need support or stand on too little.
    """
    turn = lying(body, turn)
    low, high = body.moved(placement(turn)).bounds
    middle = (low + high) / 2.0
    laid = placement(turn, (-middle[0], -middle[1], -low[2]))
    mesh = printable(body.named(name).moved(laid))
    return Piece(name, role, "print", mesh, inverse(laid), recipe)


def looked_at(name: str, role: str, material: str, body: Solid) -> Piece:
    """A body that is not printed: its file holds it as it stands in the mold."""
    return Piece(name, role, material, printable(body.named(name)), np.eye(4))
