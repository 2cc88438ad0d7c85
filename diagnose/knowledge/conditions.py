"""Reading `when:` and `applies_to:`: words for the job, states of readings, findings that hold."""

from __future__ import annotations

from diagnose.knowledge.desk import Desk, Missing, near
from diagnose.knowledge.fields import Reader
from diagnose.knowledge.model import Condition
from diagnose.knowledge.places import Node, Scalar, Table
from diagnose.knowledge.readers import flag, list_of, one_of, ref

_STATE = one_of("low", "high")
_QUANTITY = ref("quantity")
_FINDING = ref("finding")


def condition(job_only: bool = False) -> Reader:
    """A reader of a condition; `job_only` where only words for the job make sense."""
    extra = () if job_only else ("readings", "findings")

    def read(node: Node, desk: Desk) -> Condition | Missing:
        if not isinstance(node, Table):
            return desk.refuse("A condition is a table, such as {process: [gravure]}.", node.place)
        if not node.items:
            return desk.refuse("A condition cannot be empty; leave the key out.", node.place)
        job: dict[str, tuple[str, ...]] = {}
        readings: dict[str, str] = {}
        findings: dict[str, bool] = {}
        for key, child in node.items.items():
            if key in extra:
                target: dict[str, str] | dict[str, bool] = readings if key == "readings" else findings
                target.update(_named_states(key, child, desk))  # type: ignore[arg-type]
            elif _is_axis(key, node, extra, desk):
                job[key] = tuple(_terms(key, child, desk))
        return Condition(job, readings, findings, node.place)

    return read


def _is_axis(key: str, node: Table, extra: tuple[str, ...], desk: Desk) -> bool:
    axes = sorted({term.axis for term in desk.items.get("context", {}).values()})
    if key in axes:
        return True
    allowed = [*axes, *extra]
    desk.refuse(
        f"A condition has no key {key!r}; allowed are {', '.join(allowed)}.",
        node.keys[key],
        near(key, allowed),
    )
    return False


def _terms(axis: str, node: Node, desk: Desk) -> list[str]:
    known = desk.items.get("context", {})

    def term(item: Node, desk: Desk) -> str | Missing:
        if not isinstance(item, Scalar):
            return desk.refuse(f"Here a word of {axis} is due.", item.place)
        if item.text in known and known[item.text].axis == axis:
            return item.text
        of_axis = [one.id for one in known.values() if one.axis == axis]
        return desk.refuse(f"There is no {axis} {item.text!r}.", item.place, near(item.text, of_axis))

    found = list_of(term)(node, desk)
    return [] if isinstance(found, Missing) else list(found)


def _named_states(key: str, node: Node, desk: Desk) -> dict[str, str | bool]:
    if not isinstance(node, Table):
        desk.refuse(f"Under {key!r} a table of ids is due.", node.place)
        return {}
    name, value = (_QUANTITY, _STATE) if key == "readings" else (_FINDING, flag)
    found: dict[str, str | bool] = {}
    for one, child in node.items.items():
        name(Scalar(one, one, node.keys[one]), desk)
        state = value(child, desk)
        if not isinstance(state, Missing):
            found[one] = state
    return found
