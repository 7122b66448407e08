"""How much a foam warms if no heat leaves it: from a core, a sheet, a recipe or the literature."""

from dataclasses import dataclass

from flotation.foamsystem import Foam, Recipe
from flotation.pour.effects import HeatBasis
from flotation.pour.figures import figure
from flotation.pour.foam import stated
from flotation.workings import Line, Mark, Source, Term, work_out

HEAT_BALANCE = Source("heat balance of the reaction", mark=Mark.COMPUTED)
_MASS_BALANCE = Source("mass balance of the reaction", mark=Mark.COMPUTED)


@dataclass(frozen=True)
class Rise:
    """By how much the foam warms, K, at the low and at the high end; terms with their sources."""

    low: Term
    high: Term
    basis: HeatBasis
    lines: tuple[Line, ...]


def rise_of(foam: Foam, share_a: Term, core_share: float | None) -> Rise:
    """The adiabatic rise of a foam.

    share_a     of A in the mixed mass
    core_share  what share of the rise the core of the measured block reaches; None: none measured
    A measured core counts before the data sheet, that before the recipe; the range of the
    literature stands in where nothing is stated.
    """
    heat = foam.heat
    if heat.measured_core is not None and core_share is not None:
        return _from_core(foam, core_share)
    if heat.adiabatic_low is not None and heat.adiabatic_high is not None:
        source = stated(foam, "heat, adiabatic_rise")
        low, high = (
            Term("rise", value, "K difference", source)
            for value in (heat.adiabatic_low, heat.adiabatic_high)
        )
        return Rise(low, high, HeatBasis.SHEET, ())
    if heat.recipe is not None:
        return _from_recipe(foam, heat.recipe, share_a)
    low, high = (_named(figure(f"rise_{end}"), "rise") for end in ("low", "high"))
    return Rise(low, high, HeatBasis.LITERATURE, ())


def _from_core(foam: Foam, core_share: float) -> Rise:
    core = foam.heat.measured_core
    assert core is not None
    source = Source("measured core", foam.name, core.date, Mark.MEASURED)
    line = work_out(
        f"{foam.name}: adiabatic rise, from the measured core",
        "(core - start) / core_share",
        [
            Term("core", core.temperature, "K", source),
            Term("start", core.start, "K", source),
            Term("core_share", core_share, "1", _conduction(core.thickness)),
        ],
        unit="K difference",
        source=HEAT_BALANCE,
    )
    term = line.term("rise")
    return Rise(term, term, HeatBasis.MEASURED, (line,))


def _conduction(thickness: float) -> Source:
    return Source(
        "conduction through laminate and foam, finite volumes",
        f"block of {1000.0 * thickness:g} mm",
        mark=Mark.COMPUTED,
    )


def _from_recipe(foam: Foam, recipe: Recipe, share_a: Term) -> Rise:
    """Both ends, with the lowest and the highest published heats of the two reactions."""
    lines = list(_amounts(foam, recipe, share_a))
    urethane, water = lines[2], lines[1]
    ends = []
    for end in ("low", "high"):
        terms = [
            urethane.term("n_urethane"),
            _named(figure(f"heat_urethane_{end}"), "heat_urethane"),
            water.term("n_water"),
            _named(figure(f"heat_water_{end}"), "heat_water"),
            _named(figure("reacting_heat_capacity"), "heat_capacity"),
        ]
        boiled = ""
        if recipe.agent is not None:
            boiled = " - agent * latent_heat"
            terms += [
                Term("agent", recipe.agent_share, "1", stated(foam, "heat, recipe")),
                Term("latent_heat", recipe.agent.latent_heat, "J/kg", _latent(recipe.agent.name)),
            ]
        ends.append(
            work_out(
                f"{foam.name}: adiabatic rise of the recipe, {end} heats of reaction",
                f"(n_urethane * heat_urethane + n_water * heat_water{boiled}) / heat_capacity",
                terms,
                unit="K difference",
                source=HEAT_BALANCE,
                note="The heat of the water reaction is quoted over a range of more than two.",
            )
        )
    low, high = ends
    return Rise(low.term("rise"), high.term("rise"), HeatBasis.RECIPE, (*lines, low, high))


def _amounts(foam: Foam, recipe: Recipe, share_a: Term) -> tuple[Line, Line, Line, Line]:
    """Moles in a kilogram: isocyanate groups, water, urethane; and m3 of gas from the water."""
    source = stated(foam, "heat, recipe")
    nco = work_out(
        f"{foam.name}: isocyanate groups in a kilogram",
        "share_a * nco / molar_nco",
        [
            Term("share_a", share_a.value, "1", share_a.source, share_a.of),
            Term("nco", recipe.nco, "1", source),
            figure("molar_nco"),
        ],
        unit="mol/kg",
        source=_MASS_BALANCE,
    )
    water = work_out(
        f"{foam.name}: water in a kilogram",
        "water / molar_water",
        [Term("water", recipe.water, "1", source), figure("molar_water")],
        unit="mol/kg",
        source=_MASS_BALANCE,
    )
    urethane = work_out(
        f"{foam.name}: urethane made in a kilogram",
        "n_nco / index - 2 * n_water",
        [nco.term("n_nco"), Term("index", recipe.index, "1", source), water.term("n_water")],
        unit="mol/kg",
        source=_MASS_BALANCE,
        note="Each molecule of water takes two isocyanate groups and gives one of carbon dioxide.",
    )
    return nco, water, urethane, carbon_dioxide(foam.name, water.term("n_water"))


def carbon_dioxide(name: str, water: Term) -> Line:
    """Volume of the gas that water makes, m3 for each kilogram that `water`, mol/kg, refers to."""
    return work_out(
        f"{name}: carbon dioxide from the water at 25 °C, from a kilogram",
        "n_water * gas_constant * gas_temperature / atmospheric_pressure",
        [
            Term("n_water", water.value, "mol/kg", water.source, water.of),
            figure("gas_constant"),
            figure("gas_temperature"),
            figure("atmospheric_pressure"),
        ],
        unit="m3/kg",
        source=Source("ideal gas", mark=Mark.COMPUTED),
    )


def _latent(agent: str) -> Source:
    return Source(f"latent heat of {agent}", mark=Mark.RECALLED)


def _named(term: Term, symbol: str) -> Term:
    return Term(symbol, term.value, term.unit, term.source, term.of)
