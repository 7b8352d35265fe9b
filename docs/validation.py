"""Reckon the figures of docs/validation.md: python docs/validation.py writes them into the page."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path

from moldgen.physics.cure import CRITICAL, Shape, adiabatic_rise, adiabatic_time, kamal_conversion
from moldgen.physics.filling import (
    bottom_fill_time,
    funnel_empty_time,
    leveling_head,
    open_fill_time,
    thin_funnel_empty_time,
)
from moldgen.physics.hydrostatics import (
    lift_micronewton,
    plane_force_micronewton,
    pressure_center,
    sealed_lift_micronewton,
    wall_force_micronewton,
)
from moldgen.physics.mixing import (
    cup_film,
    degassing_growth,
    gas_expansion,
    mixed_density,
    stoichiometric_phr,
    volume_ratio,
)
from moldgen.physics.pipes import end_length, flow_under, kinetic_term, pipe_resistance
from moldgen.physics.plates import Bending, Edge, Edges, Plate, bend_plate
from moldgen.physics.stretch import modulus_from_shore_a, ring_force
from moldgen.physics.thickening import (
    activation_energy,
    arrhenius,
    effective_time,
    gel_conversion,
    least_radius,
    pour_time,
    sprue_capacity,
    time_constant,
)
from moldgen.physics.vents import air_back_pressure, bubble_rise, capillary_rise

PAGE = Path(__file__).with_name("validation.md")
START, END = "<!-- reckoned -->", "<!-- end of reckoned -->"
G = 9810.0  # what the books use
RESIN = 1.1e-3
NEGLIGIBLE = 1e-6


@dataclass(frozen=True)
class Row:
    """One figure: where it is from, what it is, as known, and as moldgen reckons it."""

    source: str
    case: str
    known: float
    ours: float
    unit: str = ""

    @property
    def deviation(self) -> str:
        """Relative, in percent."""
        share = abs(self.ours / self.known - 1.0)
        return "0" if share < NEGLIGIBLE else f"{100.0 * share:.2g} %"


def rows() -> Iterator[Row]:
    """Every figure of the page."""
    yield from plates()
    yield from liquids()
    yield from flow()
    yield from thickening()
    yield from curing()
    yield from weighing()


def unit_plate(edges: Edges, foot: float = 1.0, top: float = 1.0) -> Bending:
    """A square of side and rigidity 1."""
    return bend_plate(Plate(1.0, 1.0, 1.0, 12.0 * 0.91), edges, foot, top)


def plates() -> Iterator[Row]:
    """Bending of plates."""
    roark = "Roark, Table 11.4 case 1a"
    for ratio, alpha, beta in ((1.0, 0.0444, 0.2874), (2.0, 0.1110, 0.6102), (5.0, 0.1417, 0.7476)):
        bent = bend_plate(Plate(1.0, ratio, 1.0, 1.0), Edges.all(Edge.HINGED), 1.0, 1.0)
        middle = (0.5, ratio / 2)
        yield Row(roark, f"b/a = {ratio:g}, deflection", alpha, bent.deflection(*middle))
        yield Row(roark, f"b/a = {ratio:g}, stress", beta, 6.0 * bent.moments(*middle)[0])
    book = "Timoshenko and Woinowsky-Krieger (from memory)"
    square = unit_plate(Edges.all(Edge.CLAMPED))
    yield Row(book, "clamped square, deflection", 0.00126, square.deflection(0.5, 0.5))
    yield Row(book, "clamped square, moment at the edge", -0.0513, square.moments(0.0, 0.5)[0])
    deep = unit_plate(Edges.all(Edge.CLAMPED), 1.0, 0.0)
    yield Row(book, "the same under liquid, deep edge", -0.0334, deep.moments(0.5, 0.0)[1])
    free = unit_plate(Edges.open_top(Edge.HINGED, Edge.HINGED))
    yield Row(book, "three hinged edges and a free one", 0.01286, free.deflection(0.5, 1.0))
    navier = unit_plate(Edges.all(Edge.HINGED)).deflection(0.5, 0.5)
    yield Row("Navier's series", "hinged square", 0.0040624, navier)


def liquids() -> Iterator[Row]:
    """Liquids at rest."""
    page = "exercises on a public page"
    gate = plane_force_micronewton(1e-3, 4.5e6, 3500.0, G) / 1e9
    yield Row(page, "gate 1.5 × 3 m, push", 154.51, gate, "kN")
    center = pressure_center(3500.0, 4.5e6, 1500.0 * 3000.0**3 / 12) / 1e3
    yield Row(page, "the same, where it acts", 3.714, center, "m")
    area = math.pi * 600.0**2
    yield Row(page, "round gate", 27.73, plane_force_micronewton(1e-3, area, 2500.0, G) / 1e9, "kN")
    hand = "derived by hand"
    yield Row(hand, "box wall", 16.245, wall_force_micronewton(1.15e-3, 200, 120, G) / 1e6, "N")
    lift = lift_micronewton(1.15e-3, 60e3, 24.0, G) / 1e6
    yield Row(hand, "light part under rubber", 0.4415, lift, "N")
    sealed = sealed_lift_micronewton(1.15e-3, math.pi * 12e3, 0.0, math.pi * 400, 60.0, G) / 1e6
    yield Row(hand, "sealed cylinder", -0.4253, sealed, "N")


def flow() -> Iterator[Row]:
    """Gates and vents."""
    hand = "derived by hand"
    bare = flow_under(RESIN * G * 100.0, pipe_resistance(0.1, 50.0, 4.0)) / 1e3
    yield Row(hand, "sprue, friction alone", 21.70, bare, "mL/s")
    ends = pipe_resistance(0.1, 50.0 + end_length(4.0), 4.0)
    real = flow_under(RESIN * G * 100.0, ends, kinetic_term(RESIN, 4.0)) / 1e3
    yield Row(hand, "the same with ends and jet", 17.40, real, "mL/s")
    below = bottom_fill_time(100.0, 60.0, 1.0, RESIN, 100.0)
    penalty = below / open_fill_time(6000.0, 1.0, RESIN, 100.0)
    yield Row(hand, "penalty of filling from below", 1.5272, penalty)
    narrow = pipe_resistance(0.1, 50.0, 3.0)
    head = leveling_head(100.0, 20.0, 2000.0, 3000.0, narrow, RESIN, G)
    yield Row(hand, "two vessels after 20 s", 31.849, head, "mm")
    funnel = funnel_empty_time(30.0, 40.0, 10.0, 30.0, pipe_resistance(0.5, 30.0, 3.0), RESIN, G)
    yield Row(hand, "funnel over a sprue", 16.184, funnel, "s")
    cone = thin_funnel_empty_time(30.0, 304.8, 6.35, G) / 60.0
    yield Row("text-book problem 4.55", "cone over a hole", 2.55, cone, "min")
    vent = air_back_pressure(5000.0, 20.0, 0.5)
    yield Row(hand, "air out of a vent", 74.18 + 48.8, vent, "Pa")
    rise = capillary_rise(0.07282, 0.0, 1.0, 0.998207e-3, G)
    yield Row("text books (from memory)", "Jurin, water, 2 mm", 14.9, rise, "mm")
    speed = bubble_rise(0.5, RESIN, 0.1, gravity_mm_s2=G)
    yield Row("Stokes", "bubble with a stiff skin", 6.00, speed, "mm/s")


def thickening() -> Iterator[Row]:
    """What thickens."""
    rule = "ten-degree rule, by hand"
    yield Row(rule, "20 to 30 °C", 51.22, activation_energy(2.0, 20.0, 30.0) / 1e3, "kJ/mol")
    gel = "Flory and Stockmayer (from memory)"
    yield Row(gel, "triol and diisocyanate", 0.7071, gel_conversion(3, 2))
    castro = "Castro and Macosko 1982"
    yield Row(castro, "set A, 25 °C", 1.773, arrhenius(10.3e-8, -41300.0, 25.0), "Pa·s")
    hand = "the 72.73 mL pour, by hand"
    capacity = sprue_capacity(2.0, 50.0, 100.0, RESIN, G)
    doubling, gelling = time_constant(180.0, 2.0), time_constant(180.0, 500.0)
    time = pour_time(72730.0, capacity, 0.1, doubling)
    yield Row(hand, "r = 2 mm, viscosity doubles", 60.1, time, "s")
    passed = capacity / 0.1 * effective_time(gelling, 0.0, 180.0) / 1e3
    yield Row(hand, "r = 2 mm, gels: what passes", 39.2, passed, "mL")
    radius = least_radius(72730.0, 50.0, 100.0, RESIN, 0.1, effective_time(gelling, 90, 180), G)
    yield Row(hand, "gels, start at 90 s: radius", 5.132, radius, "mm")


def curing() -> Iterator[Row]:
    """Reaction and heat."""
    kamal = "Kamal and Sourour 1973, closed form"
    yield Row(kamal, "conversion after 300 s", 0.703605, kamal_conversion(300.0, 1e-3, 1e-2))

    def rate(a: float, celsius: float) -> float:
        return arrhenius(2e6, 50e3, celsius) * (1.0 - a) ** 2

    hot = adiabatic_time(rate, 25.0, adiabatic_rise(200.0, 1.8), 0.65)
    yield Row("second order, kept heat (quadrature)", "to 65 %", 64.257, hot, "s")
    frank = "Frank-Kamenetskii, as printed"
    for shape, printed in ((Shape.SLAB, 0.88), (Shape.CYLINDER, 2.0), (Shape.SPHERE, 3.32)):
        yield Row(frank, shape.value, printed, CRITICAL[shape])
    yield Row("often quoted (from memory)", "cube", 2.52, CRITICAL[Shape.CUBE])


def weighing() -> Iterator[Row]:
    """Ratios, films, bubbles, rubber."""
    hand = "derived by hand"
    mixed = 1e3 * mixed_density(100.0, 114.2857, 1.05e-3, 1.20e-3)
    yield Row(hand, "1:1 by volume, density", 1.125, mixed, "g/cm³")
    share = 100.0 * volume_ratio(100.0, 10.0, 1.12e-3, 0.98e-3)
    yield Row(hand, "100:10 by weight, by volume", 11.429, share)
    phr = stoichiometric_phr(146.23 / 6.0, 190.0)
    yield Row("published, rounded", "TETA in DGEBA", 13.0, phr, "phr")
    film = cup_film(1.0, 1.1e-3, 80.0, 30.0, G)
    yield Row("Jeffreys 1930 (from memory)", "film in a cup", 0.3314, film, "mm")
    growth = degassing_growth(0.1, gas_expansion(29.0))
    yield Row("Boyle, by hand", "10 % air at 29 inHg", 4.15, growth)
    gent = modulus_from_shore_a(30.0)
    yield Row("Gent 1958 (from memory)", "Shore A 30", 1.142, gent, "MPa")
    yield Row(hand, "ring over a ball", 64.5, ring_force(1.0, 1.6, 8.0, 20.0), "N")


def reckoned() -> str:
    """The table in Markdown."""
    lines = ["| source | case | known | moldgen | deviation |", "|---|---|---|---|---|"]
    for source, group in groupby(rows(), key=lambda r: r.source):
        for k, row in enumerate(group):
            known, ours = f"{row.known:.5g} {row.unit}", f"{row.ours:.5g} {row.unit}"
            name = source if k == 0 else ""
            cells = (name, row.case, known.strip(), ours.strip(), row.deviation)
            lines.append("| " + " | ".join(cells) + " |")
    return "\n".join(lines)


def page_with(table: str, page: str) -> str:
    """The page with its table replaced."""
    head, rest = page.split(START)
    return f"{head}{START}\n\n{table}\n\n{END}{rest.split(END)[1]}"


if __name__ == "__main__":
    PAGE.write_text(page_with(reckoned(), PAGE.read_text("utf-8")), encoding="utf-8")
