"""What happens in the cup: thickening, cure, heat, ratios, and rubber pulled off a part."""

from __future__ import annotations

from collections.abc import Iterator

from known.row import RESIN, G, Kind, Row, test_file
from moldgen.physics.cure import kamal_conversion, kamal_peak_time, second_order_time
from moldgen.physics.cure_heat import CRITICAL, Shape, adiabatic_rise, adiabatic_time, warmest
from moldgen.physics.mixing import (
    bubble_shrink,
    cup_film,
    degassing_growth,
    gas_expansion,
    mixed_density,
    shrink_scale,
    stoichiometric_phr,
    volume_ratio,
)
from moldgen.physics.setting_pour import least_radius, pour_time, sprue_capacity
from moldgen.physics.stretch import modulus_from_shore_a, ring_force
from moldgen.physics.thickening import (
    activation_energy,
    arrhenius,
    effective_time,
    gel_conversion,
    time_constant,
)

BY_HAND = "derived by hand"
POUR = "the 72.73 mL pour, by hand"


def rows() -> Iterator[Row]:
    """Every figure about mixes and rubber."""
    yield from viscosities()
    yield from pours()
    yield from rates()
    yield from runaway()
    yield from weighing()
    yield from rubber()


def viscosities() -> Iterator[Row]:
    """Castro and Macosko's sets as a research code reckons them, gel points, the shop rule."""
    sets = test_file("castro_macosko")
    code = "Castro and Macosko's sets, as a research code reckons them"
    for name, row, celsius, conversion, known in (
        ("A", sets.SET_A, 25.0, 0.0, 1.773),
        ("A", sets.SET_A, 25.0, 0.3, 5.403),
        ("A", sets.SET_A, 60.0, 0.3, 0.938),
        ("B", sets.SET_B, 25.0, 0.0, 0.2104),
        ("B", sets.SET_B, 25.0, 0.5, 3.014),
        ("C", sets.SET_C, 25.0, 0.0, 1.090),
    ):
        ours = sets.viscosity(row, celsius, conversion)
        case = f"set {name}, {celsius:g} °C, conversion {conversion:g}"
        yield Row(code, Kind.INDEPENDENT, case, known, ours, "Pa·s")
    gel = "Flory and Stockmayer (from memory)"
    yield Row(gel, Kind.PRINTED, "triol and diisocyanate", 0.7071, gel_conversion(3, 2))
    yield Row(gel, Kind.PRINTED, "diepoxide and diamine", 0.5774, gel_conversion(2, 4))
    for low, high, known in ((20.0, 30.0, 51.22), (25.0, 35.0, 52.95)):
        energy = activation_energy(2.0, low, high) / 1e3
        case = f"ten degrees halve it, {low:g} to {high:g} °C"
        yield Row(BY_HAND, Kind.HAND, case, known, energy, "kJ/mol")


def pours() -> Iterator[Row]:
    """What passes a sprue before it sets."""
    capacity = sprue_capacity(2.0, 50.0, 100.0, RESIN, G)
    doubling, gelling = time_constant(180.0, 2.0), time_constant(180.0, 500.0)
    radius = least_radius(72730.0, 50.0, 100.0, RESIN, 0.1, effective_time(gelling, 90, 180), G)
    passed = capacity / 0.1 * effective_time(gelling, 0.0, 180.0) / 1e3
    counts = [effective_time(time_constant(1.0, g), 0.0, 1.0) for g in (2.0, 500.0)]
    for case, known, ours, unit in (
        ("share of a pot life that counts, doubles", 0.72135, counts[0], ""),
        ("the same, gels", 0.16059, counts[1], ""),
        ("r = 2 mm, doubles", 60.1, pour_time(72730.0, capacity, 0.1, doubling), "s"),
        ("r = 2 mm, gels: what passes", 39.2, passed, "mL"),
        ("gels, start at 90 s: radius", 5.132, radius, "mm"),
    ):
        yield Row(POUR, Kind.HAND, case, known, ours, unit)


def rates() -> Iterator[Row]:
    """Cure rates, and masses that keep their heat."""
    kamal = "Kamal and Sourour 1973, closed form"
    conversion = kamal_conversion(300.0, 1e-3, 1e-2)
    yield Row(kamal, Kind.HAND, "conversion after 300 s", 0.703605, conversion)
    yield Row(kamal, Kind.HAND, "peak of the rate", 209.326, kamal_peak_time(1e-3, 1e-2), "s")
    tests = test_file("kamal")
    codes = "toughened epoxy at 180 °C, as public codes reckon it"
    for a, known in ((0.1, 3.80446e-4), (0.5, 2.81877e-4)):
        ours = tests.toughened_epoxy(a)
        yield Row(codes, Kind.INDEPENDENT, f"rate at conversion {a:g}", known, ours, "1/s")

    def second(a: float, celsius: float) -> float:
        return arrhenius(2e6, 50e3, celsius) * (1.0 - a) ** 2

    quadrature = "quadrature and closed forms of another program"
    hot = adiabatic_time(second, 25.0, adiabatic_rise(200.0, 1.8), 0.65)
    yield Row(quadrature, Kind.INDEPENDENT, "second order, kept heat, to 65 %", 64.257, hot, "s")
    cool = second_order_time(0.65, second(0.0, 25.0))
    yield Row(quadrature, Kind.INDEPENDENT, "the same, kept cool", 533.87, cool, "s")
    rise = adiabatic_rise(tests.HEAT * tests.OH / (tests.RHO * 1e3), tests.CP / 1e3)
    yield Row(quadrature, Kind.INDEPENDENT, "urethane, warming", 121.49, rise, "K")
    k = arrhenius(tests.A, tests.E, 25.0)
    slow = second_order_time(0.65, k * tests.OH, tests.NCO / tests.OH)
    yield Row(quadrature, Kind.INDEPENDENT, "urethane, kept cool, to 65 %", 2826.5, slow, "s")


def runaway() -> Iterator[Row]:
    """Critical numbers and steady heat."""
    frank = "Frank-Kamenetskii"
    for shape, printed in ((Shape.SLAB, 0.88), (Shape.CYLINDER, 2.0), (Shape.SPHERE, 3.32)):
        yield Row(frank, Kind.PRINTED, shape.value, printed, CRITICAL[shape])
    cube = CRITICAL[Shape.CUBE]
    yield Row("often quoted (from memory)", Kind.PRINTED, "cube", 2.52, cube)
    carslaw = "Carslaw and Jaeger (from memory)"
    for shape, known in ((Shape.SLAB, 25.0), (Shape.CYLINDER, 12.5), (Shape.SPHERE, 25 / 3)):
        ours = warmest(shape, 1e-4, 10.0, 0.2e-3)
        yield Row(carslaw, Kind.HAND, f"steady heat, {shape.value}", known, ours, "K")


def weighing() -> Iterator[Row]:
    """Ratios, films, bubbles."""
    phr = stoichiometric_phr(146.23 / 6.0, 190.0)
    yield Row("published, rounded", Kind.PRINTED, "TETA in DGEBA", 13.0, phr, "phr")
    mixed = 1e3 * mixed_density(100.0, 114.2857, 1.05e-3, 1.20e-3)
    share = 100.0 * volume_ratio(100.0, 10.0, 1.12e-3, 0.98e-3)
    film = cup_film(1.0, 1.1e-3, 80.0, 30.0, G)
    for case, known, ours, unit in (
        ("1:1 by volume, density", 1.125, mixed, "g/cm³"),
        ("100:10 by weight, by volume", 11.429, share, ""),
        ("film in a cup, after Jeffreys 1930", 0.3314, film, "mm"),
        ("10 % air at 29 inHg, Boyle", 4.15, degassing_growth(0.1, gas_expansion(29.0)), ""),
        ("bubble at 3 bar, Boyle", 0.632, bubble_shrink(3e5), ""),
        ("scale for .5 and .3 % of shrinkage", 1.00805, shrink_scale(0.005, 0.003), ""),
    ):
        yield Row(BY_HAND, Kind.HAND, case, known, ours, unit)


def rubber() -> Iterator[Row]:
    """Stiffness and pull."""
    gent = "Gent 1958 (formula from memory)"
    for shore, known in ((10, 0.413), (20, 0.732), (30, 1.142), (40, 1.690), (60, 3.605)):
        ours = modulus_from_shore_a(shore)
        yield Row(gent, Kind.HAND, f"Shore A {shore}", known, ours, "MPa")
    yield Row(BY_HAND, Kind.HAND, "ring over a ball", 64.5, ring_force(1.0, 1.6, 8.0, 20.0), "N")
