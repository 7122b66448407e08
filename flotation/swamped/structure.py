"""What the boat itself weighs under water: hull, fittings, permanent tanks."""

from collections.abc import Sequence
from dataclasses import dataclass

from flotation.boat import Method, Role, Weight
from flotation.rulebook import Material, RuleBook
from flotation.swamped.assessment import Section
from flotation.swamped.burdens import Burden, Listed, of_roles, spread_of, total, total_of
from flotation.swamped.factors import submergence_factor
from flotation.units import number
from flotation.workings import Line, Term, work_out

ROLES = frozenset({Role.STRUCTURE, Role.EQUIPMENT, Role.PERMANENT_TANK})


@dataclass(frozen=True)
class Structure:
    """The boat's own weight under water.

    total     kg
    burdens   its pieces
    section   how they were calculated
    """

    total: Line
    burdens: tuple[Burden, ...]
    section: Section
    assumptions: tuple[str, ...]


def structure(listed: Sequence[Listed], water: Term, method: Method, guide: RuleBook) -> Structure:
    """Flotation that the boat itself asks for, in kg of lift: Wh K + Wd.

    listed  the weight list, after a weighing and the foam's own mass were settled
    water   density, kg/m3, symbol "water"
    method  whether wood lifts, and which published factor counts

    Below the swamped waterline an entry counts with the factor of its material; above it, or
    without a material, in full. A permanent tank is counted full and lifts nothing.
    Source: boatbuilder's handbook, Fb = (Wh K + Wd) / B.
    """
    own = of_roles(listed, ROLES)
    wet = [entry for entry in own if entry.weight.below_water and entry.weight.material]
    lines: list[Line] = []
    burdens: list[Burden] = []
    sums: list[Term] = []
    for count, material in enumerate(_materials(wet), start=1):
        factor = submergence_factor(material, water, method, guide)
        group = [_under_water(e, factor, guide) for e in wet if e.weight.material == material]
        lines += [factor, *_joined(f"{material.name}, under water", f"g{count}", group, sums)]
        burdens += group
    full = [_in_full(entry, guide) for entry in own if entry not in wet]
    if full:
        lines += _joined("Counted in full", "in_full", full, sums)
        burdens += full
    whole = total("Boat, weight under water", sums, source=guide.clause("boat").source)
    section = Section("The boat itself", (*lines, whole))
    return Structure(whole, tuple(burdens), section, _assumptions(own, method))


def _joined(label: str, symbol: str, group: Sequence[Burden], sums: list[Term]) -> tuple[Line, ...]:
    """The lines of a group, with a subtotal where it has more than one; its term joins `sums`."""
    lines = tuple(burden.line for burden in group)
    if len(group) == 1:
        sums.append(group[0].line.term(group[0].symbol))
        return lines
    subtotal = total_of(label, group)
    sums.append(subtotal.term(symbol))
    return (*lines, subtotal)


def _materials(wet: Sequence[Listed]) -> list[Material]:
    """Each material once, in the order of the list."""
    found: list[Material] = []
    for entry in wet:
        material = entry.weight.material
        if material is not None and material not in found:
            found.append(material)
    return found


def _under_water(entry: Listed, factor: Line, guide: RuleBook) -> Burden:
    tank = entry.weight.role is Role.PERMANENT_TANK
    line = work_out(
        f"{entry.symbol} {entry.weight.item}, under water",
        "mass * max(K, 0)" if tank else "mass * K",
        [entry.mass, factor.term("K")],
        unit="kg",
        source=guide.clause("boat").source,
        note="counted full; a tank lifts only with a stated restraint" if tank else "",
    )
    return Burden(entry.symbol, line, entry.weight.at, entry.source, spread_of(entry, line))


def _in_full(entry: Listed, guide: RuleBook) -> Burden:
    line = work_out(
        f"{entry.symbol} {entry.weight.item}, in full",
        "mass",
        [entry.mass],
        unit="kg",
        source=guide.clause("boat").source,
        note=(
            "no material is stated, so nothing is taken off for what it displaces"
            if entry.weight.below_water
            else "above the swamped waterline"
        ),
    )
    return Burden(entry.symbol, line, entry.weight.at, entry.source, spread_of(entry, line))


def _assumptions(own: Sequence[Listed], method: Method) -> tuple[str, ...]:
    below = [entry.weight for entry in own if entry.weight.below_water]
    wood = [weight.item for weight in below if weight.material and weight.material.is_wood]
    bare = [weight.item for weight in below if weight.material is None]
    found = []
    if any(not entry.weight.below_water for entry in own):
        found.append(
            "Which entries lie above the swamped waterline is taken from the weight list; the "
            "attitude of the swamped boat decides it."
        )
    if wood and method.wood_lifts:
        found.append(
            f"Wood is credited with its lift ({', '.join(wood)}): an option; sources disagree."
        )
    elif wood:
        found.append(
            f"Wood is given no lift ({', '.join(wood)}). That is the safe side for the quantity "
            "of foam; it need not be the safe side for stability."
        )
    found += _several_factors(below, method)
    if bare:
        found.append(f"Without a stated material these count in full: {', '.join(bare)}.")
    return tuple(found)


def _several_factors(below: Sequence[Weight], method: Method) -> list[str]:
    """Which K counts where publications differ, once for each material."""
    which = "the handbook's, an option," if method.material_factor == "handbook" else "the largest"
    materials = dict.fromkeys(w.material for w in below if w.material and not w.material.is_wood)
    return [
        f"Publications give K of {material.name} as "
        f"{', '.join(number(factor.value) for factor in material.published)}; {which} counts."
        for material in materials
        if len({factor.value for factor in material.published}) > 1
    ]
