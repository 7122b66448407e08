"""One layer of a cavity through its holes: the lifts, with their amounts, shots and dips."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from flotation.boat import Cavity, Hole, HoleKind, Jig
from flotation.boat_places import Point
from flotation.geometry.filling import FillCurve
from flotation.pour.amounts import Amount, amount_for
from flotation.pour.batches import mixture, shots
from flotation.pour.dividing import Cut, cut
from flotation.pour.holes import ALONG, Traced, shares_of
from flotation.pour.ladder import Opening, by_dip
from flotation.pour.lifts import (
    EXACT_VOLUME,
    Layer,
    height_of,
    holes_for,
    layers,
    level_if_free,
    up_in_jig,
)
from flotation.pour.limits import Setting
from flotation.pour.pourplan import DipRung, Lift
from flotation.workings import COMPUTED, Line, Term, work_out


@dataclass(frozen=True)
class Place:
    """A cavity as it stands in the jig.

    cavity     its solid is what foam fills: without what counts as air or out of reach
    curve      volume against height along `up`
    level_jig  True: heights along `up` are z
    traced     how far foam gets from its fill holes; None without one
    """

    cavity: Cavity
    curve: FillCurve
    up: Point
    level_jig: bool
    traced: Traced | None = None

    def shown(self, level: float) -> float:
        """A height along `up` as the plan shows it: z, or above the cavity's lowest point."""
        return level if self.level_jig else level - self.curve.bottom

    def level(self, shown: float) -> float:
        """The height along `up` that the plan shows so."""
        return shown if self.level_jig else shown + self.curve.bottom


@dataclass(frozen=True)
class Portion:
    """What of a layer goes through one hole.

    label   of the lift, for its lines; hole  None if the cavity has none
    volume  m3 that must reach the cavity
    """

    label: str
    layer: Layer
    hole: Hole | None
    volume: Line


@dataclass(frozen=True)
class Poured:
    """A lift, how its amount was calculated, and why it cannot be poured so; "" if it can."""

    lift: Lift
    amount: Amount
    stop: str


def place_in_jig(cavity: Cavity, jig: Jig, traced: Traced | None = None) -> Place:
    """The cavity with its fill curve straight up in the jig."""
    up = up_in_jig(jig)
    level = jig.heel == 0.0 and jig.trim == 0.0
    return Place(cavity, cavity.solid.fill_curve(up), up, level, traced)


def cut_of(place: Place, count: int, setting: Setting) -> Cut:
    """`count` layers of equal thickness, those that are too heavy for their holes divided."""
    return cut(
        place.cavity.name,
        layers(place.curve, count),
        place.curve,
        lambda layer: max((share for _, share in shares_for(layer, place)), default=1.0),
        setting,
    )


def shares_for(layer: Layer, place: Place) -> tuple[tuple[Hole, float], ...]:
    """The open holes that a layer is poured through, each with its share; none if none is open."""
    open_holes = holes_for(layer, place.cavity.holes, place.up)
    return shares_of(place.traced, layer, open_holes, place.up)


def lifts_of(place: Place, layers: Sequence[Layer], setting: Setting) -> tuple[Poured, ...]:
    """The lifts of the layers, in the order of pouring.

    Each of a layer's open fill holes gets the part of it that foam reaches from there first; the
    lifts of a layer follow one another.
    """
    return tuple(poured for layer in layers for poured in _through_holes(layer, place, setting))


def _through_holes(layer: Layer, place: Place, setting: Setting) -> Iterator[Poured]:
    shares: tuple[tuple[Hole | None, float], ...] = shares_for(layer, place)
    stop = ""
    if not shares:
        shares = ((None, 1.0),)
        if any(hole.kind is HoleKind.FILL for hole in place.cavity.holes):
            stop = (
                f"{place.cavity.name}, lift {layer.number} of {layer.of}: every fill hole lies "
                "below the foam that is already there; drill one higher up, or turn the hull"
            )
    for hole, share in shares:
        portion = _portion(layer, (hole, share), place)
        yield lift_through(portion, place, setting, stop)


def _portion(layer: Layer, through: tuple[Hole | None, float], place: Place) -> Portion:
    hole, share = through
    label = f"{place.cavity.name}, lift {layer.number} of {layer.of}"
    if hole is not None and share < 1.0:
        label += f", hole {hole.name}"
    volume = work_out(
        f"{label}: volume",
        "layer * share",
        [Term("layer", layer.volume, "m3", EXACT_VOLUME), Term("share", share, "1", ALONG)],
        unit="m3",
        source=COMPUTED,
        note="The share of the layer that lies nearest to this hole along the cavity, of the holes "
        "that are open for it.",
    )
    return Portion(label, layer, hole, volume)


def lift_through(portion: Portion, place: Place, setting: Setting, stop: str = "") -> Poured:
    """The lift of one portion: its amounts, its shots, and where its foam should stop.

    stop  why it cannot be poured so, whatever its batches; "" if it can
    """
    foam, layer, hole = setting.today.foam, portion.layer, portion.hole
    label, volume = portion.label, portion.volume
    amount = amount_for(label, volume.term("volume"), setting, layer.closing)
    batches = shots(
        amount.mixed.value, mixture(setting.today), setting.shop.mixing, setting.limit.mass
    )
    packing = foam.minimum_fill_density / foam.free_rise_density
    rim = None if hole is None else height_of(hole.at, place.up)
    level_free = layer.high if layer.closing else level_if_free(layer.high, place.curve, packing)
    lift = Lift(
        cavity=place.cavity.name,
        hole="" if hole is None else hole.name,
        order=0,
        number=layer.number,
        of=layer.of,
        volume=volume.value,
        mass=amount.mass.value,
        mixed_mass=amount.mixed.value,
        mass_a=amount.mass_a.value,
        mass_b=amount.mass_b.value,
        volume_a=amount.volume_a.value,
        volume_b=amount.volume_b.value,
        thickness=layer.high - layer.low,
        foam_height=place.shown(layer.high),
        dip=None if rim is None else _dip(rim, layer.high),
        dip_least=None if rim is None else _dip(rim, level_free),
        closing=layer.closing,
        wait=foam.tack_free_time,
        shots=batches.shots,
        by_dip=_dips(portion, rim, place, setting),
        lines=(volume, *amount.lines),
    )
    return Poured(lift, amount, stop or (f"{label}: {batches.fault}" if batches.fault else ""))


def _dip(rim: float, level: float) -> float:
    """Down to the foam, m, to the micrometre, so that a level rim shows as zero."""
    return round(rim - level, 6) + 0.0


def _dips(
    portion: Portion, rim: float | None, place: Place, setting: Setting
) -> tuple[DipRung, ...]:
    layer = portion.layer
    if rim is None or not layer.closing or layer.of == 1:
        return ()
    foam = setting.today.foam
    packing = foam.minimum_fill_density / foam.free_rise_density
    free = level_if_free(layer.low, place.curve, packing)
    share = portion.volume.value / layer.volume
    return by_dip(layer, place.curve, Opening(rim, share), free, setting)
