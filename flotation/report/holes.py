"""Every hole of a boat with what goes through it, and further holes that a plan proposes.

Rows for the map, the labels and the tables. A proposed hole is no hole of the boat: it is shown on
the map and in the tables, it has no label, and nothing is poured through it.
"""

from dataclasses import dataclass, replace
from enum import StrEnum

from flotation.boat import Boat, Cavity, Hole, HoleKind
from flotation.boat_places import Point
from flotation.pour.pourplan import Lift, PourPlan


class HoleState(StrEnum):
    """Whether a hole is in the boat file, or only proposed by a plan."""

    STATED = "stated"
    PROPOSED = "proposed"


@dataclass(frozen=True)
class HolePoured:
    """A hole, its cavity, and the lifts that go through it in their order."""

    hole: Hole
    cavity: Cavity
    lifts: tuple[Lift, ...]

    @property
    def fills(self) -> bool:
        """True if foam goes in here."""
        return self.hole.kind is HoleKind.FILL and self.cavity.foam is not None

    @property
    def orders(self) -> tuple[int, ...]:
        """Its places in the pouring order."""
        return tuple(lift.order for lift in self.lifts)

    @property
    def mass_a(self) -> float:
        """Kg of A that is weighed for it, waste included."""
        return sum(shot.weigh_a for lift in self.lifts for shot in lift.shots)

    @property
    def mass_b(self) -> float:
        """Kg of B, likewise."""
        return sum(shot.weigh_b for lift in self.lifts for shot in lift.shots)


def holes_poured(boat: Boat, plan: PourPlan) -> tuple[HolePoured, ...]:
    """All holes of the boat: cavities in the order in which they are begun, then the others.

    A plan that is stopped lets nothing through any hole. Holes of a cavity stand as the boat file
    has them.
    """
    begun = [pour.cavity for pour in plan.pours]
    rest = [cavity.name for cavity in boat.cavities if cavity.name not in begun]
    lifts = plan.lifts if plan.go else ()
    return tuple(
        HolePoured(
            hole,
            cavity,
            tuple(one for one in lifts if (one.cavity, one.hole) == (cavity.name, hole.name)),
        )
        for cavity in (boat.cavity(name) for name in (*begun, *rest))
        for hole in cavity.holes
    )


@dataclass(frozen=True)
class HoleProposed:
    """A further hole that a plan proposes.

    number     counts over the whole boat, from 1
    fills      True: foam would go in here; False: a vent
    gains      m3 that foam gets to through it, or that it frees of air
    drillable  False: it lies where nothing may be drilled, for no free place would do
    recalled   True: it follows from a flow length that the boat file does not state
    """

    number: int
    cavity: str
    fills: bool
    at: Point
    gains: float
    drillable: bool = True
    recalled: bool = False

    @property
    def kind(self) -> HoleKind:
        """What it would be."""
        return HoleKind.FILL if self.fills else HoleKind.VENT

    @property
    def name(self) -> str:
        """What map and tables call it."""
        return f"{HoleState.PROPOSED} {self.number}"


def holes_proposed(plan: PourPlan) -> tuple[HoleProposed, ...]:
    """Further holes: for each cavity its fill holes, then its vents, as the plan has them."""
    found = [
        HoleProposed(0, one.cavity, True, hole.at, hole.gains, recalled=not one.stated)
        for one in plan.reach
        for hole in one.proposed
    ]
    found += [
        HoleProposed(0, one.cavity, False, vent.at, vent.frees, vent.drillable)
        for one in plan.air
        for vent in one.proposed
    ]
    cavities = list(dict.fromkeys(one.cavity for one in found))
    found.sort(key=lambda one: cavities.index(one.cavity))
    return tuple(replace(one, number=number) for number, one in enumerate(found, start=1))


@dataclass(frozen=True)
class HoleRow:
    """A hole as a row of holes.csv and an entry of holes.json.

    hole         its name
    state        stated: in the boat file. proposed: by the plan only; nothing is drilled by it
                 before the engineer says so
    cavity       name of the cavity that it opens
    kind         fill: foam goes in; vent: air goes out
    diameter_m   null for a proposed hole
    x_m          of its middle, forward from the transom
    y_m          of its middle, to port
    z_m          of its middle, up from the baseline
    foam         name of the foam system in that cavity; null for none
    steps        places in the pouring order, with blanks between; empty where nothing is poured in
    weigh_a_kg   of A that is weighed for it in all, waste included; null for a proposed hole
    weigh_b_kg   of B, likewise
    mass_kg      of both
    gains_m3     that foam gets to through a proposed hole, or that it frees of air; else null
    """

    hole: str
    state: HoleState
    cavity: str
    kind: HoleKind
    diameter_m: float | None
    x_m: float
    y_m: float
    z_m: float
    foam: str | None
    steps: str
    weigh_a_kg: float | None
    weigh_b_kg: float | None
    mass_kg: float | None
    gains_m3: float | None


@dataclass(frozen=True)
class HolesDocument:
    """All holes of a boat, then those that its plan proposes.

    holes  each of them
    """

    boat: str
    holes: tuple[HoleRow, ...]


def hole_rows(boat: Boat, plan: PourPlan) -> tuple[HoleRow, ...]:
    """Those of the boat in the order of `holes_poured`, then those that the plan proposes."""
    stated = [
        HoleRow(
            one.hole.name, HoleState.STATED, one.cavity.name, one.hole.kind, one.hole.diameter,
            *one.hole.at, one.cavity.foam, " ".join(str(order) for order in one.orders),
            one.mass_a, one.mass_b, one.mass_a + one.mass_b, None,
        )
        for one in holes_poured(boat, plan)
    ]  # fmt: skip
    proposed = [
        HoleRow(
            one.name, HoleState.PROPOSED, one.cavity, one.kind, None, *one.at,
            boat.cavity(one.cavity).foam, "", None, None, None, one.gains,
        )
        for one in holes_proposed(plan)
    ]  # fmt: skip
    return (*stated, *proposed)
