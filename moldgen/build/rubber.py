"""The rubber as it cures and the casting as it comes out of it: bodies to be looked at."""

from __future__ import annotations

from collections.abc import Sequence

from moldgen.errors import SolidError
from moldgen.geometry.pour_apart import FLAKE_MM3, loose_text
from moldgen.geometry.solids import Solid
from moldgen.plan.nouns import Block

PROUD_MM = 2.0  # channels stand out of the block: flush faces that miss by 1e-15 leave closed voids


def build_rubber(block: Block, part: Solid, channels: Sequence[Solid]) -> Solid:
    """The block without the part and its channels.

    Parameters
    ----------
    block : Block
    part : Solid
    channels : sequence of Solid
        Gate and vents, proud of the block's top.

    Raises
    ------
    SolidError
        If it falls into several pieces or shuts in a void.
    """
    body = Solid.box(block.low, block.high).minus([part, *channels])
    return in_one_piece(body, "rubber")


def build_casting(block: Block, part: Solid, channels: Sequence[Solid]) -> Solid:
    """The part with gate and vents up to the block's top: one closed body.

    Raises
    ------
    SolidError
        If a channel does not meet the part, or shuts in a void.
    """
    body = Solid.union([part, *channels]).trimmed((0.0, 0.0, -1.0), -block.high[2])
    return in_one_piece(body, "casting")


def in_one_piece(body: Solid, name: str) -> Solid:
    """The body without flakes of rounding, under its name.

    Raises
    ------
    SolidError
        If more than one piece, or a closed void, is left.
    """
    if body.is_empty:
        raise SolidError(f"{name} has no material: nothing is left after cutting")
    main, *others = body.components()
    for other in sorted(others, key=lambda o: -abs(o.volume_mm3)):
        if abs(other.volume_mm3) > FLAKE_MM3:
            raise SolidError(loose_text(name, other))
    return main.named(name)
