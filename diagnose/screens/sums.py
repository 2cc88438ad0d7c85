"""`flawtree sum`: the list of sums, the page of one, or one run with the user's numbers."""

from __future__ import annotations

import json
from collections.abc import Iterator

from diagnose.errors import FlawtreeError
from diagnose.science.registry import SUMS, TOPICS, Answer, Input, Sum, Value, evaluate
from diagnose.screens.lines import heading, labelled, number, wrapped
from diagnose.units import sign

RELATIVE_SPREAD = 0.0


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
    answer = evaluate(item.name, _values(item, inputs))
    return (
        json.dumps(_answer_data(answer), ensure_ascii=False)
        if form == "json"
        else "\n".join(_run(item, answer))
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


def _values(item: Sum, inputs: tuple[str, ...]) -> dict[str, Value]:
    from rapidfuzz import process

    declared = {wanted.name: wanted for wanted in item.inputs}
    values: dict[str, Value] = {}
    for text in inputs:
        name, equals, said = text.partition("=")
        if not equals:
            raise FlawtreeError(f"`{text}` is not NAME=VALUE, such as {item.inputs[0].name}=…")
        if name not in declared:
            near = [found for found, _, _ in process.extract(name, list(declared), limit=2)]
            raise FlawtreeError(f"{item.name} has no input `{name}`. Nearest: {', '.join(near)}.")
        if name in values:
            raise FlawtreeError(f"`{name}` is given twice.")
        values[name] = _value(declared[name], said)
    return values


def _value(wanted: Input, said: str) -> Value:
    """A value such as `7.6`, `38 dyn/cm` or `38±1`: number, unit if not the sum's own, uncertainty."""
    from diagnose import units

    body, _, spread = said.replace("+/-", "±").partition("±")
    if wanted.unit == "mm2/s" and (flowed := _of_cup(body.strip())):
        return flowed
    value, unit = units.parse_number_unit(body.strip())
    sigma = units.parse_number_unit(spread.strip())[0] if spread.strip() else RELATIVE_SPREAD
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
    found = cups.estimate(near[2], read.number)
    caveat = f"; {found.caveat}" if found.caveat else ""
    return Value(found.nu, 0.0, f"{said} ({number(found.nu)} mm²/s{caveat})")


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


def _run(item: Sum, answer: Answer) -> Iterator[str]:
    yield heading(item.title, False)
    for step in answer.steps:
        yield from wrapped(step, "  ", "    ")
    if answer.high > answer.low:
        yield from labelled("Range", f"{number(answer.low)} to {number(answer.high)} {sign(answer.unit)}")
    else:
        first = item.inputs[0].name
        yield from labelled("Range", f"none: write the doubt of what was measured, as in {first}=…±…")
    if answer.dominant:
        yield from labelled("Doubt", f"most of it comes from {answer.dominant}")
    yield from labelled("Source", item.source)


def data(item: Sum) -> dict[str, object]:
    """A sum as data: name, title, inputs with units and ranges, formula, source."""
    return {
        "name": item.name,
        "title": item.title,
        "unit": item.unit,
        "inputs": [
            {"name": i.name, "unit": i.unit, "title": i.title, "low": i.low, "high": i.high}
            for i in item.inputs
        ],
        "formula": item.formula,
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
