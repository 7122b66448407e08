"""Where bodies come to rest in still water: hydrostatics without a rule, a foam or a boat file."""

from flotation.equilibrium.bodies import Body, Box, Rest, Sinks
from flotation.equilibrium.reweighed import float_reweighed
from flotation.equilibrium.solver import float_freely

__all__ = ["Body", "Box", "Rest", "Sinks", "float_freely", "float_reweighed"]
