"""All sums by name, and by topic, for the rules, the screens and the command line.

A topic's module is loaded when one of its sums is asked for: a diagnosis needs few of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from importlib import import_module

from diagnose.errors import OutsideValidity
from diagnose.science.sums import Answer, Input, Sum, Value, evaluate_sum

__all__ = ["SUMS", "TOPICS", "Answer", "Input", "Sum", "Value", "evaluate"]

_MODULES: Mapping[str, tuple[str, str]] = {
    "Viscosity": (
        "viscosity",
        "water_for_viscosity extender_for_viscosity fresh_ink_for_viscosity cooling_for_viscosity "
        "viscosity_after_water viscosity_at_temperature activation_energy viscosity_from_two "
        "dynamic_viscosity kinematic_viscosity",
    ),
    "Letting down and making up": (
        "letdown",
        "water_for_solids solids_after_water evaporation_makeup concentrate_for_solids "
        "strength_after_addition density_after_water blend_viscosity",
    ),
    "Water and alcohol": ("solvent", "alcohol_water_viscosity blend_for_viscosity viscosity_after_blend"),
    "pH and neutralisation": (
        "ph",
        "amine_for_ph amine_from_bench ph_after_amine amine_response amine_for_neutralisation "
        "neutralisation_degree free_base_fraction free_base_ethanolamine time_to_ph_limit "
        "fresh_ink_for_ph fresh_ink_to_hold_ph ph_after_exchange",
    ),
    "Doses": ("dosing", "defoamer_step wetting_agent_step amount_of_ink next_step"),
    "Bench ladders": ("bench", "addition_from_bench wetting_agent_from_bench"),
    "Wetting and treatment": (
        "wetting",
        "wetting_margin treat_level_needed surface_tension_needed corona_power_needed "
        "corona_power_density corona_watts_needed treat_storage_limit surface_age "
        "water_surface_tension",
    ),
    "Dynamic surface tension": ("dynamic", "tension_at_age tension_at_speed"),
    "Contact angles": (
        "contact",
        "work_of_adhesion spreading_coefficient surface_energy polar_part contact_angle",
    ),
    "Air and foam": (
        "foam",
        "air_content density_with_air coat_lost_to_air viscosity_with_air foam_left foam_half_life "
        "bottle_foam_made bottle_foam_left",
    ),
    "Cells": (
        "cells",
        "stylus_depth engraved_volume lasered_volume screen_from_cells volume_after_wear "
        "depth_lost_from_volume plugged_share",
    ),
    "Ink film, use and cost": (
        "film",
        "coat_weight volume_for_coat wet_film coat_wet solids_by_volume dry_film ink_per_area water_per_area "
        "ink_per_hour transfer_from_use mileage ink_cost",
    ),
    "Drying": (
        "drying",
        "water_to_dry heat_for_water residence_time greatest_speed speed_for_load "
        "air_temperature_needed evaporation_capacity heat_transfer_shown dryer_speed",
    ),
    "Dryer air": (
        "air",
        "humidity_ratio relative_humidity dew_point least_chill_water wet_bulb dry_air_flow "
        "exhaust_humidity air_for_water recirculation_limit",
    ),
    "Press settings": (
        "press",
        "air_speed_needed exhaust_change impression_change treater_change web_pull tension_for_gauge "
        "warm_up_time safe_speed humidity_after_exhaust",
    ),
    "Dryer on the job": ("dryer", "drying_time exhaust_on_press vapour_on_press"),
    "Air jets": ("jets", "slot_jet_transfer round_jet_transfer"),
    "Co-solvent vapour": ("vapour", "air_for_vapour share_of_limit"),
    "Tone and density": (
        "tone",
        "tone_gain tone_value tone_value_with_n tint_density print_contrast density_after_change "
        "film_for_density density_after_wear",
    ),
    "Colour": ("colour", "colour_difference spot_tone_value colour_drift"),
    "Repeat marks": ("repeats", "circumference gear_mark_distance oscillation_mark_distance mark_frequency"),
    "Dispersion": (
        "dispersion",
        "settling_speed settled_in pigment_volume critical_pigment_volume binder_ratio "
        "binder_ratio_after varnish_for_share let_down_portions",
    ),
    "Recipe": ("recipe", "voc_content voc_less_water"),
    "After a change": (
        "after",
        "share_after_addition addition_for_share exchange_for_share share_after_exchange "
        "viscosity_after_addition density_after_dilution speed_after_water speed_that_dries "
        "speed_change_to_dry solids_from_volatiles solids_for_speed",
    ),
    "After a change of the ink": (
        "after_ink",
        "strength_after_extender strength_after_concentrate density_after_concentrate "
        "density_after_stronger_ink density_after_strength tension_after_agent tension_after_dose "
        "tension_after_dilution degree_after_amine",
    ),
    "After a change at the press": (
        "after_press",
        "residual_after_speed residual_after_speed_change residual_after_air_temperature "
        "residual_after_air_speed residual_after_coat residual_after_solids web_temperature_after_air "
        "treat_after_change treat_after_power reel_after_standing",
    ),
    "After a change of cells": (
        "after_cells",
        "coat_after_depth depth_after_volume density_after_volume density_after_coat",
    ),
    "Colour strength": (
        "strength",
        "volume_to_add volume_to_take_off extender_for_density concentrate_for_density varnish_for_strength "
        "concentrate_for_strength fresh_ink_for_density depth_to_take_off",
    ),
    "Flow cups": ("cup_sums", ""),
}
"""Topic, in the order of listing, to its module and the names of its sums; those of the cups are made."""

_HOME = {name: module for module, names in _MODULES.values() for name in names.split()}
_CUPS = _MODULES["Flow cups"][0]


def _sums_of(module: str) -> tuple[Sum, ...]:
    sums: tuple[Sum, ...] = import_module(f"diagnose.science.{module}").SUMS
    return sums


class _Topics(Mapping[str, tuple[Sum, ...]]):
    """The sums of each topic."""

    def __getitem__(self, topic: str) -> tuple[Sum, ...]:
        return _sums_of(_MODULES[topic][0])

    def __iter__(self) -> Iterator[str]:
        return iter(_MODULES)

    def __len__(self) -> int:
        return len(_MODULES)


class _Sums(Mapping[str, Sum]):
    """Every sum by its name."""

    def __init__(self) -> None:
        self._found: dict[str, Sum] = {}

    def __getitem__(self, name: str) -> Sum:
        if name not in self._found:
            self._found.update((item.name, item) for item in _sums_of(_HOME.get(name, _CUPS)))
        return self._found[name]

    def __contains__(self, name: object) -> bool:
        return name in _HOME or any(item.name == name for item in _sums_of(_CUPS))

    def __iter__(self) -> Iterator[str]:
        return (item.name for topic in _MODULES for item in TOPICS[topic])

    def __len__(self) -> int:
        return sum(len(TOPICS[topic]) for topic in _MODULES)


TOPICS: Mapping[str, tuple[Sum, ...]] = _Topics()
"""Sums by topic, in the order in which they are listed."""
SUMS: Mapping[str, Sum] = _Sums()


def evaluate(name: str, values: Mapping[str, Value]) -> Answer:
    """Run a sum by name. Raises OutsideValidity for an unknown name or inputs that it cannot take."""
    if name not in SUMS:
        raise OutsideValidity(f"there is no sum `{name}`.")
    return evaluate_sum(SUMS[name], values)
