"""Liquids at rest and on their way: gates, walls, sprues, vents, bubbles."""

from __future__ import annotations

import math
from collections.abc import Iterator

import fluids

from known.row import RESIN, G, Kind, Row, test_file
from moldgen.physics.filling import (
    bottom_fill_time,
    funnel_empty_time,
    leveling_head,
    open_fill_time,
    thin_funnel_empty_time,
)
from moldgen.physics.hydrostatics import (
    lift_micronewton,
    sealed_lift_micronewton,
    wall_force_micronewton,
)
from moldgen.physics.pipes import (
    end_length,
    flow_under,
    kinetic_term,
    pipe_resistance,
    reynolds,
    steep_cone_factor,
)
from moldgen.physics.vents import (
    AIR_DENSITY_G_MM3,
    AIR_VISCOSITY_PA_S,
    air_back_pressure,
    bubble_rise,
    capillary_pressure,
    capillary_rise,
    squeezed_share,
)

PAGE = "exercises on a public page"
LIBRARY = "the fluids library"
COOLPROP = "CoolProp, 20 °C"
BRENNER = "Happel and Brenner's flow field, by quadrature"
BY_HAND = "derived by hand"


def rows() -> Iterator[Row]:
    """Every figure about liquids."""
    yield from gates()
    yield from lifts()
    yield from flow()
    yield from library()
    yield from cones()
    yield from vents()


def gates() -> Iterator[Row]:
    """Push of water on flat gates."""
    page = test_file("hydrostatics_exercises")
    round_m2, sine = math.pi * 0.6**2, math.sin(math.radians(60.0))
    along = 1.5 / sine + 1.0
    round_m4 = math.pi * 1.2**4 / 64
    for case, known, ours, unit in (
        ("gate 1.5 × 3 m, push", 154.51, page.kilonewton(4.5, 3.5), "kN"),
        ("the same, where it acts", 3.714, page.center_m(3.5, 4.5, 1.5 * 3**3 / 12), "m"),
        ("square of 3 m, push", 827.72, page.kilonewton(9.0, 9.375), "kN"),
        ("the same, where it acts", 9.455, page.center_m(9.375, 9.0, 3**4 / 12), "m"),
        ("round gate, push", 27.73, page.kilonewton(round_m2, 2.5), "kN"),
        ("the same, where it acts", 2.536, page.center_m(2.5, round_m2, round_m4), "m"),
        ("leaning gate, push", 46.43, page.kilonewton(2.0, along * sine), "kN"),
        ("the same, where it acts", 2.854, page.center_m(along, 2.0, 2**3 / 12), "m"),
        ("gate 2 × 3 m, push", 147.15, page.kilonewton(6.0, 2.5), "kN"),
    ):
        yield Row(PAGE, Kind.PRINTED, case, known, ours, unit)


def lifts() -> Iterator[Row]:
    """Boxes and floating parts."""
    sealed = sealed_lift_micronewton(1.15e-3, math.pi * 12e3, 0.0, math.pi * 400, 60.0, G)
    block = -lift_micronewton(1e-3, 227e3 / 2.8e-3, 227e3, G)
    for case, known, ours in (
        ("box wall", 16.245, wall_force_micronewton(1.15e-3, 200, 120, G)),
        ("foam under water", 0.049, lift_micronewton(1e-3, 25e3, 20.0, 9800.0)),
        ("block under water", 1431.6, block),
        ("light part under rubber", 0.4415, lift_micronewton(1.15e-3, 60e3, 24.0, G)),
        ("sealed cylinder", -0.4253, sealed),
    ):
        yield Row(BY_HAND, Kind.HAND, case, known, ours / 1e6, "N")


def flow() -> Iterator[Row]:
    """Sprues and funnels."""
    bare = flow_under(RESIN * G * 100.0, pipe_resistance(0.1, 50.0, 4.0)) / 1e3
    ends = pipe_resistance(0.1, 50.0 + end_length(4.0), 4.0)
    real = flow_under(RESIN * G * 100.0, ends, kinetic_term(RESIN, 4.0)) / 1e3
    below = bottom_fill_time(100.0, 60.0, 1.0, RESIN, 100.0)
    penalty = below / open_fill_time(6000.0, 1.0, RESIN, 100.0)
    narrow = pipe_resistance(0.1, 50.0, 3.0)
    head = leveling_head(100.0, 20.0, 2000.0, 3000.0, narrow, RESIN, G)
    funnel = funnel_empty_time(30.0, 40.0, 10.0, 30.0, pipe_resistance(0.5, 30.0, 3.0), RESIN, G)
    for case, known, ours, unit in (
        ("sprue, friction alone", 21.70, bare, "mL/s"),
        ("the same with ends and jet", 17.40, real, "mL/s"),
        ("penalty of filling from below", 1.5272, penalty, ""),
        ("two vessels after 20 s", 31.849, head, "mm"),
        ("funnel over a sprue", 16.184, funnel, "s"),
    ):
        yield Row(BY_HAND, Kind.HAND, case, known, ours, unit)
    cone = thin_funnel_empty_time(30.0, 304.8, 6.35, G) / 60.0
    yield Row("text-book problem 4.55", Kind.PRINTED, "cone over a hole", 2.55, cone, "min")


def library() -> Iterator[Row]:
    """Pipe and ball against the library, one case each; the tests draw 200 and 20."""
    loss = fluids.one_phase_dP(m=1.1e-3, rho=1100.0, mu=0.1, D=4e-3, L=0.05)
    ours = pipe_resistance(0.1, 50.0, 2.0) * 1000.0
    yield Row(LIBRARY, Kind.INDEPENDENT, "loss of a pipe, 1 mL/s", loss, ours, "Pa")
    speed = 1e-6 / (math.pi * 0.002**2)
    number = fluids.Reynolds(V=speed, D=4e-3, rho=1100.0, mu=0.1)
    mine = reynolds(RESIN, 0.1, 1000.0, 2.0)
    yield Row(LIBRARY, Kind.INDEPENDENT, "Reynolds number there", number, mine)
    jet = fluids.dP_from_K(K=2.0 + fluids.entrance_sharp(), rho=1100.0, V=5e-6 / (math.pi * 16e-6))
    kinetic = kinetic_term(RESIN, 4.0, 0.57) * 5000.0**2
    yield Row(LIBRARY, Kind.INDEPENDENT, "jet of a mouth", jet, kinetic, "Pa")
    slow = fluids.v_terminal(D=20e-6, rhop=2600.0, rho=1000.0, mu=0.1, Method="Stokes") * 1e3
    ball = bubble_rise(0.01, 1.6e-3, 0.1)
    yield Row(LIBRARY, Kind.INDEPENDENT, "slow ball", slow, ball, "mm/s")


def cones() -> Iterator[Row]:
    """How much steeper cones than a slow taper resist."""
    for angle, factor in test_file("happel_brenner").KNOWN:
        ours = steep_cone_factor(angle)
        yield Row(BRENNER, Kind.INDEPENDENT, f"half angle {angle}°", factor, ours)


def vents() -> Iterator[Row]:
    """Air, bores and bubbles."""
    air = AIR_VISCOSITY_PA_S * 1e5
    yield Row(COOLPROP, Kind.INDEPENDENT, "viscosity of air, 1e-5", 1.8206, air, "Pa·s")
    density = AIR_DENSITY_G_MM3 * 1e6
    yield Row(COOLPROP, Kind.INDEPENDENT, "density of air", 1.2046, density, "kg/m³")
    rise = capillary_rise(0.07282, 0.0, 1.0, 0.998207e-3, G)
    yield Row("text books (from memory)", Kind.PRINTED, "Jurin, water, 2 mm", 14.9, rise, "mm")
    for case, known, ours, unit in (
        ("air out of a vent", 74.18 + 48.8, air_back_pressure(5000.0, 20.0, 0.5), "Pa"),
        ("barrier of a bore", 109.4, -capillary_pressure(0.040, 110.0, 0.25), "Pa"),
        ("pocket squeezed", 0.01054, squeezed_share(RESIN * G * 100.0), ""),
        ("bubble with a stiff skin", 6.00, bubble_rise(0.5, RESIN, 0.1, gravity_mm_s2=G), "mm/s"),
        ("clean bubble", 8.99, bubble_rise(0.5, RESIN, 0.1, True, G), "mm/s"),
    ):
        yield Row(BY_HAND, Kind.HAND, case, known, ours, unit)
