"""pH, neutralisation and free base against published figures."""

from __future__ import annotations

import pytest

from diagnose.science import ph

# Source: Emerson, Russo, Lund and Thurston 1975, pKa of ammonium at 10, 20, 25, 30, 40 °C.
AMMONIA = {10: 9.731, 20: 9.402, 25: 9.246, 30: 9.095, 40: 8.808}
# Source: Bates and Pinching 1951, pKa of monoethanolammonium.
ETHANOLAMINE = {10: 9.966, 20: 9.647, 25: 9.496, 30: 9.350, 40: 9.072}


@pytest.mark.parametrize("temperature", AMMONIA)
def test_pka(temperature: float) -> None:
    assert ph.ammonia_pka(temperature) == pytest.approx(AMMONIA[int(temperature)], abs=6e-4)
    assert ph.ethanolamine_pka(temperature) == pytest.approx(ETHANOLAMINE[int(temperature)], abs=6e-4)


# Source: Emerson's law as several public programs evaluate it, at 25 °C.
@pytest.mark.parametrize(
    ("value", "share"), [(7.0, 0.56), (7.5, 1.77), (8.0, 5.37), (9.0, 36.2), (9.5, 64.2)]
)
def test_free_ammonia_at_25_degrees(value: float, share: float) -> None:
    assert ph.free_base_fraction(value, 25) == pytest.approx(share, abs=0.05)


# Source: an aqueous speciation program (PHREEQC with its own database) at pH 9.
@pytest.mark.parametrize(("temperature", "share"), [(10, 15.61), (25, 36.14), (40, 60.76)])
def test_free_ammonia_agrees_with_a_speciation_program(temperature: float, share: float) -> None:
    assert ph.free_base_fraction(9, temperature) == pytest.approx(share, abs=0.3)


def test_acid_number_by_its_definition() -> None:
    # Source: ISO 2114: an acid number of 56.1 mg KOH/g is one mole of acid groups per kg of resin.
    amine = ph.amine_for_neutralisation(100.0, 56.1056, 0.0, 100.0, 17.031)
    assert amine == pytest.approx(17.031, rel=1e-9)  # one mole of ammonia for 1 kg of resin
