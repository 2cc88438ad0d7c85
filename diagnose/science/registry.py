"""All sums by name, for the rules, the screens and the command line."""

from __future__ import annotations

from collections.abc import Mapping

from diagnose.errors import OutsideValidity
from diagnose.science import dosing, drying, ph, tone, viscosity, wetting
from diagnose.science.sums import Answer, Input, Sum, Value, evaluate_sum

__all__ = ["SUMS", "Answer", "Input", "Sum", "Value", "evaluate"]

SUMS: Mapping[str, Sum] = {
    item.name: item for module in (viscosity, ph, wetting, dosing, drying, tone) for item in module.SUMS
}


def evaluate(name: str, values: Mapping[str, Value]) -> Answer:
    """Run a sum by name. Raises OutsideValidity for an unknown name or inputs that it cannot take."""
    if name not in SUMS:
        raise OutsideValidity(f"there is no sum `{name}`.")
    return evaluate_sum(SUMS[name], values)
