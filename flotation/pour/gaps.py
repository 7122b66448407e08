"""What foam fills of a cavity, and what stays empty: air above the last way out, and out of reach.

Both are taken off the solid that foam fills, so mass, heights and the flotation check follow it.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from flotation.boat import Boat, Cavity
from flotation.boat_places import Point
from flotation.foamsystem import Foam
from flotation.geometry.reach.further import Proposal
from flotation.geometry.solid import Solid
from flotation.pour.air import NOTED, Air, air_in, cavity_air
from flotation.pour.holes import (
    ALONG,
    Traced,
    cavity_reach,
    needs_holes,
    places_for,
    proposal_for,
    trace,
)
from flotation.pour.lifts import EXACT_VOLUME, Layer, up_in_jig
from flotation.pour.reached import CavityAir, CavityReach
from flotation.workings import COMPUTED, Line, Mark, Source, Term, work_out

_WATER = Source("boat file", "water", mark=Mark.STATED)


@dataclass(frozen=True)
class FoamSpace:
    """What foam fills of a cavity.

    solid  m; the whole cavity where something stops the pour
    lines  how its volume was calculated, where it is less than the cavity's
    """

    solid: Solid
    air: Air
    traced: Traced | None
    lines: tuple[Line, ...]
    stops: tuple[str, ...]


@dataclass(frozen=True)
class Gaps:
    """What stays empty, as the plan says it, and the lines of its numbers."""

    reach: CavityReach | None
    air: CavityAir | None

    @property
    def lines(self) -> tuple[Line, ...]:
        """All of them."""
        found = (part.lines for part in (self.air, self.reach) if part is not None)
        return tuple(line for lines in found for line in lines)


def foam_space(cavity: Cavity, foam: Foam, up: Point) -> FoamSpace:
    """What one foam fills of a cavity, straight up along `up`.

    Less the air that is caught, if that is more than a thousandth of the cavity; less what the
    foam does not get to, if its flow length is stated and that is more than a thousandth.
    """
    air = air_in(cavity, up)
    if air.solid is None:
        stop = (
            f"{cavity.name}: as the hull stands in its jig every hole lies at the very bottom, and "
            "no air gets out; drill one at the top, or turn the hull"
        )
        return FoamSpace(cavity.solid, air, None, (), (stop,))
    traced = trace(cavity, air.solid, foam)
    if traced is not None and traced.solid is None:
        stop = f"{cavity.name}: its foam gets to no part of it; look at flow_length and its unit"
        return FoamSpace(cavity.solid, air, None, (), (stop,))
    solid = air.solid if traced is None or traced.solid is None else traced.solid
    line = _filled(cavity, air, solid)
    return FoamSpace(solid, air, traced, () if line is None else (line,), ())


def _filled(cavity: Cavity, air: Air, solid: Solid) -> Line | None:
    """The volume that foam fills, where it is less than the cavity."""
    if solid is cavity.solid or air.solid is None:
        return None
    terms = [Term("volume", cavity.solid.volume, "m3", EXACT_VOLUME)]
    if air.counted:
        caught = cavity.solid.volume - air.solid.volume
        terms.append(Term("caught", caught, "m3", EXACT_VOLUME))
    if solid is not air.solid:
        terms.append(Term("unreached", air.solid.volume - solid.volume, "m3", ALONG))
    return work_out(
        f"{cavity.name}: volume that foam fills",
        " - ".join(term.symbol for term in terms),
        terms,
        unit="m3",
        source=COMPUTED,
        note="The rest stays empty, and counts as flooded when the boat is swamped.",
    )


def gaps_in(
    cavity: Cavity,
    space: FoamSpace,
    layers: Sequence[Layer],
    in_place: tuple[Line, Line],
    boat: Boat,
) -> Gaps:
    """What stays empty in a cavity, its price, and the holes and vents that would mend it.

    layers    of the pour
    in_place  density of the foam in place, and the water that it takes up
    boat      its jig, its water, and where no hole may be drilled
    """
    density, taken_up = in_place
    traced = space.traced
    short = traced is not None and needs_holes(traced)
    airy = space.air.total is not None and space.air.total.value > NOTED * cavity.solid.volume
    places = np.empty((0, 3))
    if short or airy:
        length = np.inf if traced is None else traced.reach.flow.length
        places = places_for(cavity, [one.box for one in boat.keep_out], length)
    reach = None
    if traced is not None:
        left = Proposal((), 0, 0, traced.reach.unreached)
        proposal = proposal_for(traced, places) if short else left
        around = (Term("water", boat.water, "kg/m3", _WATER), taken_up.term("uptake"))
        reach = cavity_reach(cavity, traced, proposal, density, around)
    return Gaps(reach, cavity_air(cavity, space.air, up_in_jig(boat.jig), layers, places))
