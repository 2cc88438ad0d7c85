"""Sums of pH and neutralisation."""

from __future__ import annotations

from diagnose.errors import OutsideValidity
from diagnose.science.sums import Input, Sum


def amine_for_ph(ph_now: float, ph_target: float, amine_per_ph: float) -> float:
    """Amine to add, g per kg of ink, from the ink's own bench figure (g/kg that raise pH by one)."""
    if ph_target <= ph_now:
        raise OutsideValidity("the pH is not below its target: amine would make it worse.")
    return (ph_target - ph_now) * amine_per_ph


def ammonia_pka(temperature: float) -> float:
    """pKa of ammonium at a temperature in °C: 0.09018 + 2729.92 / T (Emerson and others 1975)."""
    return 0.09018 + 2729.92 / (temperature + 273.15)


def free_base_fraction(ph: float, temperature: float) -> float:
    """Share (%) of ammonia present as the free, volatile base at a pH and a temperature in °C."""
    return float(100.0 / (1.0 + 10.0 ** (ammonia_pka(temperature) - ph)))


SUMS = (
    Sum(
        "amine_for_ph",
        "Amine to reach a pH",
        "g/kg",
        (
            Input("ph_now", "pH", "pH now", 5.0, 11.0),
            Input("ph_target", "pH", "pH wanted", 5.0, 10.5),
            Input("amine_per_ph", "g/kg", "Amine that raises this ink by one pH", 0.1, 20.0),
        ),
        amine_for_ph,
        "amine = (pH wanted − pH now) × amine per pH",
        "common practice, no source: the slope of the ink's own bench titration",
        "Titrate 1 kg of the ink on the bench for the slope; buffered inks need more as they come nearer.",
        {"ph_now": 8.0, "ph_target": 8.8, "amine_per_ph": 2.0},
        "amine to add, per kg of ink",
        0.2,
    ),
    Sum(
        "free_base_fraction",
        "Free ammonia at a pH and temperature",
        "%",
        (Input("ph", "pH", "pH", 4.0, 12.0), Input("temperature", "degC", "Ink temperature", 0.0, 50.0)),
        free_base_fraction,
        "free share = 1 / (1 + 10^(pKa − pH)), pKa = 0.09018 + 2729.92 / T",
        "Emerson, Russo, Lund and Thurston 1975",
        "Only the free base evaporates: a warm pan at high pH loses ammonia fastest.",
        {"ph": 9.0, "temperature": 25.0},
        "free base",
    ),
)
