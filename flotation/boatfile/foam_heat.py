"""[foam.heat]: what the data sheet, the recipe or a measured core says of a foam's heat."""

from flotation.boatfile.findings import nearest
from flotation.boatfile.place import Place
from flotation.boatfile.schema_effects import CoreTable, HeatTable, RecipeTable
from flotation.foamsystem import FoamHeat, MeasuredCore, Recipe
from flotation.foamsystem_agents import agents

_TAKEN_BY_WATER = 4.665
"""kg of isocyanate groups for each kg of water: two of 42.017 g for 18.015 g."""


def foam_heat(place: Place, raw: object, share_a: float) -> FoamHeat:
    """What is known of a foam's heat; nothing after faults that leave none of it.

    place    of the foam; raw  its heat, None where it is not stated
    share_a  of A in the mixed mass
    """
    own = place.inside("heat")
    read = None if raw is None else own.check(HeatTable, raw)
    if read is None:
        return FoamHeat()
    rise = read.adiabatic_rise
    if rise is not None and rise.low > rise.high:
        own.fault("adiabatic_rise", "the lower end is above the upper one", "Exchange the two.")
    if read.core_limit is not None and read.cool_to is not None and read.cool_to > read.core_limit:
        own.fault("cool_to", "it is above core_limit", "Look at the data sheet again.")
    if (read.core_limit, read.cool_to, rise, read.recipe, read.measured_core) == (None,) * 5:
        place.fault("heat", "nothing is stated in it", "Take it out, or state the sheet's figures.")
    return FoamHeat(
        adiabatic_low=None if rise is None else rise.low,
        adiabatic_high=None if rise is None else rise.high,
        recipe=None if read.recipe is None else _recipe(own.inside("recipe"), read.recipe, share_a),
        measured_core=None if read.measured_core is None else _core(own, read.measured_core),
        core_limit=read.core_limit,
        cool_to=read.cool_to,
    )


def _recipe(place: Place, read: RecipeTable, share_a: float) -> Recipe | None:
    if (read.agent is None) != (read.agent_share is None):
        stated, other = ("agent", "agent_share")
        if read.agent is None:
            stated, other = other, stated
        place.fault(stated, f"it is stated without {other}", f"State {other} too.")
    known = agents()
    if read.agent is not None and read.agent not in known:
        problem = f'"{read.agent}" is no blowing agent that is known here'
        place.fault("agent", problem, nearest(read.agent, list(known)))
    _check_water(place, read, share_a)
    agent = None if read.agent is None else known.get(read.agent)
    return Recipe(read.nco, read.index, read.water, agent, read.agent_share or 0.0)


def _check_water(place: Place, read: RecipeTable, share_a: float) -> None:
    """Each molecule of water takes two isocyanate groups: there must be as many."""
    if not 0.8 <= read.index <= 4.0:
        problem = f"an index of {read.index:g} is none of a rigid foam"
        place.fault("index", problem, "Write 1.10 for 10 % more isocyanate than it takes.")
        return
    if _TAKEN_BY_WATER * read.water >= share_a * read.nco / read.index:
        problem = "the water alone would take more isocyanate than there is"
        place.fault("water", problem, "Write the share of the whole mix, A and B together.")


def _core(place: Place, read: CoreTable) -> MeasuredCore:
    if read.temperature <= read.start + 20.0:
        problem = "the core is hardly warmer than the liquids were"
        place.inside("measured_core").fault("temperature", problem, "Look at both temperatures.")
    return MeasuredCore(read.temperature, read.start, read.thickness, read.date)
