"""Sums of pH and neutralisation: how much amine, how fast it leaves, and when amine is the wrong answer."""

from __future__ import annotations

from diagnose.errors import OutsideValidity
from diagnose.science.sums import Input, Sum

KOH = 56.1056
"""g/mol of potassium hydroxide, in which acid numbers are given (mg per g of resin)."""


def amine_for_ph(ph_now: float, ph_target: float, amine_per_ph: float) -> float:
    """Amine to add, g per kg of ink, from the ink's own bench figure (g/kg that raise pH by one)."""
    if ph_target <= ph_now:
        raise OutsideValidity("the pH is not below its target: amine would make it worse.")
    return (ph_target - ph_now) * amine_per_ph


def amine_from_bench(ph_before: float, ph_after: float, amine_added: float) -> float:
    """An ink's bench figure: amine (g/kg) that raises its pH by one, from one addition (g/kg)."""
    if ph_after - ph_before < 0.1:
        raise OutsideValidity(
            "a rise of less than 0.1 pH tells nothing: add more on the bench, or test the meter."
        )
    return amine_added / (ph_after - ph_before)


def amine_response(ph_before: float, ph_after: float, amine_added: float, amine_per_ph: float) -> float:
    """How far pH rose on a dose (g/kg), as % of what the bench figure (g/kg per pH) promised."""
    return 100.0 * (ph_after - ph_before) * amine_per_ph / amine_added


def ph_after_amine(ph_now: float, amine_added: float, amine_per_ph: float) -> float:
    """The pH that a dose (g/kg) promises by the bench figure: `amine_for_ph` read the other way."""
    return ph_now + amine_added / amine_per_ph


def amine_for_neutralisation(
    resin_share: float, acid_number: float, degree_now: float, degree_target: float, amine_molar_mass: float
) -> float:
    """Amine (g per kg of ink) for a step of neutralisation, for an amine that takes up one acid group.

    Dry resin in mass % of the ink, its acid number in mg KOH/g (= g/kg), degrees in %, amine in g/mol.
    """
    if degree_target < degree_now:
        raise OutsideValidity(
            "the resin is neutralised beyond its target already: amine would make it worse."
        )
    acid = 10.0 * resin_share * acid_number / KOH
    return acid * (degree_target - degree_now) / 100.0 * amine_molar_mass / 1000.0


def neutralisation_degree(
    resin_share: float, acid_number: float, amine: float, amine_molar_mass: float
) -> float:
    """Degree of neutralisation (%) from the amine in the ink (g/kg) and the resin's acid number (g/kg)."""
    return 100.0 * (amine / amine_molar_mass * 1000.0) / (10.0 * resin_share * acid_number / KOH)


def ammonia_pka(temperature: float) -> float:
    """pKa of ammonium at a temperature in °C: 0.09018 + 2729.92 / T (Emerson and others 1975)."""
    return 0.09018 + 2729.92 / (temperature + 273.15)


def ethanolamine_pka(temperature: float) -> float:
    """pKa of monoethanolammonium at a temperature in °C (Bates and Pinching 1951)."""
    kelvin = temperature + 273.15
    return 2677.91 / kelvin + 0.3869 + 0.0004277 * kelvin


def free_base_fraction(ph: float, temperature: float) -> float:
    """Share (%) of ammonia present as the free, volatile base at a pH and a temperature in °C."""
    return float(100.0 / (1.0 + 10.0 ** (ammonia_pka(temperature) - ph)))


def free_base_ethanolamine(ph: float, temperature: float) -> float:
    """Share (%) of monoethanolamine present as the free base at a pH and a temperature in °C."""
    return float(100.0 / (1.0 + 10.0 ** (ethanolamine_pka(temperature) - ph)))


def time_to_ph_limit(ph_then: float, ph_now: float, hours_between: float, ph_limit: float) -> float:
    """Hours until a falling pH reaches its limit, drawn on straight from two readings."""
    if ph_now >= ph_then:
        raise OutsideValidity("the pH is not falling.")
    if ph_limit >= ph_now:
        raise OutsideValidity("the pH is at its limit or below it already.")
    return (ph_now - ph_limit) * hours_between / (ph_then - ph_now)


def amine_doubts(
    response: float | None = None, microbial_count: float | None = None, fall_per_hour: float | None = None
) -> tuple[str, ...]:
    """Reasons to stop dosing amine and look further; empty when nothing speaks against it.

    `response` in % of the bench figure (see `amine_response`), `microbial_count` in CFU/mL,
    `fall_per_hour` in pH. Limits: common practice, no source.
    """
    doubts: list[str] = []
    if response is not None and response < 50.0:
        doubts.append(
            "pH rose less than half of what the bench figure promised: an acid is being made or taken up "
            "(spoiled ink, carbon dioxide from air whipped in, acid wash water), or the resin buffers here."
        )
    if microbial_count is not None and microbial_count > 1e4:
        doubts.append("microbes are eating the ink and making acid: amine only feeds a lost batch.")
    if fall_per_hour is not None and fall_per_hour > 0.3:
        doubts.append("amine leaves faster than it can be fed: cool and cover the pan before adding more.")
    return tuple(doubts)


_TEMPERATURE = Input("temperature", "degC", "Ink temperature", 0.0, 50.0)
_PH = Input("ph", "pH", "pH", 4.0, 12.0)
_NOW = Input("ph_now", "pH", "pH now", 5.0, 11.0)
_WANTED = Input("ph_target", "pH", "pH wanted", 5.0, 11.0)
_FRESH = Input("ph_fresh", "pH", "pH of the fresh ink", 5.0, 11.0)
_PER_PH = Input("amine_per_ph", "g/kg", "Amine that raises this ink by one pH", 0.1, 20.0)
_BEFORE = Input("ph_before", "pH", "pH before", 4.0, 11.0)
_AFTER = Input("ph_after", "pH", "pH after ten minutes of stirring", 4.0, 11.5)
_ADDED = Input("amine_added", "g/kg", "Amine added", 0.05, 30.0)
_RESIN = Input("resin_share", "%", "Dry acid resin in the ink", 1.0, 60.0)
_ACID = Input("acid_number", "g/kg", "Acid number of the dry resin (mg KOH/g)", 5.0, 350.0)
_MOLAR = Input("amine_molar_mass", "g/mol", "Molar mass of the amine", 17.0, 250.0)
_BENCH = "common practice, no source: the slope of the ink's own bench titration"
_CARE = (
    "Amines burn skin and eyes and their vapour harms: gloves, goggles, extraction, safety data sheet. "
    "Dilute one to three with water and feed slowly under stirring."
)


def fresh_ink_for_ph(ph_now: float, ph_target: float, ph_fresh: float) -> float:
    """Ink to exchange for fresh (% of the pan) to bring its pH to a target.

    Taken as a straight line of pH against the share, which holds over a few tenths where both inks are
    buffered alike. Raises OutsideValidity unless the target lies between the pan's pH and the fresh ink's.
    """
    if not min(ph_now, ph_fresh) <= ph_target <= max(ph_now, ph_fresh) or ph_now == ph_fresh:
        raise OutsideValidity("the pH wanted must lie between that of the pan and that of the fresh ink.")
    return 100.0 * (ph_now - ph_target) / (ph_now - ph_fresh)


def fresh_ink_to_hold_ph(ph_loss: float, ph_target: float, ph_fresh: float) -> float:
    """Fresh ink (% of the pan, each half hour) that holds a pH against its loss (pH in an hour)."""
    if ph_fresh <= ph_target:
        raise OutsideValidity("the fresh ink must be above the pH that is to be held.")
    return 100.0 * 0.5 * ph_loss / (ph_fresh - ph_target)


def ph_after_exchange(ph_now: float, exchanged: float, ph_fresh: float) -> float:
    """pH after a part of the ink (%) was exchanged for fresh ink; a straight line of pH, for small steps."""
    return ph_now + exchanged / 100.0 * (ph_fresh - ph_now)


SUMS = (
    Sum(
        "amine_for_ph",
        "Amine to reach a pH",
        "g/kg",
        (_NOW, Input("ph_target", "pH", "pH wanted", 5.0, 10.5), _PER_PH),
        amine_for_ph,
        "amine = (pH wanted − pH now) × amine per pH",
        _BENCH,
        f"Titrate 1 kg of the ink for the slope; buffered inks need more as they come nearer. {_CARE}",
        {"ph_now": 8.0, "ph_target": 8.8, "amine_per_ph": 2.0},
        "amine to add, per kg of ink",
        0.2,
    ),
    Sum(
        "amine_from_bench",
        "Bench figure of an ink: amine per pH",
        "g/kg",
        (_BEFORE, _AFTER, _ADDED),
        amine_from_bench,
        "amine per pH = amine added / (pH after − pH before)",
        _BENCH,
        f"Add to 1 kg what you would add to the pan, stir ten minutes, read. {_CARE}",
        {"ph_before": 7.8, "ph_after": 8.3, "amine_added": 1.0},
        "amine that raises one kg by one pH",
    ),
    Sum(
        "ph_after_amine",
        "pH after a dose of amine",
        "pH",
        (_NOW, _ADDED, _PER_PH),
        ph_after_amine,
        "pH = pH now + amine / amine per pH",
        _BENCH,
        "",
        {"ph_now": 8.0, "amine_added": 1.0, "amine_per_ph": 2.0},
        "pH",
        0.01,
    ),
    Sum(
        "amine_response",
        "Did the pH follow the dose?",
        "%",
        (_BEFORE, _AFTER, _ADDED, _PER_PH),
        amine_response,
        "response = (pH after − pH before) × amine per pH / amine added",
        _BENCH,
        "Under half: stop dosing. Spoiled ink, carbon dioxide from whipped-in air, or another resin "
        "than you think.",
        {"ph_before": 8.0, "ph_after": 8.1, "amine_added": 1.0, "amine_per_ph": 2.0},
        "rise, of what was promised",
    ),
    Sum(
        "amine_for_neutralisation",
        "Amine for a degree of neutralisation",
        "g/kg",
        (
            _RESIN,
            _ACID,
            Input("degree_now", "%", "Degree of neutralisation now", 0.0, 150.0),
            Input("degree_target", "%", "Degree wanted", 0.0, 150.0),
            _MOLAR,
        ),
        amine_for_neutralisation,
        "amine = 10 × resin × acid number / 56.1 × step × molar mass / 1000",
        "stoichiometry; acid number as defined in ISO 2114 (mg of KOH per g)",
        f"One amine group for one acid group; volatile amines lose part before they work. {_CARE}",
        {
            "resin_share": 15.0,
            "acid_number": 65.0,
            "degree_now": 60.0,
            "degree_target": 80.0,
            "amine_molar_mass": 89.14,
        },
        "amine to add, per kg of ink",
        means={"step": "degree wanted − degree now"},
    ),
    Sum(
        "neutralisation_degree",
        "Degree of neutralisation",
        "%",
        (_RESIN, _ACID, Input("amine", "g/kg", "Amine in the ink", 0.0, 60.0), _MOLAR),
        neutralisation_degree,
        "degree = amine / molar mass / (resin × acid number / 56.1)",
        "stoichiometry; acid number as defined in ISO 2114 (mg of KOH per g)",
        "",
        {"resin_share": 15.0, "acid_number": 65.0, "amine": 10.0, "amine_molar_mass": 89.14},
        "degree",
    ),
    Sum(
        "free_base_fraction",
        "Free ammonia at a pH and temperature",
        "%",
        (_PH, _TEMPERATURE),
        free_base_fraction,
        "free share = 1 / (1 + 10^(pKa − pH)), pKa = 0.09018 + 2729.92 / T",
        "Emerson, Russo, Lund and Thurston 1975",
        "Only the free base evaporates: a warm pan at high pH loses ammonia fastest.",
        {"ph": 9.0, "temperature": 25.0},
        "free base",
    ),
    Sum(
        "free_base_ethanolamine",
        "Free monoethanolamine at a pH and temperature",
        "%",
        (_PH, _TEMPERATURE),
        free_base_ethanolamine,
        "free share = 1 / (1 + 10^(pKa − pH)), pKa = 2677.91 / T + 0.3869 + 0.0004277 T",
        "Bates and Pinching 1951",
        "Boils far above ammonia: pH holds on press, but what stays in the film keeps it water-sensitive.",
        {"ph": 9.0, "temperature": 25.0},
        "free base",
    ),
    Sum(
        "time_to_ph_limit",
        "Time until a falling pH reaches its limit",
        "h",
        (
            Input("ph_then", "pH", "pH at the first reading", 5.0, 11.0),
            _NOW,
            Input("hours_between", "h", "Time between the readings", 0.1, 72.0),
            Input("ph_limit", "pH", "Lowest pH allowed", 5.0, 11.0),
        ),
        time_to_ph_limit,
        "time = (pH now − limit) × time between / (pH then − pH now)",
        "a straight line through two readings; real loss slows down, so this is on the early side",
        "A fall over 0.3 pH an hour is a warm or open pan: cool and cover before feeding amine.",
        {"ph_then": 9.0, "ph_now": 8.8, "hours_between": 2.0, "ph_limit": 8.5},
        "time left",
        0.15,
    ),
    Sum(
        "fresh_ink_for_ph",
        "Fresh ink to bring the pH back",
        "%",
        (_NOW, _WANTED, _FRESH),
        fresh_ink_for_ph,
        "share = (pH now − wanted) / (pH now − fresh)",
        "mixing in a straight line, for small steps between inks of one kind; common practice, no source",
        "Exchange half, circulate ten minutes, measure, then the rest.",
        {"ph_now": 9.8, "ph_target": 9.4, "ph_fresh": 8.8},
        "to exchange, of the ink in circulation",
        0.2,
    ),
    Sum(
        "fresh_ink_to_hold_ph",
        "Fresh ink each half hour to hold the pH",
        "%",
        (Input("ph_loss", "pH", "pH lost in an hour", 0.01, 2.0), _WANTED, _FRESH),
        fresh_ink_to_hold_ph,
        "share = ½ × loss an hour / (fresh − held)",
        "balance of what goes and what comes, mixing in a straight line; common practice, no source",
        "Ink that the job takes is replaced anyway: only what is over that makes the pan fuller.",
        {"ph_loss": 0.1, "ph_target": 8.6, "ph_fresh": 9.2},
        "of the ink in circulation, each half hour",
        0.2,
    ),
    Sum(
        "ph_after_exchange",
        "pH after an exchange for fresh ink",
        "pH",
        (_NOW, Input("exchanged", "%", "Part of the ink exchanged", 0.0, 100.0), _FRESH),
        ph_after_exchange,
        "pH = now + share × (fresh − now)",
        "mixing in a straight line, for small steps between inks of one kind; common practice, no source",
        "Circulate ten minutes, then measure.",
        {"ph_now": 9.8, "exchanged": 20.0, "ph_fresh": 8.8},
        "pH",
        0.2,
    ),
)
