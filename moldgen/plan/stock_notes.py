"""What the maker has to know of halves from the router: what stays, what is short, what hurts."""

from __future__ import annotations

from moldgen.errors import Finding, Grade
from moldgen.job.cutters import Cutter
from moldgen.job.job import Job
from moldgen.job.rack import Rack
from moldgen.plan.channel_notes import point_text
from moldgen.plan.reach import FEWEST_CELLS, LEFT_MM
from moldgen.plan.reach_nouns import Between, CutterUse, Left, Reach
from moldgen.plan.stock import Blank

TOLD_MM3 = 1.0  # hidden room that is more than the grain of the mesh
ROUTER_CAUTIONS = (
    (
        "A spindle maims and throws what is loose: clamp or screw the blank down clear of every "
        "way of the cutter, try the program above the blank first, eyes and ears covered, hands "
        "off while it turns; feeds and speeds are the machine's and the cutter makers' to say.",
        "router",
    ),
    (
        "Dust of tooling board, MDF and resin harms the lungs and may sensitize; fine dust can "
        "catch fire: draw it off where it arises, wear a mask for fine dust, never blow it about; "
        "the board's safety data sheet decides.",
        "router",
    ),
)


def reach_findings(reach: Reach) -> tuple[Finding, ...]:
    """What the cutters leave of a half, with its place in the router's frame.

    Parameters
    ----------
    reach : Reach
    """
    name = reach.surface.name
    found = [_of_cavity(name, reach), _of_face(name, reach.face), _of_hidden(name, reach)]
    found += [_of_length(name, use) for use in reach.uses if use.is_short]
    found += [_of_thin(name, cutter, reach) for cutter in reach.too_thin]
    return tuple(finding for finding in found if finding is not None)


def _of_cavity(name: str, reach: Reach) -> Finding | None:
    left = reach.cavity
    if left.area_mm2.low == 0.0 and left.spot_mm <= LEFT_MM:
        return None
    radius = reach.inside_radius_mm
    sure = left.area_mm2.low > 0.0
    stays = "leave more than" if sure else "may leave more than"
    most = f"{left.most_mm.low:.2f} mm at least" if sure else f"up to {left.spot_mm:.2f} mm"
    return Finding(
        Grade.CAUTION if sure else Grade.NOTE,
        f"{name}: the cutters {stays} {LEFT_MM:g} mm on {between(left.area_mm2, 1)} mm² of the "
        f"cavity, {percent(left.share)} of it, most at {point_text(left.at)}, "
        f"{most}: inner corners sharper than R {radius:g} mm stay round; "
        "finish them by hand, draw them rounder, or list a thinner or longer cutter",
        left.most_mm.low,
        LEFT_MM,
    )


def _of_face(name: str, left: Left) -> Finding | None:
    if left.area_mm2.low == 0.0:
        return None
    return Finding(
        Grade.CAUTION,
        f"{name}: on the face where the halves meet, keys and sockets among it, the cutters leave "
        f"more than {LEFT_MM:g} mm on {between(left.area_mm2, 1)} mm², "
        f"{left.most_mm.low:.2f} mm at least at {point_text(left.at)}: clear it by hand before the "
        "halves are closed, or they will not meet",
        left.most_mm.low,
        LEFT_MM,
    )


def _of_hidden(name: str, reach: Reach) -> Finding | None:
    hidden = reach.surface.hidden_mm3
    if hidden <= TOLD_MM3:
        return None
    return Finding(
        Grade.CAUTION,
        f"{name}: {hidden:.0f} mm³ lie below overhangs where no cutter gets from above: take "
        "another pull, or halves that are printed",
        hidden,
        TOLD_MM3,
    )


def _of_length(name: str, use: CutterUse) -> Finding:
    cutter = use.cutter
    return Finding(
        Grade.CAUTION,
        f"{name}: {cutter.name} stands {cutter.free_length_mm:g} mm out of its holder, "
        f"{use.length_mm:.1f} mm would be needed for every place its end fits into: take it "
        "longer, or a slimmer holder",
        cutter.free_length_mm,
        use.length_mm,
    )


def _of_thin(name: str, cutter: Cutter, reach: Reach) -> Finding:
    cell, least = reach.surface.field.pitch_mm, FEWEST_CELLS * reach.surface.field.pitch_mm
    return Finding(
        Grade.NOTE,
        f"{name}: {cutter.name} is not judged: the half is so large that cells are {cell:.2f} mm "
        f"wide, and a cutter must span {FEWEST_CELLS:g} of them",
        cutter.diameter_mm,
        least,
    )


def blank_findings(blanks: tuple[Blank, ...], rack: Rack) -> tuple[Finding, ...]:
    """Blanks for which the rack has no board.

    Parameters
    ----------
    blanks : tuple of Blank
    rack : Rack
    """
    if not rack.boards:
        return ()
    return tuple(
        Finding(
            Grade.CAUTION,
            f"{blank.name}: no board of the rack gives a blank of "
            f"{' × '.join(f'{v:g}' for v in blank.size_mm)} mm: take one from elsewhere, or glue "
            "layers up to that thickness, the joints square to Z and away from the parting face",
        )
        for blank in blanks
        if blank.board is None
    )


def seal_findings(job: Job) -> tuple[Finding, ...]:
    """What resin does to routed halves.

    Parameters
    ----------
    job : Job
    """
    resin = job.casting_resin
    return (
        Finding(
            Grade.CAUTION,
            f"{resin.title} sticks to bare board, and MDF drinks it and swells: sand the marks of "
            "the cutter away, seal cavity and parting face with two thin coats of varnish or "
            "epoxy, wax and polish them, and test a dab of resin with your release agent first "
            "(common practice, no source)",
        ),
    )


def between(bounds: Between, digits: int) -> str:
    """Two bounds in words, in their own unit [-]; one figure where they look alike or the lower
    is nothing."""
    low, high = (f"{v:.{digits}f}" for v in (bounds.low, bounds.high))
    if low == high:
        return low
    return f"{low} to {high}" if float(low) else f"up to {high}"


def percent(bounds: Between) -> str:
    """Two shares in words [%]."""
    return f"{between(bounds.times(100.0), 1)} %"
