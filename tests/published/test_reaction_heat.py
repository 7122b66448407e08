"""Heat of the reaction and heat in slabs: figures computed by hand, and one measured range.

Adiabatic rise by first principles (computed once by hand from values of the literature, most of
them recalled): 51.7 g of A at 31.0 % NCO, index 1.10, 1.2 g of water in 100 g, 1.8 J/(g K), with
the heats 70.75 / 86, 93.9 / 125.5 and 100 / 197 kJ/mol gives 116, 158 and 192 K; 12.3 g of HFO
take out 2.3 kJ, which is 13 K. 1 g of water gives 1.36 L of carbon dioxide at 25 degC.

Slabs with both faces at the surroundings, 0.026 W/(m K), 32 kg/m3, 1500 J/(kg K) (computed):
share of the middle's excess that is left after 15, 30, 60 and 240 min. The printed diffusivity,
5.4e-7 m2/s, is rounded by 0.3 %, which moves a share by up to 0.002.

The one measured range: the middle of closed-cell spray foam at its thickest pass, 225 to 350 degF
(107 to 177 degC), fact sheet of a spray-foam trade body (read).
"""

from dataclasses import replace

import pytest
from small_boats import FOAM

from flotation.foamsystem import FoamHeat, Recipe
from flotation.foamsystem_agents import agents
from flotation.pour.conduction import Matter, Release, Slab, first_pour
from flotation.pour.figures import figure
from flotation.pour.reaction_heat import carbon_dioxide, rise_of
from flotation.workings import Line, Mark, Term

RECIPE = Recipe(0.31, 1.10, 0.012, None, 0.0)
SHARE_A = Term("share_a", 0.517, "1")


def rise(recipe: Recipe) -> dict[str, Line]:
    found = rise_of(replace(FOAM, heat=FoamHeat(recipe=recipe)), SHARE_A, None)
    return {line.label: line for line in found.lines}


def by_end(recipe: Recipe, end: str) -> float:
    return rise(recipe)[f"pour foam: adiabatic rise of the recipe, {end} heats of reaction"].value


def test_moles_of_the_worked_recipe() -> None:
    """Printed for 100 g: n_NCO 0.3814, n_W 0.0666, n_U 0.2136."""
    values = {label: line.value / 10.0 for label, line in rise(RECIPE).items()}
    assert values["pour foam: isocyanate groups in a kilogram"] == pytest.approx(0.3814, abs=5e-5)
    assert values["pour foam: water in a kilogram"] == pytest.approx(0.0666, abs=5e-5)
    assert values["pour foam: urethane made in a kilogram"] == pytest.approx(0.2136, abs=1e-4)


def test_the_band_from_116_to_192_k() -> None:
    assert by_end(RECIPE, "low") == pytest.approx(116.0, abs=0.5)
    assert by_end(RECIPE, "high") == pytest.approx(192.0, abs=0.5)
    assert figure("rise_low").value == pytest.approx(by_end(RECIPE, "low"), abs=0.5)
    assert figure("rise_high").value == pytest.approx(by_end(RECIPE, "high"), abs=0.5)
    assert figure("rise_low").source is not None
    assert figure("rise_low").source.mark is Mark.COMPUTED


def test_the_heats_in_between_give_158_k() -> None:
    """The formula of the line, with the middle pair of published heats put in."""
    line = rise(RECIPE)["pour foam: adiabatic rise of the recipe, low heats of reaction"]
    terms = {term.symbol: term.value for term in line.terms}
    heat = terms["n_urethane"] * 93_900.0 + terms["n_water"] * 125_500.0
    assert heat / terms["heat_capacity"] == pytest.approx(158.0, abs=0.5)


def test_boiling_takes_13_k_out() -> None:
    """12.3 g of HFO in 100 g, 190 kJ/kg."""
    boiled = replace(RECIPE, agent=agents()["HFO-1233zd(E)"], agent_share=0.123)
    assert by_end(RECIPE, "low") - by_end(boiled, "low") == pytest.approx(13.0, abs=0.5)


def test_a_gram_of_water_gives_1_36_litres_of_gas() -> None:
    gram = Term("n_water", 0.001 / 0.018015, "mol/kg")
    assert carbon_dioxide("", gram).value * 1000.0 == pytest.approx(1.36, abs=0.005)


MINUTES = (15, 30, 60, 240)
SLABS = {
    (0.05, 32.0): (0.186, 0.027, 0.001, 0.0),
    (0.10, 32.0): (0.781, 0.486, 0.186, 0.001),
    (0.15, 32.0): (0.967, 0.821, 0.541, 0.042),
    (0.30, 32.0): (1.000, 0.999, 0.967, 0.541),
    (0.05, 64.0): (0.419, 0.138, 0.015, 0.0),
    (0.10, 64.0): (0.930, 0.728, 0.419, 0.015),
    (0.15, 64.0): (0.997, 0.949, 0.772, 0.177),
    (0.30, 64.0): (1.000, 1.000, 0.997, 0.772),
}


@pytest.mark.parametrize(("slab", "printed"), SLABS.items())
def test_the_table_of_slabs(slab: tuple[float, float], printed: tuple[float, ...]) -> None:
    """64 kg/m3 at the printed 3.1e-7 m2/s, which is 0.030 W/(m K)."""
    width, density = slab
    conductivity = 0.026 if density == 32.0 else 0.030
    bare = Matter(10.0, 10.0)
    thin = Slab(width, Matter(conductivity, density * 1500.0), bare, 1e-4, 1e5)
    course = first_pour(thin, Release(0.0, 1e-3))
    found = course.core([60.0 * minutes for minutes in MINUTES])
    assert found == pytest.approx(printed, abs=0.0035)


def test_half_of_the_excess_is_left_at_fourier_0_379() -> None:
    foam = Matter(0.026, 32.0 * 1500.0)
    course = first_pour(Slab(0.3, foam, Matter(10.0, 10.0), 1e-4, 1e5), Release(0.0, 1e-3))
    half = course.spell(0.5)[1]
    assert half * 0.026 / foam.capacity / 0.15**2 == pytest.approx(0.379, abs=0.0015)
    assert half / 60.0 == pytest.approx(263.0, rel=0.004)


@pytest.mark.parametrize("pass_thickness", [0.038, 0.051])
def test_spray_foam_at_its_thickest_pass_lands_in_or_just_above_the_measured_band(
    pass_thickness: float,
) -> None:
    """1.5 to 2 in at 25 degC; the reaction of spray foam is over within half a minute.

    The low end of the literature's heats must land inside 107 to 177 degC. The high end lies
    above it, by no more than what walls, air and a boiling agent may take from 217 degC: "just
    above" is taken as 45 K.
    """
    laminate = Matter(0.25, 1600.0 * 1200.0)
    spray = Slab(pass_thickness, Matter(0.026, 35.0 * 1500.0), laminate, 0.002, 8.0)
    share = first_pour(spray, Release(3.0, 30.0)).peak
    low, high = (25.0 + figure(f"rise_{end}").value * share for end in ("low", "high"))
    assert 107.0 <= low <= 177.0
    assert 177.0 < high <= 177.0 + 45.0
