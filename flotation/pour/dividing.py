"""Layers that are too heavy for one lift through a hole, divided into lifts that are not."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from flotation.geometry.filling import FillCurve
from flotation.pour.batches import SLACK
from flotation.pour.foam import stated
from flotation.pour.lifts import EXACT_VOLUME, Layer
from flotation.pour.limits import Setting
from flotation.pour.outlook import LiftBound
from flotation.workings import COMPUTED, Line, Mark, Source, Term, work_out

Share = Callable[[Layer], float]
"""Share of a layer that goes through the hole that takes most of it."""

# Parts beyond what the mass alone asks for, before a layer is left as it is: the plan's check of
# the cream time then names its lifts.
_MORE_PARTS = 50


@dataclass(frozen=True)
class Cut:
    """The layers of a cavity, what decides their thickness, and how they were divided."""

    layers: tuple[Layer, ...]
    decides: LiftBound
    lines: tuple[Line, ...]


def cut(
    cavity: str, layers: Sequence[Layer], curve: FillCurve, share: Share, setting: Setting
) -> Cut:
    """Each layer as it is, or in parts of equal volume so that no lift is over the capacity.

    cavity  its name, for the lines; layers  as the sheet's lift limit asks for, from below
    A hole takes `share` of a layer; its lift, with waste and the closing lift's overpack, may
    have `setting.capacity` of A and B.
    """
    found: list[Layer] = []
    lines: list[Line] = []
    for layer in layers:
        needed = _parts(cavity, layer, share, setting)
        if needed.value > 1.0:
            lines.append(needed)
            found += _divided(layer, round(needed.value), curve, share, setting)
        else:
            found.append(layer)
    if lines:
        decides = setting.capacity.decides
    else:
        decides = LiftBound.THICKNESS if len(layers) > 1 else LiftBound.DEPTH
    return Cut(numbered(found), decides, tuple(lines))


def numbered(layers: Sequence[Layer]) -> tuple[Layer, ...]:
    """The layers counted from below."""
    return tuple(replace(one, number=i, of=len(layers)) for i, one in enumerate(layers, 1))


def _parts(cavity: str, layer: Layer, share: Share, setting: Setting) -> Line:
    """In how many lifts a layer is poured so that each is within the capacity."""
    foam, closing = setting.today.foam, layer.closing
    terms = [
        Term("layer", layer.volume, "m3", EXACT_VOLUME),
        Term("share", share(layer), "1", COMPUTED),
        setting.today.minimum_fill.term("minimum_fill"),
        Term("waste", setting.shop.waste, "1", Source("boat file", "shop", mark=Mark.STATED)),
        setting.capacity.term,
    ]
    if closing:
        terms.append(Term("overpack", foam.overpack, "1", stated(foam, "overpack")))
    mixed = "layer * share * minimum_fill" + (" * overpack" if closing else "")
    return work_out(
        f"{cavity}: lifts for layer {layer.number} of {layer.of} by the sheet's thickness",
        f"ceil({mixed} / (1 - waste) / capacity - {SLACK!r})",
        terms,
        unit="1",
        source=COMPUTED,
        note=f"What decides: {setting.capacity.decides}.",
    )


def _divided(
    layer: Layer, parts: int, curve: FillCurve, share: Share, setting: Setting
) -> list[Layer]:
    """Parts of equal volume; more of them where fewer holes stay open to the upper ones."""
    most = setting.capacity.mass * (1.0 + SLACK) * (1.0 - setting.shop.waste)
    density = setting.today.minimum_fill.value
    for count in range(parts, parts + _MORE_PARTS):
        made = _in_parts(layer, count, curve)
        closing = setting.today.foam.overpack if layer.closing else 1.0
        packed = [1.0] * (count - 1) + [closing]
        heaviest = max(
            one.volume * share(one) * density * over for one, over in zip(made, packed, strict=True)
        )
        if heaviest <= most:
            return made
    return _in_parts(layer, parts, curve)


def _in_parts(layer: Layer, count: int, curve: FillCurve) -> list[Layer]:
    """So many parts of equal volume; `number` and `of` keep telling whether one closes."""
    below = curve.volume_at(layer.low)
    inner = [curve.height_at(below + layer.volume * i / count) for i in range(1, count)]
    levels = [layer.low, *inner, layer.high]
    each = layer.volume / count
    return [
        Layer(i if layer.closing else 0, count, low, high, each)
        for i, (low, high) in enumerate(pairwise(levels), 1)
    ]
