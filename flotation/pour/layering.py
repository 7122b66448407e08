"""One layer of a cavity through its holes: the lifts, with their amounts, shots and dips."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from flotation.boat import Cavity, Hole, HoleKind, Jig, Point
from flotation.geometry.filling import FillCurve
from flotation.pour.amounts import Amount, amount_for
from flotation.pour.batches import mixture, shots
from flotation.pour.dividing import Cut, cut
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

    curve      volume against height along `up`
    level_jig  True: heights along `up` are z
    """

    cavity: Cavity
    curve: FillCurve
    up: Point
    level_jig: bool

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


def place_in_jig(cavity: Cavity, jig: Jig) -> Place:
    """The cavity with its fill curve straight up in the jig."""
    up = up_in_jig(jig)
    return Place(cavity, cavity.solid.fill_curve(up), up, jig.heel == 0.0 and jig.trim == 0.0)


def cut_of(place: Place, count: int, setting: Setting) -> Cut:
    """`count` layers of equal thickness, those that are too heavy for their holes divided."""
    return cut(
        place.cavity.name,
        layers(place.curve, count),
        place.curve,
        lambda layer: 1.0 / max(1, len(holes_for(layer, place.cavity.holes, place.up))),
        setting,
    )


def lifts_of(place: Place, layers: Sequence[Layer], setting: Setting) -> tuple[Poured, ...]:
    """The lifts of the layers, in the order of pouring.

    A layer is shared out evenly over its open fill holes; its lifts follow one another.
    """
    return tuple(poured for layer in layers for poured in _through_holes(layer, place, setting))


def _through_holes(layer: Layer, place: Place, setting: Setting) -> Iterator[Poured]:
    holes: tuple[Hole | None, ...] = holes_for(layer, place.cavity.holes, place.up)
    stop = ""
    if not holes:
        holes = (None,)
        if any(hole.kind is HoleKind.FILL for hole in place.cavity.holes):
            stop = (
                f"{place.cavity.name}, lift {layer.number} of {layer.of}: every fill hole lies "
                "below the foam that is already there; drill one higher up, or turn the hull"
            )
    for hole in holes:
        yield lift_through(_equal_share(layer, hole, len(holes), place), place, setting, stop)


def _equal_share(layer: Layer, hole: Hole | None, holes: int, place: Place) -> Portion:
    label = f"{place.cavity.name}, lift {layer.number} of {layer.of}"
    if hole is not None and holes > 1:
        label += f", hole {hole.name}"
    volume = work_out(
        f"{label}: volume",
        "layer / holes",
        [Term("layer", layer.volume, "m3", EXACT_VOLUME), Term("holes", holes, "1")],
        unit="m3",
        source=COMPUTED,
        note="Equal shares for the holes of a layer.",
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
