"""Which part of a cavity each fill hole fills, what none of them reaches, and further holes."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from flotation.boat import Cavity, Hole, HoleKind
from flotation.boat_places import Box, Point
from flotation.foamsystem import Foam
from flotation.geometry.reach.cells import cell_size, cells_of
from flotation.geometry.reach.distances import LEAST, Flow, Reach, reach_from
from flotation.geometry.reach.drilling import Drillable, places_to_drill
from flotation.geometry.reach.further import Proposal, further_holes
from flotation.geometry.reach.region import reached_solid
from flotation.geometry.solid import Floats, Solid
from flotation.pour.figures import figure
from flotation.pour.lifts import Layer
from flotation.pour.reached import CavityReach, HoleReach, ProposedHole, UnreachedPlace
from flotation.workings import COMPUTED, Line, Mark, Source, Term, work_out

ALONG = Source(
    "shortest ways along the cavity from its fill holes, from cell to cell", mark=Mark.COMPUTED
)

_LARGE_CELLS = 800
_PLACES = 40
_SLIVER = 0.02
"""Share of a layer below which a hole is passed over: it is no batch of its own."""


@dataclass(frozen=True)
class Traced:
    """How far foam gets in a cavity.

    reach   over the fill holes, in the order of the cavity's list, in the part without counted air
    holes   those holes
    stated  True: the boat file states the flow length
    solid   what foam fills: less what it does not get to, where that counts; None for nothing
    """

    reach: Reach
    holes: tuple[Hole, ...]
    stated: bool
    solid: Solid | None

    @property
    def counted(self) -> bool:
        """True if what foam does not get to was taken off."""
        return self.solid is not self.reach.solid


def trace(cavity: Cavity, solid: Solid, foam: Foam) -> Traced | None:
    """How far the foam of a cavity gets from its fill holes; None without one.

    solid  the cavity without the air that counts as caught
    """
    fill = tuple(hole for hole in cavity.holes if hole.kind is HoleKind.FILL)
    if not fill:
        return None
    stated = foam.flow_length is not None
    length = foam.flow_length if foam.flow_length is not None else figure("flow_length").value
    flow = Flow(length, figure("free_width").value)
    reach = reach_from(solid, [hole.at for hole in fill], flow)
    counts = stated and reach.unreached > LEAST * solid.volume
    return Traced(reach, fill, stated, reached_solid(reach) if counts else solid)


def shares_of(
    traced: Traced | None, layer: Layer, holes: Sequence[Hole], up: Point
) -> tuple[tuple[Hole, float], ...]:
    """The holes that a layer is poured through, and the share of it that each of them fills.

    holes  fill holes that are open for this layer, in the order of pouring
    The part of the layer that a hole is nearest to, along the cavity; holes with less than a
    fiftieth of it are passed over. Shares add up to one.
    """
    if traced is None or len(holes) < 2:
        return tuple((hole, 1.0) for hole in holes)
    reach = traced.reach
    volume = reach.cells.volume * _inside(reach, layer, up)
    if traced.counted:
        volume = volume * reach.reached
    rows = [traced.holes.index(hole) for hole in holes]
    filled = (reach.nearest(np.array(rows)) @ volume)[rows]
    if not filled.sum() > 0.0:
        return tuple((hole, 1.0 / len(holes)) for hole in holes)
    filled = np.where(filled >= _SLIVER * filled.sum(), filled, 0.0)
    share = filled / filled.sum()
    return tuple((hole, float(part)) for hole, part in zip(holes, share, strict=True) if part > 0.0)


def _inside(reach: Reach, layer: Layer, up: Point) -> Floats:
    """(n,) share of each cell between the heights of a layer."""
    height = reach.cells.points @ np.array(up) - 0.5 * reach.cells.step
    low, high = (
        np.clip((level - height) / reach.cells.step, 0.0, 1.0) for level in (layer.low, layer.high)
    )
    share: Floats = high - low
    return share


def places_for(cavity: Cavity, keep_out: Sequence[Box], flow_length: float) -> Floats:
    """(k, 3) m where further holes may be drilled into a cavity: six to a flow length, or more."""
    things = tuple(out.solid for out in cavity.taken_out)
    cells = cells_of(cavity.solid, cell_size(cavity.solid))
    longest = float(np.ptp(cavity.solid.bounds, axis=0).max())
    most = min(max(_PLACES, round(6.0 * longest / flow_length)), 4 * _PLACES)
    return places_to_drill(
        cavity.solid, cells, Drillable(cavity.drill, tuple(keep_out), things), most
    )


def proposal_for(traced: Traced, places: Floats) -> Proposal:
    """The fewest further fill holes from which foam gets to the rest."""
    reach = traced.reach
    coarse = cells_of(reach.solid, cell_size(reach.solid, _LARGE_CELLS))
    return further_holes(reach, np.array([hole.at for hole in traced.holes]), places, coarse)


def needs_holes(traced: Traced) -> bool:
    """True if a thousandth of the cavity is not reached in one place."""
    return bool(traced.reach.places)


def cavity_reach(
    cavity: Cavity, traced: Traced, proposal: Proposal, density: Line, around: tuple[Term, Term]
) -> CavityReach:
    """What a plan says of where foam gets to.

    density  kg/m3 of the foam in place
    around   water density and the foam's uptake, kg/m3, as terms
    """
    reach = traced.reach
    least, most = reach.unreached_between
    whole = reach.solid.volume
    filled = whole if traced.solid is None else traced.solid.volume
    unreached = whole - filled if traced.counted else reach.unreached
    scale = (whole - unreached) / max(float(reach.shares.sum()), np.finfo(float).tiny)
    lift, foam = _price(cavity.name, unreached, density, around)
    return CavityReach(
        cavity=cavity.name,
        flow_length=reach.flow.length,
        stated=traced.stated,
        holes=tuple(
            HoleReach(hole.name, float(volume) * scale, float(furthest))
            for hole, volume, furthest in zip(
                traced.holes, reach.shares, reach.furthest, strict=True
            )
        ),
        unreached=unreached,
        unreached_least=min(least, unreached),
        unreached_most=max(most, unreached),
        counted=traced.counted,
        places=tuple(UnreachedPlace(one.volume, one.centroid, one.bounds) for one in reach.places),
        lost_lift=lift.value,
        foam_short=foam.value,
        proposed=tuple(ProposedHole(hole.at, hole.gains) for hole in proposal.holes),
        least_possible=proposal.least,
        still_unreached=proposal.unreached,
        lines=(lift, foam),
    )


def _price(
    name: str, unreached: float, density: Line, around: tuple[Term, Term]
) -> tuple[Line, Line]:
    volume = Term("unreached", unreached, "m3", ALONG)
    foam = density.term("density")
    lift = work_out(
        f"{name}: lift of the part that foam does not get to",
        "unreached * (water - density - uptake)",
        [volume, foam, *around],
        unit="kg",
        source=COMPUTED,
    )
    mass = work_out(
        f"{name}: foam for the part that foam does not get to",
        "unreached * density",
        [volume, foam],
        unit="kg",
        source=COMPUTED,
    )
    return lift, mass
