"""The weight list as the calculation takes it: checked, reconciled with a weighing, foam once."""

from collections.abc import Sequence
from dataclasses import dataclass

from flotation.boat import Boat, FoamInPlace, Propulsion, Role
from flotation.errors import Fault, InputError
from flotation.swamped.assessment import Finding, Section
from flotation.swamped.burdens import Listed, number_weights
from flotation.swamped.weighing import reconcile
from flotation.swamped.weights import take_foam_off

_SPREAD = (
    "The spread of the margins is that of the weights; cavity volumes and foam densities are taken "
    "as they stand."
)
_SPREAD_WITH_VOLUMES = (
    "The spread of the margins is that of the weights, and in the general method that of the "
    "volumes found between parts too; other volumes and foam densities are taken as they stand."
)


@dataclass(frozen=True)
class WeightList:
    """Numbered entries, and what was done to the list of the boat file to come to them."""

    listed: tuple[Listed, ...]
    sections: tuple[Section, ...]
    findings: tuple[Finding, ...]
    assumptions: tuple[str, ...]


def settle_weights(boat: Boat, foam: Sequence[FoamInPlace]) -> WeightList:
    """The weight list after the weighing, without the foam that counts in its own lift.

    Raises InputError, with everything that is wrong, for a list without structure, without the
    motor that drives the boat or with one that a manual boat has not, or for a weighing of
    nothing; and for a hull that is said to have
    the foam in its weight and weighs less than the foam.
    """
    _check(boat)
    weights = boat.weights
    given_by: dict[str, str] = {}
    sections: list[Section] = []
    findings: list[Finding] = []
    assumptions: list[str] = []
    if boat.weighing is not None:
        reconciled = reconcile(weights, boat.weighing, boat.length)
        weights = reconciled.settled.weights
        given_by |= reconciled.settled.given_by
        sections.append(reconciled.settled.section)
        findings.append(reconciled.finding)
        assumptions += reconciled.settled.assumptions
    settled = take_foam_off(boat, weights, foam)
    if settled is not None:
        weights = settled.weights
        given_by |= settled.given_by
        sections.append(settled.section)
        assumptions += settled.assumptions
    bare = [weight.item for weight in weights if weight.tolerance is None]
    found = any(cavity.found is not None for cavity in boat.cavities)
    if len(bare) == len(weights):
        carried = "only that of volumes found between parts" if found else "no spread"
        assumptions.append(f"No tolerance is stated for any weight: the margins carry {carried}.")
    else:
        assumptions.append(_SPREAD_WITH_VOLUMES if found else _SPREAD)
    if 0 < len(bare) < len(weights):
        assumptions.append(f"Taken as exact, for want of a stated tolerance: {', '.join(bare)}.")
    listed = number_weights(weights, given_by)
    return WeightList(listed, tuple(sections), tuple(findings), tuple(assumptions))


def _check(boat: Boat) -> None:
    place = f"{boat.name} [weights]"
    roles = {weight.role for weight in boat.weights}
    faults = []
    if Role.STRUCTURE not in roles:
        problem = "the weight list has no structure"
        faults.append(Fault(place, problem, 'Add the hull, with role = "structure".'))
    if boat.propulsion is not Propulsion.MANUAL and Role.MOTOR not in roles:
        problem = f"the boat is driven by a motor ({boat.propulsion}) that the weight list lacks"
        remedy = 'Add the heaviest motor that it is rated for, with role = "motor".'
        faults.append(Fault(place, problem, remedy))
    if boat.propulsion is Propulsion.MANUAL and Role.MOTOR in roles:
        problem = "the boat is manual and the weight list has a motor"
        remedy = "Take the motor off the list, or state how the boat is driven and its rated power."
        faults.append(Fault(place, problem, remedy))
    if boat.weighing is not None and not roles & boat.weighing.roles:
        problem = "nothing of the weight list was aboard when the boat was weighed"
        faults.append(Fault(f"{boat.name} [weighing]", problem, "Name the roles that were aboard."))
    if faults:
        raise InputError(faults)
