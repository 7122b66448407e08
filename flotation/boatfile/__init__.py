"""boat.toml -> Boat: every entry read strictly, every fault told at once."""

from flotation.boatfile.logged import read_cup_tests, read_poured
from flotation.boatfile.reading import read_boat, read_found_cavities, template, write_template

__all__ = [
    "read_boat",
    "read_cup_tests",
    "read_found_cavities",
    "read_poured",
    "template",
    "write_template",
]
