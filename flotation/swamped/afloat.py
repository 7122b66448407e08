"""Questions about the swamped boat in the water, each from the boat and the foam in it.

`assess` asks the ones that the regulation asks. These are the others: what lies beyond it, how
hard the boat turns back, and a sheet for a test in real water with the way back from what was
measured there.
"""

from collections.abc import Mapping, Sequence

from flotation.boat import Boat, FoamInPlace
from flotation.errors import Fault, InputError
from flotation.rulebook import Material, materials
from flotation.swamped.books import load_books
from flotation.swamped.general_method import general_method
from flotation.swamped.scope import find_scope
from flotation.swamped.trials.beyond import Beyond, beyond
from flotation.swamped.trials.cases import Case, cases
from flotation.swamped.trials.condition import lacking
from flotation.swamped.trials.curves import ArmCurve, arm_curves
from flotation.swamped.trials.in_the_water import Worked, basin_of
from flotation.swamped.trials.level_tests import Basin
from flotation.swamped.trials.swamp_test import Reconciled, SwampTest, reconcile, swamp_test
from flotation.swamped.weight_list import settle_weights

_WEIGHTS = "steel"


def beyond_the_regulation(boat: Boat, foam: Sequence[FoamInPlace]) -> Beyond | None:
    """The tests with one thing changed at a time, what they bear, and the intact boat.

    None where the boat file lacks what the tests need, and for basic flotation. Errors as for
    `assess`; NotSettled where a rest is not found within its tolerance.
    """
    return beyond(_worked(boat, foam))


def righting_curves(boat: Boat, foam: Sequence[FoamInPlace]) -> tuple[ArmCurve, ...]:
    """Righting arms with all persons and with none; none where the boat file lacks something."""
    worked = _worked(boat, foam)
    basin = basin_of(worked)
    if basin is None:
        return ()
    return arm_curves(basin, cases(worked.scope.flotation, worked.books.law))


def swamp_test_sheets(
    boat: Boat, foam: Sequence[FoamInPlace], weights: Material | None = None
) -> tuple[SwampTest, ...]:
    """A sheet for each test of level or modified level flotation in real water.

    weights  what the weights are made of; None: steel
    Raises InputError for a boat file that lacks what the tests need, for a boat that by
    calculation sinks or turns over, and for weights that do not sink.
    """
    basin, tests = _ready(boat, foam)
    made_of = materials()[_WEIGHTS] if weights is None else weights
    return tuple(swamp_test(basin, case, made_of) for case in tests)


def reconcile_swamp_test(
    boat: Boat, foam: Sequence[FoamInPlace], test: str, measured: Mapping[str, float]
) -> Reconciled:
    """What depths measured in real water say of the model.

    test      name of the sheet: "183.230, port"
    measured  depth at each of its marks, m, positive under water
    Raises InputError for a test or a mark that there is not, or too few marks.
    """
    basin, tests = _ready(boat, foam)
    named = {case.name: case for case in tests}
    if test not in named:
        remedy = f"Name one of: {'; '.join(named)}."
        raise InputError(Fault(boat.name, f'"{test}" is no test of this boat', remedy))
    return reconcile(basin, named[test], measured)


def _worked(boat: Boat, foam: Sequence[FoamInPlace]) -> Worked:
    books = load_books()
    scope = find_scope(boat, books.law)
    listed = settle_weights(boat, foam).listed
    general = general_method(boat, listed, foam, scope, books)
    return Worked(boat, tuple(foam), listed, general, scope, books)


def _ready(boat: Boat, foam: Sequence[FoamInPlace]) -> tuple[Basin, tuple[Case, ...]]:
    """The boat ready for its tests; InputError for a boat file that lacks what they need."""
    worked = _worked(boat, foam)
    basin = basin_of(worked)
    if basin is None:
        problem = f"the tests in the water need what is not stated: {'; '.join(lacking(boat))}"
        raise InputError(Fault(boat.name, problem, "State it in the boat file."))
    return basin, cases(worked.scope.flotation, worked.books.law)
