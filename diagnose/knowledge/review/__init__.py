"""Rules about rules: what the loader cannot refuse and a careful reader would still not let pass."""

from __future__ import annotations

from diagnose.errors import KEY_ORDER, Fault
from diagnose.knowledge.model import Knowledge
from diagnose.knowledge.review import acts, evidence, measures, pages, use
from diagnose.knowledge.review.coverage import Coverage, coverage
from diagnose.knowledge.review.found import Remark, Rule, Severity

__all__ = ["RULES", "Coverage", "Remark", "Rule", "coverage", "review"]

RULES: tuple[Rule, ...] = (
    Rule("unreachable", "warning", use.unreachable_node),
    Rule("unused-finding", "warning", use.unused_finding),
    Rule("unused-quantity", "warning", use.unused_quantity),
    Rule("unused-check", "warning", use.unused_check),
    Rule("unused-adjustment", "warning", use.unused_adjustment),
    Rule("unused-method", "warning", use.unused_method),
    Rule("unused-caution", "warning", use.unused_caution),
    Rule("unused-source", "warning", use.unused_source),
    Rule("circular-sum", "error", use.circular_sum),
    Rule("never-wins", "error", evidence.never_wins),
    Rule("few-shown", "error", evidence.few_shown),
    Rule("always-holds", "error", evidence.always_holds),
    Rule("weak-evidence", "warning", evidence.weak_evidence),
    Rule("nobody-checks", "error", evidence.nobody_checks),
    Rule("nobody-measures", "warning", evidence.nobody_measures),
    Rule("no-way-out", "error", evidence.no_way_out),
    Rule("reason-twice", "error", evidence.reason_twice),
    Rule("one-sided-exclusion", "warning", evidence.one_sided_exclusion),
    Rule("check-one-sided", "warning", evidence.check_one_sided),
    Rule("state-untitled", "error", measures.state_untitled),
    Rule("no-window", "warning", measures.no_window),
    Rule("window-twice", "error", measures.window_twice),
    Rule("no-limit", "error", acts.no_limit),
    Rule("outside-limits", "error", acts.outside_limits),
    Rule("no-undo", "error", acts.no_undo),
    Rule("no-expect", "error", acts.no_expect),
    Rule("no-stop", "error", acts.no_stop),
    Rule("no-caution", "error", acts.no_caution),
    Rule("both-ways", "error", acts.brings_what_it_cures),
    Rule("look-alike-one-sided", "error", pages.look_alike_one_sided),
    Rule("look-alike-missing", "error", pages.look_alike_missing),
    Rule("file-name", "error", pages.file_name),
    Rule("titles-alike", "error", pages.titles_alike),
    Rule("name-shared", "error", pages.name_shared),
    Rule("phrase-shared", "warning", pages.phrase_shared),
    Rule("stray-space", "warning", pages.stray_space),
    Rule("no-provenance", "error", pages.no_provenance),
)


def review(knowledge: Knowledge, faults: tuple[Fault, ...] = ()) -> tuple[Remark, ...]:
    """Every remark on some knowledge, the loader's faults among them, in the order of their places."""
    found = [_from_fault(fault) for fault in faults]
    scales = knowledge.scales
    complete = scales.strength and scales.frequency and scales.change and not scales.lacking()
    for rule in RULES if complete else ():
        found.extend(rule.remarks(knowledge))
    return tuple(sorted(found, key=lambda one: (one.place is not None, one.place, one.rule)))


def _from_fault(fault: Fault) -> Remark:
    near = f" Nearest: {', '.join(fault.nearest)}." if fault.nearest else ""
    also = f" See also {fault.also}." if fault.also else ""
    severity: Severity = "warning" if fault.code == KEY_ORDER else "error"
    return Remark(fault.place, severity, f"{fault.text}{near}{also}", fault.code)
