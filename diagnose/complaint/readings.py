"""Measurements become readings: quantity found, unit checked, target read, value judged possible."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from diagnose import units
from diagnose.complaint.model import Measurement, Range, Reading, Unknown, Word
from diagnose.errors import Faults, FlawtreeError
from diagnose.knowledge.model import Knowledge, Method, Quantity
from diagnose.knowledge.vocabulary import Ref, Vocabulary
from diagnose.knowledge.words import fold, stem

_PLACE_WORDS = re.compile(
    r"""\b(?:(?:in|of|at|on|from|before|after)\s+)?(?:the\s+)?
    (?: (?:print(?:ing)?\s+)?(?:unit|station|deck|colou?r\s+unit)\s*(?:no\.?\s*)?
          (?:\d+|one|two|three|four|five|six|seven|eight|nine|ten)
      | (?:operator|drive|gear|left|right|treated|untreated|printed|back|inner|outer)[\s-]+(?:side|edge)
      | (?:good|bad|clean|faulty)[\s-]+(?:lane|side|area|reel|roll|place|spot|zone)
      | lane\s+\w+
      | between\s+(?:units?|stations?|decks?|colou?rs?)\s+\w+\s+and\s+(?:(?:unit|station|deck)\s+)?\w+
      | same\s+(?:drum|reel|roll|lot) )\b""",
    re.IGNORECASE | re.VERBOSE,
)
_OF_ANOTHER_MATTER = re.compile(
    r"\bof\s+(?:\w+\s+)?(?:water|paper|board|goods|product|detergent|solution|cleaner|soap|adhesive|glue)\b"
    r"|\b(?:of|in)\s+(?:the\s+)?(?:opv|overprint|varnish|lacquer)\b"
    r"(?![\s-]based)",
    re.IGNORECASE,
)
"""Where the name of a quantity does not hold these words, they make it another thing's: the ink's pH is not
the "pH of water flushed through the hoses"."""
_PROPERTIES = (
    "point hardness friction roughness conductivity thickness gloss whiteness porosity voltage count"
)
OTHER_PROPERTIES = frozenset(map(stem, _PROPERTIES.split()))
"""What another reading is of the same thing: the "dew point of dryer air" is no temperature of it."""
SAID_FOR = {("g/kg", "g/kg_air"): "g/kg_air"}
"""Short names of units in the trade: of a humidity g/kg means a kilogram of dry air."""
LONGEST_REMARK = 4
"""Words that may stand after a target; what is longer is no remark on it."""
_ANGLE = re.compile(r"\b\d+(?:\.\d+)?\s*°")
_AT = re.compile(r"\s*(?:\bat\b|@)\s*(\d+(?:\.\d+)?\s*°?\s*[CF])\s*$", re.IGNORECASE)
_REFERENCE = re.compile(r"\b(?:good|clean|reference|comparison)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Reader:
    """What is needed to understand a measurement: the knowledge and its vocabulary."""

    knowledge: Knowledge
    vocabulary: Vocabulary

    def read(self, line: Measurement, faults: Faults) -> Reading | Unknown | None:
        """One line of `measured`: a reading, or the words that were not understood, or None with a fault."""
        method = self._method(line.method)
        unit = line.unit.text if line.unit else None
        found = self._by_place(line, unit, method) or self.quantity(line.quantity.text, unit, method)
        if found is None:
            return self._unread(line)
        quantity, where, sure = found
        if not sure and line.unit and not _unit_is_own(line.unit.text, quantity):
            return self._unread(line)
        if line.unit and units.canonical(line.unit.text) is None:
            return Unknown(_measured_text(line), "unit", units.nearest_units(line.unit.text), line.unit.place)
        if sure:
            return self._reading(line, quantity, where, faults)
        # What was only taken for this quantity and cannot be its value was another quantity.
        doubts = Faults()
        reading = self._reading(line, quantity, where, doubts)
        return self._unread(line) if doubts.found else reading

    def _unread(self, line: Measurement) -> Unknown:
        near = self.vocabulary.nearest(line.quantity.text, ("quantity",))
        return Unknown(_measured_text(line), "measured", near, line.quantity.place)

    def _reading(self, line: Measurement, quantity: Quantity, where: str, faults: Faults) -> Reading | None:
        method = self._method(line.method or line.where)
        unit, assumed = self._unit(line, quantity, faults)
        if unit is None:
            return None
        if line.value < 0.0 and units.same_dimension(
            unit, "V"
        ):  # polarity tells nothing of a charge's height
            line = replace(line, value=-line.value)
        self._possible(line, quantity, unit, method, faults)
        target = _target(line.target, quantity, unit, faults)
        at = _temperature(line.at)
        at_place = f"at {line.at.text}" if line.at and at is None else ""
        # What else the name holds tells it apart too: "bond before cooking", "bond after cooking".
        place_said = ", ".join(
            part for part in (line.where.text if line.where else "", where, at_place) if part
        )
        return Reading(
            quantity=quantity.id,
            value=line.value,
            unit=unit,
            said=line.quantity.text,
            method=method.id if method else None,
            method_said=line.method.text if line.method else "",
            target=target,
            where=place_said,
            at_celsius=at,
            unit_assumed=assumed,
            reference=bool(_REFERENCE.search(place_said)),
            place=line.quantity.place,
        )

    def _by_place(
        self, line: Measurement, unit: str | None, method: Method | None
    ) -> tuple[Quantity, str, bool] | None:
        """The quantity that name and place make together: "web temperature" at the "rewind"."""
        if line.where is None:
            return None
        match = self.vocabulary.look_up(f"{line.quantity.text} {line.where.text}", ("quantity",))
        if match is None or match.how != "exact":
            return None
        return self._meant(line.quantity.text, match.refs, unit, method), "", True

    def quantity(
        self, said: str, unit: str | None = None, method: Method | None = None
    ) -> tuple[Quantity, str, bool] | None:
        """The quantity a text names, the place on press or web that it carries, and whether that is sure.

        It is not sure when words are left over that are neither the quantity nor a place ("pump speed"). Of
        several quantities with one name ("ink circulation") the one that has the unit is meant, and of those
        the one that the method reads: "surface tension" by test inks is the film's.
        """
        exact = self.vocabulary.look_up(said, ("quantity",))
        if exact and exact.how == "exact":
            return self._meant(said, exact.refs, unit, method), "", True
        where = ", ".join(found.group(0).strip(" ,") for found in _PLACE_WORDS.finditer(said))
        rest = _ANGLE.sub(" ", _PLACE_WORDS.sub(" ", said)).strip(" ,;:")
        match = self.vocabulary.look_up(rest, ("quantity",)) if rest else None
        match = match or exact or self.vocabulary.within(rest, "quantity")
        if match is None or (match.rest and _OF_ANOTHER_MATTER.search(rest)):
            return None
        if match.how == "part" and OTHER_PROPERTIES.intersection(match.rest):
            return None
        where = ", ".join(part for part in (where, " ".join(match.rest)) if part)
        return self._meant(said, match.refs, unit, method), where, match.how != "part"

    def _meant(self, said: str, refs: tuple[Ref, ...], unit: str | None, method: Method | None) -> Quantity:
        """Of several with one name that of the unit, then of the method, then whose title has the words."""
        found = [self.knowledge.quantities[ref.id] for ref in refs]
        fitting = [quantity for quantity in found if unit and _unit_fits(unit, quantity)] or found
        read = [quantity for quantity in fitting if method and method.id in quantity.methods]
        own = [quantity for quantity in fitting if set(fold(said)) <= set(fold(quantity.title))]
        return (read or own or fitting)[0]

    def _method(self, said: Word | None) -> Method | None:
        match = self.vocabulary.look_up(said.text, ("method",)) if said else None
        return self.knowledge.methods[match.refs[0].id] if match else None

    def _unit(self, line: Measurement, quantity: Quantity, faults: Faults) -> tuple[str | None, bool]:
        if line.unit is None:
            return quantity.unit, True
        said = units.canonical(line.unit.text)
        said = SAID_FOR.get((said or "", quantity.unit), said)
        if said is None or not fits(said, quantity):
            faults.add(
                f"`{line.unit.text}` is not a unit of {quantity.title.lower()} (given in {quantity.unit}).",
                line.unit.place,
                code="wrong-dimension",
            )
            return None, False
        return said, False

    def _possible(
        self, line: Measurement, quantity: Quantity, unit: str, method: Method | None, faults: Faults
    ) -> None:
        from diagnose.science import cups

        if unit == "s" and quantity.unit != "s":
            if method and method.cup and cups.judge_time(method.cup, line.value) == "impossible":
                faults.add(
                    f"{line.value:g} s is not possible with {method.title}.", line.place, code="impossible"
                )
            elif line.value <= 0:
                faults.add("a flow time is more than 0 s.", line.place, code="impossible")
            return
        low, high = quantity.possible
        if not units.same_dimension(unit, quantity.unit):
            if line.value < 0 and low is not None and low >= 0:
                faults.add(f"{quantity.title} is never below 0.", line.place, code="impossible")
            return
        value = units.convert(line.value, unit, quantity.unit) if unit != quantity.unit else line.value
        slack = 1e-9 * max(1.0, abs(value))
        if (low is not None and value < low - slack) or (high is not None and value > high + slack):
            bounds = (
                f"{'' if low is None else f'{low:g}'}..{'' if high is None else f'{high:g}'} {quantity.unit}"
            )
            faults.add(
                f"{quantity.title} of {line.value:g} {unit} is not possible (possible: {bounds}).",
                line.place,
                code="impossible",
            )


def _unit_fits(said: str, quantity: Quantity) -> bool:
    unit = units.canonical(said)
    return unit is not None and fits(unit, quantity)


def _unit_is_own(said: str, quantity: Quantity) -> bool:
    """Whether a unit speaks for a quantity that is not sure: % beside m/s does not make g/kg an air speed."""
    unit = units.canonical(said)
    own = unit is not None and units.same_dimension(unit, quantity.unit)
    flow = unit == "s" and quantity.unit == "mm2/s"
    return own or flow or unit in quantity.also_units


def fits(unit: str, quantity: Quantity) -> bool:
    """Whether a unit can stand for a quantity: same dimension, one in use beside it, or cup seconds."""
    if any(units.same_dimension(unit, one) for one in (quantity.unit, *quantity.also_units)):
        return True
    flow = {"mm2/s", "mPa.s", "s"}
    return quantity.unit in flow and unit in flow


def _target(said: Word | None, quantity: Quantity, unit: str, faults: Faults) -> Range | None:
    """The job's own range in the unit of its reading; None where the words cannot be read."""
    if said is None:
        return None
    words, at = _meant_at(said.text)
    try:
        found = _parsed(words)
    except FlawtreeError as error:
        faults.add(f"target `{said.text}`: {error}", said.place, code="bad-target")
        return None
    if found is None:
        return None
    low, high = found.low, found.high
    if found.unit and found.unit != unit:
        if found.unit == "1":  # a dash or a stroke that is no unit here
            return None
        if not fits(found.unit, quantity):
            faults.add(
                f"target `{said.text}`: `{found.unit}` is not a unit of {quantity.title.lower()}.",
                said.place,
                code="wrong-dimension",
            )
            return None
        if units.same_dimension(found.unit, unit):
            low = None if low is None else units.convert(low, found.unit, unit)
            high = None if high is None else units.convert(high, found.unit, unit)
        else:
            return None
    return Range(low, high, said.text, at)


def _parsed(said: str) -> units.Range | None:
    """A target with or without words after it: "150 °C as set", "31-32 dyn/cm untreated"."""
    words = said.split()
    for dropped in range(min(LONGEST_REMARK, len(words) - 1) + 1):
        found = units.parse_range(" ".join(words[: len(words) - dropped]))
        if found and (not dropped or found.unit):
            return found
    return None


def _meant_at(said: str) -> tuple[str, float | None]:
    """A target's range, and the temperature (°C) that it is meant for: "18-22 s at 25 °C"."""
    found = _AT.search(said)
    if found is None:
        return said, None
    try:
        value, unit = units.parse_number_unit(found[1])
        return said[: found.start()].strip(), units.convert(value, unit or "degC", "degC")
    except FlawtreeError:
        return said, None


def _temperature(said: Word | None) -> float | None:
    """The temperature of a measurement; None where `at` names something else, which is then its place."""
    if said is None:
        return None
    try:
        value, unit = units.parse_number_unit(said.text)
        return units.convert(value, unit or "degC", "degC")
    except FlawtreeError:
        return None


def _measured_text(line: Measurement) -> str:
    unit = f" {line.unit.text}" if line.unit else ""
    target = f" (target {line.target.text})" if line.target else ""
    return f"{line.quantity.text}: {line.value:g}{unit}{target}"
