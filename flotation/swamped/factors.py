"""K: how much of a material's dry weight is left under water."""

from flotation.boat import Method
from flotation.rulebook import Material, RuleBook
from flotation.workings import Line, Mark, Source, Term, work_out

_WOOD = "wood is given no lift; sources disagree, the physical sign is an option"


def submergence_factor(material: Material, water: Term, method: Method, guide: RuleBook) -> Line:
    """The factor K from dry weight to weight under water, in fresh water.

    material  with a published factor, a factor of its own, or a density
    water     density of the water, kg/m3, symbol "water"; used with a material's density only
    method    which of several published factors counts; whether wood lifts
    guide     the handbook, for the formula
    Returns a Line without dimension.

    K = 1 - water / density, or as published. A material lighter than water has K below zero: it
    lifts. For wood this is not credited unless `method.wood_lifts`; wood that is heavier than
    water weighs all the same.
    """
    formula, terms = _formula(material, water, method)
    held = material.is_wood and not method.wood_lifts
    return work_out(
        f"K of {material.name}",
        f"max({formula}, 0)" if held else formula,
        terms,
        unit="1",
        source=guide.clause("factor").source,
        note=_WOOD if held else "",
    )


def _formula(material: Material, water: Term, method: Method) -> tuple[str, list[Term]]:
    if material.published:
        own = [factor for factor in material.published if factor.name.startswith("handbook")]
        chosen = own if own and method.material_factor == "handbook" else material.published
        terms = [factor.term(f"K_{factor.name}") for factor in chosen]
        symbols = ", ".join(term.symbol for term in terms)
        return (f"max({symbols})" if len(terms) > 1 else symbols), terms
    if material.submergence is not None:
        return "K_stated", [Term("K_stated", material.submergence, "1", _cited(material))]
    if material.density is None:
        raise ValueError(f"{material.name} has neither a factor nor a density")
    return "1 - water / density", [
        water,
        Term("density", material.density, "kg/m3", _cited(material)),
    ]


def _cited(material: Material) -> Source:
    """The material's own citation; a shop's own material has its entry and is stated."""
    return material.citation or Source(material.source, mark=Mark(material.mark))
