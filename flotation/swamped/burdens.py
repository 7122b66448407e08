"""What the swamped boat holds up, piece by piece, and sums over such pieces."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from flotation.boat import Role, Weight
from flotation.boat_places import Point
from flotation.workings import COMPUTED, Line, Mark, Source, Term, work_out


@dataclass(frozen=True)
class Listed:
    """An entry of the weight list and the symbol it goes by: w1, w2, ... in the list's order.

    given_by  label of the line that gave its mass; "" where it stands as the boat file states it
    """

    symbol: str
    weight: Weight
    given_by: str = ""

    @property
    def mass(self) -> Term:
        """Its dry mass, as "mass"."""
        return replace(self.term, symbol="mass")

    @property
    def term(self) -> Term:
        """Its dry mass, by its own symbol."""
        return Term(self.symbol, self.weight.mass, "kg", self.source, self.given_by)

    @property
    def source(self) -> Source:
        """The entry that states it."""
        return Source(self.weight.entry, mark=Mark.STATED)


@dataclass(frozen=True)
class Acting:
    """A weight or lift, kg, and where it acts: the place in m and who says so."""

    term: Term
    at: Point
    source: Source


@dataclass(frozen=True)
class Burden:
    """One piece of what must be held up.

    symbol  how sums refer to it
    line    its weight under water, kg; below zero for a piece that lifts by itself
    at      where that weight acts, m; place: where that is stated
    spread  kg by which the stated tolerance may raise it; None: not stated
    """

    symbol: str
    line: Line
    at: Point
    place: Source
    spread: float | None

    @property
    def acting(self) -> Acting:
        """Its weight at its place."""
        return Acting(self.line.term(self.symbol), self.at, self.place)


AXES = ("x", "y", "z")


def number_weights(
    weights: Sequence[Weight], given_by: Mapping[str, str] = MappingProxyType({})
) -> tuple[Listed, ...]:
    """The weight list with a symbol for each entry.

    given_by  entry -> label of the line that gave its mass, for those not as stated
    """
    return tuple(
        Listed(f"w{i}", weight, given_by.get(weight.entry, ""))
        for i, weight in enumerate(weights, start=1)
    )


def of_roles(listed: Sequence[Listed], roles: frozenset[Role]) -> tuple[Listed, ...]:
    """The entries with one of these roles, in the order of the list."""
    return tuple(entry for entry in listed if entry.weight.role in roles)


def total(
    label: str, terms: Sequence[Term], *, unit: str = "kg", source: Source = COMPUTED
) -> Line:
    """The sum of the terms; 0 where there are none."""
    formula = " + ".join(term.symbol for term in terms) or "0"
    return work_out(label, formula, terms, unit=unit, source=source)


def total_of(label: str, burdens: Sequence[Burden], source: Source = COMPUTED) -> Line:
    """The sum of the pieces' weights under water, kg."""
    return total(label, [burden.line.term(burden.symbol) for burden in burdens], source=source)


def centre(label: str, parts: Sequence[Acting], whole: Line) -> tuple[Line, Line, Line]:
    """Where the sum of some weights acts: x, y and z of its centre, m.

    parts  at least one; whole: the sum of their weights, kg, not zero
    Sum of weight x place over the sum of the weights.
    """
    x, y, z = (_centre_line(label, axis, parts, whole) for axis in range(len(AXES)))
    return x, y, z


def _centre_line(label: str, axis: int, parts: Sequence[Acting], whole: Line) -> Line:
    name = AXES[axis]
    weights = [part.term for part in parts]
    places = [Term(f"{name}_{p.term.symbol}", p.at[axis], "m", p.source) for p in parts]
    products = " + ".join(f"{w.symbol} * {p.symbol}" for w, p in zip(weights, places, strict=True))
    return work_out(
        f"{label}, {name}",
        f"({products}) / total",
        [*weights, *places, whole.term("total")],
        unit="m",
        source=COMPUTED,
    )


def spread_of(listed: Listed, line: Line) -> float | None:
    """What the tolerance of an entry does to its weight under water, kg; None: not stated.

    A weight in proportion to the dry mass moves in the same proportion.
    """
    tolerance = listed.weight.tolerance
    if tolerance is None or listed.weight.mass == 0.0:
        return tolerance
    return tolerance * abs(line.value / listed.weight.mass)
