"""From a boat to a pour plan: how much foam, through which holes, in which lifts and batches."""

from flotation.pour.plan import plan_pours
from flotation.pour.pourplan import PourPlan

__all__ = ["PourPlan", "plan_pours"]
