"""What is known of a cavity that was found between the parts, beside its solid."""

from dataclasses import dataclass


@dataclass(frozen=True)
class FoundBetween:
    """How a cavity was found, for who must follow its volume and for who must close it.

    by_place       its name by place, "1.86 port 0.71 up 0.49"
    volume         m3 as found, before the boat file took anything out
    volume_error   m3 either way: the true volume lies within volume +- volume_error
    sealed_to      m, every gap up to this width was sealed
    surface_error  m by which the surfaces of the parts may be off; it is within volume_error
    walls          names of the parts that wall it, plugs left out
    closed         names of the openings in its walls that are closed before the pour
    gaps           how many sealed gaps open into it
    gap_volume     m3 of those gaps; no foam is counted in them
    adrift         names of the parts that stand free inside it and are taken out
    leaks          sentences on the openings that stay open: where, how wide, where foam goes
    """

    by_place: str
    volume: float
    volume_error: float
    sealed_to: float
    surface_error: float
    walls: tuple[str, ...]
    closed: tuple[str, ...]
    gaps: int
    gap_volume: float
    adrift: tuple[str, ...]
    leaks: tuple[str, ...]
