"""A diagnosis as plain data, in the form that other programs rely on (the JSON contract, version 1)."""

from __future__ import annotations

import json
from typing import Any

from diagnose.complaint.model import Range
from diagnose.diagnosis import Diagnosis
from diagnose.inference.advice import AdjustmentAdvice, CautionText, CheckAdvice, Dose, Foreseen, Step
from diagnose.inference.judge import Judged
from diagnose.inference.ranking import CauseRank, Weight

VERSION = 1

Data = dict[str, Any]


def to_data(diagnosis: Diagnosis) -> Data:
    """The result as nested dicts and lists that JSON can hold; keys are only ever added, never changed."""
    return {
        "flawtree": VERSION,
        "complaint": diagnosis.complaint.id,
        "file": diagnosis.complaint.file,
        "understood": _understood(diagnosis),
        "not_understood": [
            {"said": item.said, "nearest": list(item.nearest), "slot": item.slot}
            for item in diagnosis.understood.not_understood
        ],
        "defects": [
            {"id": d.id, "title": d.title, "probability": d.probability, "said": d.said}
            for d in diagnosis.defects
        ],
        "causes": [_cause(diagnosis, cause) for cause in diagnosis.causes],
        "other": diagnosis.other,
        "rest": {"probability": diagnosis.rest, "causes": list(diagnosis.case.folded)},
        "pair": None
        if diagnosis.pair is None
        else {"causes": list(diagnosis.pair.causes), "probability": diagnosis.pair.probability},
        "unexplained": [item.text for item in diagnosis.unexplained],
        "contradictions": list(diagnosis.contradictions),
        "checks": [_check(check) for check in diagnosis.checks],
        "adjustments": [_adjustment(advice) for advice in diagnosis.adjustments],
        "plan": [_step(step) for step in diagnosis.plan],
        "trace": [node.to_data() for node in diagnosis.trace],
        "method": diagnosis.method,
    }


def to_json(diagnosis: Diagnosis, indent: int | None = 2) -> str:
    """The result as JSON text; one line when `indent` is None."""
    return json.dumps(to_data(diagnosis), ensure_ascii=False, indent=indent, allow_nan=False)


def _understood(diagnosis: Diagnosis) -> Data:
    told, knowledge = diagnosis.understood, diagnosis.knowledge
    return {
        "job": {
            "said": dict(told.job.said),
            "terms": sorted(told.job.terms),
        },
        "defects": [
            {"id": n.id, "title": knowledge.defects[n.id].title, "said": n.said, "seen": n.holds}
            for n in told.defects
            if n.holds
        ],
        "not_seen": [n.id for n in told.defects if not n.holds],
        "findings": [
            {
                "id": n.id,
                "title": knowledge.findings[n.id].title,
                "said": n.said,
                "value": n.holds,
                "from": n.origin,
            }
            for n in told.findings
        ],
        "states": [{"id": n.id, "said": n.said, "value": n.holds} for n in told.states],
        "readings": [_reading(item) for item in diagnosis.judged],
        "series": [
            {"quantity": s.quantity, "state": s.said, "slope_per_hour": s.slope, "readings": s.count}
            for s in told.series
        ],
        "bench": [
            {
                "adjustment": bench.adjustment,
                "said": bench.said,
                "quantity": bench.readings[0].quantity,
                "rungs": [
                    {"added": added, "added_unit": unit, "reads": reading.value, "unit": reading.unit}
                    for (added, unit), reading in zip(bench.additions, bench.readings, strict=True)
                ],
            }
            for bench in told.bench
        ],
        "ruled_out": [{"kind": kind, "id": name.id, "said": name.said} for kind, name in told.ruled_out],
        "tried": [
            {"adjustment": t.adjustment, "said": t.said, "amount": t.amount, "outcome": t.outcome}
            for t in told.tried
        ],
    }


def _reading(item: Judged) -> Data:
    reading = item.reading
    return {
        "quantity": reading.quantity,
        "said": reading.said,
        "value": reading.value,
        "unit": reading.unit,
        "method": reading.method,
        "where": reading.where,
        "state": item.state,
        "target": _range(reading.target),
        "window": item.window,
        "derived": reading.derived,
        "how": reading.how,
        "evidence": not reading.reference,
    }


def _range(target: Range | None) -> Data | None:
    return None if target is None else {"low": target.low, "high": target.high, "text": target.text}


def _cause(diagnosis: Diagnosis, cause: CauseRank) -> Data:
    return {
        "id": cause.id,
        "title": cause.title,
        "probability": cause.probability,
        "path": list(cause.path),
        "path_titles": [diagnosis.knowledge_title(node) for node in cause.path],
        "for": [_weight(weight) for weight in cause.pro],
        "against": [_weight(weight) for weight in cause.con],
        "steady": cause.steady,
        "follows": cause.follows or None,
        "brings": list(cause.brings),
    }


def _weight(weight: Weight) -> Data:
    return {"id": weight.id, "text": weight.text, "decibans": weight.decibans}


def _check(check: CheckAdvice) -> Data:
    return {
        "id": check.id,
        "title": check.title,
        "minutes": check.minutes,
        "saves_minutes": check.saves_minutes,
        "settles": list(check.settles),
        "how": check.how,
        "look_for": check.look_for,
        "tool": check.tool,
        "needs_stop": check.needs_stop,
        "cautions": [_caution(item) for item in check.cautions],
    }


def _adjustment(advice: AdjustmentAdvice) -> Data:
    return {
        "id": advice.id,
        "title": advice.title,
        "cause": advice.cause,
        "amount": _dose(advice.dose) if advice.dose else None,
        "minutes": advice.minutes,
        "order": advice.order,
        "expect": advice.expect,
        "stop_if": advice.stop_if,
        "undo": advice.undo,
        "may_bring": [{"defect": d, "title": title, "why": why} for d, title, why in advice.may_bring],
        "cautions": [_caution(item) for item in advice.cautions],
        "where": advice.where,
        "how": advice.how,
        "wait_minutes": advice.wait_minutes,
        "needs_stop": advice.needs_stop,
        "reversible": advice.reversible,
        "foreseen": [item.text for item in advice.foreseen],
        "predicted": [_foreseen(item) for item in advice.foreseen],
        "source": advice.source,
    }


def _foreseen(item: Foreseen) -> Data:
    return {
        "quantity": item.quantity,
        "now": item.now,
        "then": item.then,
        "unit": item.unit,
        "window": item.window,
        "state": item.state,
        "leaves_window": item.leaves,
        "invites": [{"defect": defect, "by": cause} for defect, cause in item.invites],
        "smaller_step": item.smaller,
    }


def _caution(caution: CautionText) -> Data:
    return {"id": caution.id, "title": caution.title, "text": caution.text}


def _dose(dose: Dose) -> Data:
    return {
        "value": dose.value,
        "unit": dose.unit,
        "low": dose.low,
        "high": dose.high,
        "how": list(dose.how),
        "assumed": list(dose.assumed),
        "of": dose.of,
        "grams": dose.grams,
        "ladder": list(dose.ladder),
        "measure_first": dose.measure_first,
        "limits": {"single": dose.single_limit, "total": dose.total_limit, "unit": dose.limit_unit},
    }


def _step(step: Step) -> Data:
    return {
        "kind": step.kind,
        "id": step.id,
        "title": step.title,
        "minutes": step.minutes,
        "needs_stop": step.needs_stop,
        "why": step.why,
    }
