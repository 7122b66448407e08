"""Values inside sentences, in SI and in US customary units."""

from flotation.units import System, shown


def both(value: float, unit: str) -> str:
    """A value in both systems, in one unit whatever its size, to three digits; once if they agree.

    >>> both(0.0, "kg"), both(0.5, "rad")
    ('0 kg (0 lb)', '28.6°')
    """
    metric, customary = (str(shown(value, unit, s, digits=3, coherent=True)) for s in System)
    return metric if metric == customary else f"{metric} ({customary})"
