"""A small knowledge, made by hand: two defects that are mistaken for each other, five causes."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from diagnose.knowledge.model import (
    Adjustment,
    Cause,
    Condition,
    ContextTerm,
    Defect,
    Event,
    Finding,
    Knowledge,
    Likelier,
    Link,
    LookAlike,
    Looks,
    MayBring,
    NotWhen,
    Scales,
    Shown,
)

SAID = "common practice"


def cause_link(node: str) -> Link:
    return Link(node, "cause", "often", SAID)


def event_link(node: str) -> Link:
    return Link(node, "event", "usually", SAID)


def sees(finding: str) -> Shown:
    return Shown("usually", SAID, finding=finding)


def reads(quantity: str, state: str) -> Shown:
    return Shown("almost always", SAID, reading=quantity, state=state)


def cause(id_: str, **more: Any) -> Cause:
    return Cause(id_, id_.replace("_", " "), "common", SAID, **more)


def finding(id_: str, **more: Any) -> Finding:
    return Finding(id_, id_.replace("_", " "), f"Is there {id_}?", "print", "rarely", SAID, **more)


def defect(id_: str, other: str, because: tuple[Link, ...], **more: Any) -> Defect:
    look = LookAlike(other, f"The one look that tells {id_} from {other}.", SAID)
    return Defect(
        id_, id_, "draft", Looks("eye", "loupe", SAID), mistaken_for=(look,), because=because, **more
    )


def small() -> Knowledge:
    """The knowledge; every kind of rule that the rulebook can make appears in it."""
    defects = (
        defect("pinholes", "craters", (event_link("air_in_ink"), cause_link("ink_surface_tension_high"))),
        defect("craters", "pinholes", (cause_link("defoamer_overdosed"), cause_link("anilox_worn"))),
    )
    air = Event("air_in_ink", "Air is carried in the ink", "any", (cause_link("pump_draws_air"),))
    return Knowledge(
        defects=_by_id(defects),
        events=_by_id((air,)),
        causes=_by_id(_causes()),
        findings=_by_id(_findings()),
        quantities={},
        methods={},
        checks={},
        adjustments=_by_id(_adjustments()),
        cautions={},
        context=_by_id(_terms()),
        sources={},
        scales=Scales({}, {}, {}),
    )


def _terms() -> tuple[ContextTerm, ...]:
    return (
        ContextTerm("process", "gravure", "Gravure"),
        ContextTerm("process", "flexo", "Flexo"),
        ContextTerm("substrate", "film", "Film"),
        ContextTerm("substrate", "opp", "OPP film", within=("film",)),
        ContextTerm("substrate", "paper", "Paper"),
    )


def _causes() -> tuple[Cause, ...]:
    film = Condition(job={"substrate": ("film", "opp")})
    chilled = Condition(readings={"ink_temperature": "low"}, findings={"foam_in_pan": True})
    return (
        cause(
            "pump_draws_air",
            shows=(sees("foam_in_pan"), reads("ink_density", "low")),
            because=(cause_link("ink_level_low"),),
            adjustments=("raise_level", "add_defoamer"),
        ),
        cause("ink_level_low", because=(cause_link("pump_draws_air"),)),
        cause(
            "ink_surface_tension_high",
            likelier=(Likelier(film, "more", SAID), Likelier(chilled, "less", SAID)),
            shows=(reads("ink_surface_tension", "high"),),
        ),
        cause("defoamer_overdosed", shows=(sees("rim_round_void"),), adjustments=("fresh_ink",)),
        cause("anilox_worn", applies_to=Condition(job={"process": ("flexo",)})),
    )


def _findings() -> tuple[Finding, ...]:
    return (
        finding("foam_in_pan", from_reading=("ink_foam_height", "high")),
        finding("rim_round_void", excludes=("no_rim",)),
        finding("no_rim", excludes=("rim_round_void",)),
    )


def _adjustments() -> tuple[Adjustment, ...]:
    craters = NotWhen(Condition(findings={"rim_round_void": True}), "Craters are there already.", SAID)
    paper = NotWhen(Condition(job={"substrate": ("paper",)}), "It soaks in.", SAID)
    return (
        Adjustment("raise_level", "Raise the level", "press", SAID),
        Adjustment(
            "add_defoamer",
            "Add defoamer",
            "pan side",
            SAID,
            may_bring=(MayBring("craters", "Too much de-wets."),),
            not_when=(craters, paper),
            cautions=("read_the_safety_data_sheet",),
        ),
        Adjustment("fresh_ink", "Fresh ink", "pan side", SAID),
    )


def _by_id(items: Iterable[Any]) -> dict[str, Any]:
    return {item.id: item for item in items}
