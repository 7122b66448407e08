"""What a report has beside the assessment itself."""

from dataclasses import dataclass

from flotation.swamped.trials.curves import ArmCurve
from flotation.swamped.what_if import WhatIf


@dataclass(frozen=True)
class Beside:
    """Found by further questions to the same boat; nothing in it decides.

    righting_arms  of the swamped boat; none where the boat file does not draw it
    what_if        one thing changed at a time; None where it was not asked
    """

    righting_arms: tuple[ArmCurve, ...] = ()
    what_if: WhatIf | None = None


NOTHING_BESIDE = Beside()
