"""One foam system on one day: minimum-fill density, A and B, expansion, pressure, heat.

Three densities are three numbers. Free rise is what a cup test measures. Minimum fill is what
just fills a cavity, with skin and flow losses. In place is what stands there after overpack.
The sheet states the first two; their quotient carries the day's cup test over to the cavity.
"""

from dataclasses import dataclass

from flotation.foamsystem import Basis, CupTest, Foam, Shop
from flotation.pour.figures import figure
from flotation.pour.pourplan import CupUsed
from flotation.workings import COMPUTED, Line, Mark, Source, Term, work_out

PACKING = Source(
    "polyurethane moulding patent (web reprint)",
    "definitions of minimum fill weight, moulded density and overpack",
    mark=Mark.READ,
)
BALANCE = Source("mass balance", mark=Mark.COMPUTED)
_WATER = Source("boat file", "water", mark=Mark.STATED)
IDEAL_GAS = Source("ideal gas at one temperature, vents gelled shut", mark=Mark.COMPUTED)


@dataclass(frozen=True)
class FoamToday:
    """A foam system with the density that the day's cup test gave it.

    cup           the cup-test density that everything is reckoned from
    minimum_fill  kg/m3 that just fills a cavity today
    share_a       share of A in the mixed mass
    """

    foam: Foam
    cup: CupUsed
    minimum_fill: Line
    share_a: Line


def stated(foam: Foam, entry: str) -> Source:
    """The source of a number that the foam table of the boat file states."""
    return Source(foam.entry, entry, mark=Mark.STATED)


def foam_today(foam: Foam, shop: Shop) -> FoamToday:
    """The foam system with the day's cup test, or with the sheet's density if none was made.

    The last cup test that the shop lists for this foam counts.
    """
    cups = [cup for cup in shop.cup_tests if cup.foam == foam.name]
    cup = cups[-1] if cups else CupTest(foam.name, foam.free_rise_density, "")
    used = CupUsed(
        foam.name, cup.density, cup.date if cups else None, foam.free_rise_low, foam.free_rise_high
    )
    return foam_with_cup(foam, used)


def foam_with_cup(foam: Foam, cup: CupUsed) -> FoamToday:
    """The foam system reckoned from a cup-test density.

    Minimum fill today = cup * (minimum fill / free rise of the sheet): the sheet's packing holds,
    the day's density moves.
    """
    if cup.date is None:
        source = stated(foam, "free_rise_density")
    else:
        source = Source("cup test", foam.name, cup.date, Mark.MEASURED)
    minimum_fill = work_out(
        f"{foam.name}: minimum-fill density today",
        "cup * minimum_fill / free_rise",
        [
            Term("cup", cup.density, "kg/m3", source),
            Term(
                "minimum_fill",
                foam.minimum_fill_density,
                "kg/m3",
                stated(foam, "minimum_fill_density"),
            ),
            Term("free_rise", foam.free_rise_density, "kg/m3", stated(foam, "free_rise_density")),
        ],
        unit="kg/m3",
        source=PACKING,
        note="" if cup.date is not None else "No cup test: the sheet's density stands in.",
    )
    return FoamToday(foam, cup, minimum_fill, share_of_a(foam))


def share_of_a(foam: Foam) -> Line:
    """Share of A in the mixed mass, from the ratio and its basis."""
    a = Term("a", foam.mix.a, "1", stated(foam, f"mix, by {foam.mix.basis}"))
    b = Term("b", foam.mix.b, "1", stated(foam, f"mix, by {foam.mix.basis}"))
    label = f"{foam.name}: share of A in the mixed mass"
    if foam.mix.basis is Basis.MASS:
        return work_out(label, "a / (a + b)", [a, b], unit="1", source=BALANCE)
    return work_out(
        label,
        "a * density_a / (a * density_a + b * density_b)",
        [a, b, *_liquids(foam)],
        unit="1",
        source=BALANCE,
    )


def ratio_in_other_basis(foam: Foam) -> Line:
    """A to B in the basis that the sheet does not state: one of the two is used, never both."""
    ratio = [
        Term("a", foam.mix.a, "1", stated(foam, f"mix, by {foam.mix.basis}")),
        Term("b", foam.mix.b, "1", stated(foam, f"mix, by {foam.mix.basis}")),
    ]
    by_mass = foam.mix.basis is Basis.MASS
    return work_out(
        f"{foam.name}: A to B by {'volume' if by_mass else 'mass'}",
        "(a / density_a) / (b / density_b)" if by_mass else "(a * density_a) / (b * density_b)",
        [*ratio, *_liquids(foam)],
        unit="1",
        source=BALANCE,
        note=f"The sheet's ratio is by {foam.mix.basis}; a cup mark by the other basis is wrong.",
    )


def expansion(today: FoamToday) -> tuple[Line, ...]:
    """Foam volume to liquid volume by mass balance: most (light cup) and least (packed).

    A stated expansion ratio adds a third line, the density that it would mean. It is compared
    and never used.
    """
    foam = today.foam
    liquid = work_out(
        f"{foam.name}: density of the mixed liquid",
        "1 / (share_a / density_a + (1 - share_a) / density_b)",
        [today.share_a.term("share_a"), *_liquids(foam)],
        unit="kg/m3",
        source=BALANCE,
    )
    most = work_out(
        f"{foam.name}: most expansion, lightest cup that the sheet allows",
        "liquid / free_rise_low",
        [
            liquid.term("liquid"),
            Term("free_rise_low", foam.free_rise_low, "kg/m3", stated(foam, "cup_limits")),
        ],
        unit="1",
        source=BALANCE,
    )
    least = work_out(
        f"{foam.name}: least expansion, overpacked in place",
        "liquid / (minimum_fill * overpack)",
        [
            liquid.term("liquid"),
            Term(
                "minimum_fill",
                foam.minimum_fill_density,
                "kg/m3",
                stated(foam, "minimum_fill_density"),
            ),
            Term("overpack", foam.overpack, "1", stated(foam, "overpack")),
        ],
        unit="1",
        source=BALANCE,
    )
    if foam.expansion_ratio is None:
        return liquid, most, least
    meant = work_out(
        f"{foam.name}: density that the stated expansion would mean",
        "liquid / expansion",
        [
            liquid.term("liquid"),
            Term("expansion", foam.expansion_ratio, "1", stated(foam, "expansion_ratio")),
        ],
        unit="kg/m3",
        source=BALANCE,
        note="Compared only; quantities follow the densities.",
    )
    return liquid, most, least, meant


def packing_pressure(label: str, minimum_fill: Term, packing: Term) -> Line:
    """Gauge pressure, Pa, of foam packed to `packing` times its minimum-fill mass.

    minimum_fill  kg/m3; packing  injected mass over minimum-fill mass
    An estimate and no bound: gas made after gel and heating add to it, foam that carries stress
    takes from it.
    """
    return work_out(
        label,
        "atmospheric_pressure * ((1 / minimum_fill - 1 / polymer_density)"
        " / (1 / (minimum_fill * packing) - 1 / polymer_density) - 1)",
        [
            figure("atmospheric_pressure"),
            Term("minimum_fill", minimum_fill.value, "kg/m3", minimum_fill.source, minimum_fill.of),
            Term("packing", packing.value, "1", packing.source, packing.of),
            figure("polymer_density"),
        ],
        unit="Pa",
        source=IDEAL_GAS,
        note="Estimate, no bound.",
    )


def closing_pressure(today: FoamToday) -> Line:
    """Gauge pressure of a closing lift that is poured as planned, Pa."""
    overpack = Term("overpack", today.foam.overpack, "1", stated(today.foam, "overpack"))
    return packing_pressure(
        f"{today.foam.name}: pressure of the closing lift",
        today.minimum_fill.term("minimum_fill"),
        overpack,
    )


def heating_pressure() -> Line:
    """What heating after gel adds to the pressure of a closed cavity, Pa."""
    return work_out(
        "Pressure that heating after gel adds, vents shut",
        "atmospheric_pressure * (peak_temperature / gel_temperature - 1)",
        [figure("atmospheric_pressure"), figure("peak_temperature"), figure("gel_temperature")],
        unit="Pa",
        source=IDEAL_GAS,
        note="Estimate, no bound.",
    )


def half_heat_time(label: str, width: Term, density: Term) -> Line:
    """Time until a slab of foam has lost half of its centre's heat to both faces, s.

    width  m, least thickness; density  kg/m3 in place
    Laminate and still air make it longer; heat lost through the other faces makes it shorter.
    """
    return work_out(
        label,
        "half_fourier * (width / 2) ** 2 * density * heat_capacity / conductivity",
        [
            figure("half_fourier"),
            Term("width", width.value, "m", width.source, width.of),
            Term("density", density.value, "kg/m3", density.source, density.of),
            figure("heat_capacity"),
            figure("conductivity"),
        ],
        unit="s",
        source=Source("conduction in a slab, both faces at ambient", mark=Mark.COMPUTED),
    )


def water_taken_up(label: str, foam: Foam, density: Term, water: float) -> Line:
    """Water that the foam takes up, kg/m3, from the sheet's share and its basis.

    density  kg/m3 in place; water  kg/m3 of the water that the boat floats in
    """
    share = Term(
        "uptake", foam.uptake.share, "1", stated(foam, f"water_uptake, by {foam.uptake.basis}")
    )
    if foam.uptake.basis is Basis.VOLUME:
        terms = [share, Term("water", water, "kg/m3", _WATER)]
        return work_out(label, "uptake * water", terms, unit="kg/m3", source=COMPUTED)
    terms = [share, Term("density", density.value, "kg/m3", density.source, density.of)]
    return work_out(label, "uptake * density", terms, unit="kg/m3", source=COMPUTED)


def _liquids(foam: Foam) -> list[Term]:
    return [
        Term("density_a", foam.density_a, "kg/m3", stated(foam, "density_a")),
        Term("density_b", foam.density_b, "kg/m3", stated(foam, "density_b")),
    ]
