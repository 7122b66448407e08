"""A small boat with its plan and its assessment, made by hand: numbers known beforehand.

Nothing here is calculated by the package, so that the hand-outs are tested for what they are
given to print.
"""

import io
from collections.abc import Callable
from dataclasses import replace

import pypdf
import pytest
from assessment_by_hand import assessment_by_hand
from boat_by_hand import boat_by_hand
from plan_by_hand import plan_by_hand

from flotation.boat import Boat
from flotation.pour.pourplan import PourPlan
from flotation.swamped.assessment import Assessment


@pytest.fixture(scope="session")
def boat() -> Boat:
    return boat_by_hand()


@pytest.fixture(scope="session")
def plan() -> PourPlan:
    return plan_by_hand()


@pytest.fixture(scope="session")
def assessment() -> Assessment:
    return assessment_by_hand()


@pytest.fixture(scope="session")
def stopped(plan: PourPlan) -> PourPlan:
    return replace(plan, stops=("The cup test of 36.0 kg/m3 is outside the sheet's limits.",))


@pytest.fixture(scope="session")
def text_of() -> Callable[[bytes], str]:
    """All words of a PDF, one blank between them."""

    def read(pdf: bytes) -> str:
        pages = pypdf.PdfReader(io.BytesIO(pdf)).pages
        return " ".join(" ".join(page.extract_text().split()) for page in pages)

    return read
