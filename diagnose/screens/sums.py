"""`flawtree sum`: the list of sums, the page of one, or one run with the user's numbers."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator
from dataclasses import replace

from diagnose.errors import FlawtreeError
from diagnose.science.registry import SUMS, TOPICS, Answer, Input, Sum, Value, evaluate
from diagnose.science.sums import amid
from diagnose.science.symbols import symbols_of
from diagnose.screens.lines import heading, labelled, number, wrapped
from diagnose.units import sign

SET = ("target", "wanted", "limit", "allowed", "step", "share", "margin", "nominal")
"""Last words of inputs that are set, not measured: no doubt comes from them."""
_READ_AS = {
    "pH": "ink_ph",
    "mN/m": "ink_surface_tension",
    "g/cm3": "ink_density",
    "m/min": "press_speed",
    "mg/m2": "residual_moisture",
    "g/kg_air": "dryer_exhaust_humidity",
}
_READ_AS_BY_NAME = {
    "solids": "ink_solids",
    "density": "print_density",
    "temperature": "ink_temperature",
    "treat": "film_surface_energy",
    "film": "film_surface_energy",
    "cell": "cell_volume",
    "room": "room_temperature",
}
"""The quantity whose method's uncertainty an input without its own takes, by unit or by first word."""


def sum_text(name: str | None, inputs: tuple[str, ...], form: str) -> str:
    """The text of `flawtree sum`. Raises FlawtreeError for an unknown sum, or an input that is bad."""
    if name is None:
        return (
            json.dumps([data(item) for item in SUMS.values()], ensure_ascii=False)
            if form == "json"
            else ("\n".join(_list()))
        )
    item = _find(name)
    if not inputs:
        return json.dumps(data(item), ensure_ascii=False) if form == "json" else "\n".join(page(item))
    values, assumed = _values(item, inputs)
    answer = evaluate(item.name, values)
    return (
        json.dumps(_answer_data(answer), ensure_ascii=False)
        if form == "json"
        else "\n".join(_run(item, answer, assumed))
    )


def _find(name: str) -> Sum:
    from rapidfuzz import process

    if name in SUMS:
        return SUMS[name]
    near = [found for found, _, _ in process.extract(name, list(SUMS), limit=3)]
    raise FlawtreeError(f"there is no sum `{name}`. Nearest: {', '.join(near)}. `flawtree sum` lists all.")


def near(name: str) -> tuple[str, ...]:
    """Sums whose names are nearly that word; none where no name is."""
    from rapidfuzz import process

    return tuple(found for found, _, _ in process.extract(name, list(SUMS), limit=2, score_cutoff=85))


def _values(item: Sum, inputs: tuple[str, ...]) -> tuple[dict[str, Value], tuple[str, ...]]:
    """What is given, and the names of the inputs whose doubt had to be assumed."""
    from rapidfuzz import process

    declared = {wanted.name: wanted for wanted in item.inputs}
    values: dict[str, Value] = {}
    assumed: list[str] = []
    for text in inputs:
        name, equals, said = text.partition("=")
        if not equals:
            raise FlawtreeError(f"`{text}` is not NAME=VALUE, such as {item.inputs[0].name}=…")
        if name not in declared:
            near = [found for found, _, _ in process.extract(name, list(declared), limit=2)]
            raise FlawtreeError(f"{item.name} has no input `{name}`. Nearest: {', '.join(near)}.")
        if name in values:
            raise FlawtreeError(f"`{name}` is given twice.")
        value = _value(declared[name], said)
        if value.sigma == 0.0 and "±" not in said and "+/-" not in said:
            sigma = _usual_doubt(declared[name], value, said)
            value = replace(value, sigma=min(sigma, declared[name].high - declared[name].low))
            assumed += [f"{amid(declared[name].title)} ±{2.0 * sigma:.2g}"] if sigma else []
        values[name] = value
    return values, tuple(assumed)


def _usual_doubt(wanted: Input, value: Value, said: str) -> float:
    """The doubt of an input that was given without one: of its usual method, at least of its last figure.

    Half of the last figure, even over its width, after JCGM 100, 4.3.7.
    """
    from diagnose import units
    from diagnose.complaint.model import Reading
    from diagnose.inference.judge import sigma_of
    from diagnose.knowledge.loader import load_knowledge

    if wanted.name.rpartition("_")[2] in SET or wanted.name.partition("_")[0] in SET:
        return 0.0
    figures = re.match(r"[-+]?\d*[.,]?(\d*)", said.strip())
    last = 10.0 ** -len(figures[1]) if figures and ("." in figures[0] or "," in figures[0]) else 1.0
    read = units.parse_value(said)
    zero = units.convert(0.0, read.unit or wanted.unit, wanted.unit)
    told = 0.5 * abs(units.convert(last, read.unit or wanted.unit, wanted.unit) - zero) / math.sqrt(3.0)
    quantity = _READ_AS_BY_NAME.get(wanted.name.partition("_")[0]) or _READ_AS.get(wanted.unit, "")
    knowledge = load_knowledge()
    known = knowledge.quantities.get(quantity)
    if known is None or not units.same_dimension(known.unit, wanted.unit):
        return told
    return max(told, sigma_of(knowledge, Reading(quantity, value.value, wanted.unit, said)))


def _value(wanted: Input, said: str) -> Value:
    """A value such as `7.6`, `38 dyn/cm` or `38±1`: number, unit if not the sum's own, uncertainty."""
    from diagnose import units

    body, _, spread = said.replace("+/-", "±").partition("±")
    if wanted.unit == "mm2/s" and (flowed := _of_cup(body.strip())):
        return flowed
    value, unit = units.parse_number_unit(body.strip())
    # What stands after ± is a range as the answers give it: two standard uncertainties.
    sigma = 0.5 * units.parse_number_unit(spread.strip())[0] if spread.strip() else 0.0
    if unit and unit != wanted.unit:
        zero = units.convert(0.0, unit, wanted.unit)
        sigma = abs(units.convert(sigma, unit, wanted.unit) - zero)
        value = units.convert(value, unit, wanted.unit)
    if not 0.0 <= sigma <= wanted.high - wanted.low:
        raise FlawtreeError(f"`{said}`: what stands after ± is a doubt between 0 and the range of the input.")
    return Value(value, sigma, said.strip() if unit else f"{said.strip()} {sign(wanted.unit)}")


def _of_cup(said: str) -> Value | None:
    """A viscosity told as seconds of a cup ("30 s Zahn 2"), by the cup's law; None for any other wording."""
    from rapidfuzz import fuzz, process, utils

    from diagnose import units
    from diagnose.complaint.model import Reading
    from diagnose.inference.inputs import in_unit
    from diagnose.knowledge.loader import load_knowledge
    from diagnose.science import cups

    try:
        read = units.parse_value(said)
    except FlawtreeError:
        return None
    if read.unit != "s":
        return None
    titles = {cup.id: cup.title for cup in cups.CUPS.values()}
    near = process.extractOne(
        read.rest, titles, scorer=fuzz.token_set_ratio, processor=utils.default_process, score_cutoff=90
    )
    if not read.rest or near is None:
        raise FlawtreeError(f"`{said}`: seconds of which cup? Such as `30 s Zahn 2`, `25 s DIN 4`.")
    here = cups.estimate(near[2], read.number)
    knowledge = load_knowledge()
    method = next(name for name, one in knowledge.methods.items() if one.cup == near[2])
    reading = Reading("ink_viscosity", read.number, "s", said, method=method)
    found = in_unit(read.number, reading, "mm2/s", knowledge)
    caveat = f"; {here.caveat}" if here.caveat else ""
    told = f"{said} ({number(here.nu)} mm²/s{caveat})"
    return replace(found, said=told) if found else Value(here.nu, 0.0, told)


def _list() -> Iterator[str]:
    yield heading("Sums of ink and press", False)
    for topic, items in TOPICS.items():
        yield ""
        yield heading(topic, False)
        for item in items:
            yield from wrapped(f"{item.name}: {item.title} [{sign(item.unit)}]", "  ", "      ")
    yield ""
    yield "`flawtree sum NAME` explains one; `flawtree sum NAME input=value …` runs it. A value may carry its"
    yield 'doubt (7.6±0.1), and a viscosity may be told in seconds of a cup ("30 s Zahn 2").'


def page(item: Sum) -> Iterator[str]:
    """A sum as a page: what it is, its formula, symbols with their range, doubt, source, worked example."""
    yield heading(item.title, False)
    if item.about:
        yield from wrapped(item.about, "  ", "  ")
    yield from labelled("Formula", item.formula)
    for symbol, meaning in symbols_of(item):
        yield from labelled("Symbol", f"{symbol}: {meaning}")
    for wanted in item.inputs:
        span = f"{number(wanted.low)} to {number(wanted.high)} {sign(wanted.unit)}"
        yield from labelled("Input", f"{wanted.name}: {wanted.title}, {span}")
    yield from labelled("Result", f"{item.result} [{sign(item.unit)}]")
    if item.method_spread:
        yield from labelled(
            "Doubt", f"the formula itself is good to about ±{item.method_spread * 200:.0f} % (2 σ)"
        )
    yield from labelled("Source", item.source)
    if item.example:
        given = " ".join(f"{name}={value:g}" for name, value in item.example.items())
        answer = evaluate(item.name, {name: Value(value) for name, value in item.example.items()})
        yield from labelled("Example", f"flawtree sum {item.name} {given}")
        yield from labelled("", f"gives {number(answer.value)} {sign(answer.unit)}")


def _run(item: Sum, answer: Answer, assumed: tuple[str, ...]) -> Iterator[str]:
    yield heading(item.title, False)
    for step in answer.steps:
        yield from wrapped(step, "  ", "    ")
    if answer.high > answer.low:
        yield from labelled("Range", f"{number(answer.low)} to {number(answer.high)} {sign(answer.unit)}")
    else:
        yield from labelled("Range", "none: nothing in it is measured")
    if answer.dominant:
        yield from labelled("Doubt", f"most of it comes from {answer.dominant}")
    if assumed:
        told = f"{', '.join(assumed)}: of the usual method, or of the last figure given; your own after ±"
        yield from labelled("Taken", told)
    yield from labelled("Source", item.source)


def data(item: Sum) -> dict[str, object]:
    """A sum as data: name, title, inputs with units and ranges, formula, source."""
    return {
        "name": item.name,
        "title": item.title,
        "unit": item.unit,
        "inputs": [
            {
                "name": i.name,
                "unit": i.unit,
                "title": i.title,
                "low": i.low,
                "high": i.high,
                "optional": i.optional,
            }
            for i in item.inputs
        ],
        "formula": item.formula,
        "symbols": dict(symbols_of(item)),
        "source": item.source,
    }


def _answer_data(answer: Answer) -> dict[str, object]:
    return {
        "name": answer.name,
        "value": answer.value,
        "unit": answer.unit,
        "low": answer.low,
        "high": answer.high,
        "steps": list(answer.steps),
        "dominant": answer.dominant,
    }
