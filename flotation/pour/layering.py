"""One layer of a cavity through its holes: the lifts, with their amounts, shots and dips."""

from collections.abc import Iterator
from dataclasses import dataclass

from flotation.boat import Cavity, Hole, HoleKind, Jig, Point
from flotation.geometry.filling import FillCurve
from flotation.pour.amounts import Amount, amount_for
from flotation.pour.batches import mixture, shots
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
from flotation.workings import COMPUTED, Term, work_out


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


def lifts_of(place: Place, count: int, setting: Setting) -> tuple[Poured, ...]:
    """The lifts of `count` layers of equal thickness, in the order of pouring.

    Each of a layer's open fill holes gets the part of it that foam reaches from there first; the
    lifts of a layer follow one another.
    """
    return tuple(
        poured
        for layer in layers(place.curve, count)
        for poured in _through_holes(layer, place, setting)
    )


def _through_holes(layer: Layer, place: Place, setting: Setting) -> Iterator[Poured]:
    open_holes = holes_for(layer, place.cavity.holes, place.up)
    shares: tuple[tuple[Hole | None, float], ...] = shares_of(
        place.traced, layer, open_holes, place.up
    )
    stop = ""
    if not shares:
        shares = ((None, 1.0),)
        if any(hole.kind is HoleKind.FILL for hole in place.cavity.holes):
            stop = (
                f"{place.cavity.name}, lift {layer.number} of {layer.of}: every fill hole lies "
                "below the foam that is already there; drill one higher up, or turn the hull"
            )
    for through in shares:
        yield _lift(layer, through, place, setting, stop)


def _lift(
    layer: Layer,
    through: tuple[Hole | None, float],
    place: Place,
    setting: Setting,
    stop: str,
) -> Poured:
    hole, share = through
    foam = setting.today.foam
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
        by_dip=_dips(layer, rim, share, place, setting),
        lines=(volume, *amount.lines),
    )
    return Poured(lift, amount, stop or (f"{label}: {batches.fault}" if batches.fault else ""))


def _dip(rim: float, level: float) -> float:
    """Down to the foam, m, to the micrometre, so that a level rim shows as zero."""
    return round(rim - level, 6) + 0.0


def _dips(
    layer: Layer, rim: float | None, share: float, place: Place, setting: Setting
) -> tuple[DipRung, ...]:
    if rim is None or not layer.closing or layer.of == 1:
        return ()
    foam = setting.today.foam
    packing = foam.minimum_fill_density / foam.free_rise_density
    free = level_if_free(layer.low, place.curve, packing)
    return by_dip(layer, place.curve, Opening(rim, share), free, setting)
