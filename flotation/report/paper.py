"""Paper that the hand-outs are printed on."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Paper:
    """A paper size as the typesetter names it, mm."""

    name: str
    width: float
    height: float

    def inside(self, margin: float) -> float:
        """Width between margins of so many mm."""
        return self.width - 2.0 * margin


_PAPERS = {"a4": Paper("a4", 210.0, 297.0), "letter": Paper("us-letter", 215.9, 279.4)}


def paper_named(name: str) -> Paper:
    """The paper "a4" or "letter"; ValueError for another."""
    if name not in _PAPERS:
        raise ValueError(f"paper must be one of {sorted(_PAPERS)}, got {name!r}")
    return _PAPERS[name]
