"""What a pour plan takes for granted and the margins rest on, in sentences for the first page."""

from flotation.pour.pourplan import PourPlan
from flotation.report.printing import both
from flotation.report.scene_facts import said

_NOTED = 1e-3  # of what foam fills; less is below the accuracy of the search


def taken_as_filled(plan: PourPlan) -> tuple[str, ...]:
    """Lift of what foam may not get to, where a recalled flow length leaves it filled on paper."""
    volumes = {pour.cavity: pour.volume for pour in plan.pours}
    found = [
        f"{reach.cavity} {said(both(reach.lost_lift, 'kg', 3))}"
        for reach in plan.reach
        if not (reach.stated or reach.counted)
        and reach.unreached > _NOTED * volumes.get(reach.cavity, 0.0)
    ]
    if not found:
        return ()
    return (
        "Foam is taken to get everywhere, because no flow length is stated. By a recalled one it "
        f"does not, and this lift is missing: {', '.join(found)}.",
    )
