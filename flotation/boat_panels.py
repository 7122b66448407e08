"""Panels of a cavity that the foam presses on."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Panel:
    """One flat panel between its supports, as an even plate of one material.

    short_span, long_span, thickness  m; modulus  Pa, in bending
    strength          Pa that the stress should not exceed; None: not stated
    deflection_limit  m; None: not stated
    flange_width, peel_strength  m and N for each metre of the bonded flange; None: not stated
    """

    name: str
    short_span: float
    long_span: float
    thickness: float
    modulus: float
    strength: float | None
    deflection_limit: float | None
    flange_width: float | None
    peel_strength: float | None
    entry: str
