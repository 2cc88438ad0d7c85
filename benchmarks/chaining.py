"""Chaining by experta's own matcher and by ours, in one run: `python -m benchmarks.chaining`.

The first table's rules are laid out like fault trees: chains of five links, of which only some are
set off. The second chains the shipped rules, a few defects at a time, with twenty of the findings and
readings that their rules ask for. Times are the best of several runs; machines differ, so the
ratio is the figure to keep.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from random import Random
from time import perf_counter

from diagnose.inference.engine import Compiled, chain, compile_rules, run
from diagnose.inference.rulebook import rulebook
from diagnose.inference.rules import Fact, Pattern, Rule
from diagnose.knowledge.loader import load_knowledge
from diagnose.knowledge.model import Knowledge

SIZES = ((150, 60), (720, 36), (3000, 120))
LINKS = 5
EVIDENCE = 20


def chains(rules: int) -> tuple[Rule, ...]:
    """Chains of `LINKS` rules each; the first fact of chain n is `start n`."""
    return tuple(_link(number // LINKS, number % LINKS) for number in range(rules))


def _link(tree: int, step: int) -> Rule:
    first = Pattern("start", f"t{tree}") if step == 0 else Pattern("step", f"t{tree}", str(step))
    then = (Fact("step", f"t{tree}", str(step + 1)),)
    return Rule(f"t{tree}_{step}", (first, Pattern("context", "all")), then, "", "from memory")


def starts(firings: int) -> tuple[Fact, ...]:
    """Facts that make about so many rules fire."""
    return (Fact("context", "all"), *(Fact("start", f"t{tree}") for tree in range(firings // LINKS)))


def best_ms(act: Callable[[], object], runs: int) -> float:
    """The shortest of several runs, in milliseconds."""
    times = []
    for _ in range(runs):
        begun = perf_counter()
        act()
        times.append(perf_counter() - begun)
    return min(times) * 1000


def chaining_ms(compiled: Compiled, facts: tuple[Fact, ...], runs: int) -> float:
    """One case on an engine that is made before: experta's own matcher builds its net with each."""
    engine = compiled.engine()
    return best_ms(lambda: run(engine, facts), runs)


def matchers() -> None:
    """One line per size: both matchers on the same rules and facts, same conclusions."""
    print(f"{'rules':>6} {'firings':>8} {'experta ms':>11} {'ours ms':>9} {'ratio':>7} {'compile ms':>11}")
    for rules, firings in SIZES:
        book, facts = chains(rules), starts(firings)
        ours, plain = compile_rules(book), compile_rules(book, own_matcher=False)
        compiling = best_ms(lambda book=book: compile_rules(book), 3)  # type: ignore[misc]
        slow = chaining_ms(plain, facts, 3 if rules > 1000 else 7)
        quick = chaining_ms(ours, facts, 20)
        fired = len(chain(ours, facts).firings)
        print(f"{rules:>6} {fired:>8} {slow:>11.1f} {quick:>9.2f} {slow / quick:>7.1f} {compiling:>11.1f}")


def sample(knowledge: Knowledge, count: int, dice: Random) -> tuple[frozenset[str], tuple[Fact, ...]]:
    """So many defects seen, and the facts of a well-told complaint about them."""
    seen = frozenset(dice.sample(sorted(knowledge.defects), count))
    asked = {
        (pattern.kind, pattern.subject, pattern.value or "yes")
        for rule in rulebook(knowledge, seen)
        for pattern in rule.when
        if pattern.kind in ("finding", "reading")
    }
    told = [Fact(*words) for words in sorted(asked)]
    job = (Fact("job_stated", "process"), Fact("job", "gravure"))
    evidence = dice.sample(told, min(EVIDENCE, len(told)))
    return seen, (*job, *(Fact("seen", id_) for id_ in sorted(seen)), *evidence)


def shipped() -> None:
    """One line per number of defects seen, on the shipped rules: the middle one of fifteen complaints."""
    knowledge = load_knowledge()
    print(f"\n{'seen':>6} {'rules':>8} {'firings':>9} {'chain ms':>9} {'rulebook ms':>12} {'compile ms':>11}")
    for count in (1, 2, 3):
        lines = sorted((_complaint(knowledge, count, seed) for seed in range(15)), key=lambda line: line[2])
        rules, fired, quick, writing, compiling = lines[len(lines) // 2]
        print(f"{count:>6} {rules:>8} {fired:>9} {quick:>9.2f} {writing:>12.1f} {compiling:>11.1f}")


def _complaint(knowledge: Knowledge, count: int, seed: int) -> tuple[int, int, float, float, float]:
    seen, facts = sample(knowledge, count, Random(seed))
    book = rulebook(knowledge, seen)
    compiled = compile_rules(book)
    return (
        len(book),
        len(chain(compiled, facts).firings),
        best_ms(lambda: chain(compiled, facts), 10),
        best_ms(lambda: rulebook(knowledge, seen), 3),
        best_ms(lambda: compile_rules(book), 3),
    )


def main() -> int:
    """Print both tables."""
    matchers()
    shipped()
    return 0


if __name__ == "__main__":
    sys.exit(main())
