"""The tests of the regulation in the water, by calculation, and what stands beside them."""

from flotation.swamped.trials.in_the_water import InTheWater, Worked, in_the_water

__all__ = ["InTheWater", "Worked", "in_the_water"]
