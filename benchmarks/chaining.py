"""Chaining by experta's own matcher and by ours, in one run: `python -m benchmarks.chaining`.

The rules are laid out like fault trees: chains of five links, of which only some are set off. Times
are the best of several runs; machines differ, so the ratio is the figure to keep.
"""

from __future__ import annotations

import sys
from time import perf_counter

from diagnose.inference.engine import Compiled, chain, compile_rules, run
from diagnose.inference.rules import Fact, Pattern, Rule

SIZES = ((150, 60), (720, 36), (3000, 120))
LINKS = 5


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


def best_ms(compiled: Compiled, facts: tuple[Fact, ...], runs: int) -> float:
    """The shortest of several runs, in milliseconds."""
    times = []
    engine = compiled.engine()  # made once: experta's own matcher builds its net with each engine
    for _ in range(runs):
        begun = perf_counter()
        run(engine, facts)
        times.append(perf_counter() - begun)
    return min(times) * 1000


def main() -> int:
    """Print one line per size: rules, firings, both times, the ratio, the time to compile."""
    print(f"{'rules':>6} {'firings':>8} {'experta ms':>11} {'ours ms':>9} {'ratio':>7} {'compile ms':>11}")
    for rules, firings in SIZES:
        book, facts = chains(rules), starts(firings)
        begun = perf_counter()
        ours = compile_rules(book)
        compiling = (perf_counter() - begun) * 1000
        plain = compile_rules(book, own_matcher=False)
        runs = 3 if rules > 1000 else 7
        slow, quick = best_ms(plain, facts, runs), best_ms(ours, facts, 20)
        fired = len(chain(ours, facts).firings)
        print(f"{rules:>6} {fired:>8} {slow:>11.1f} {quick:>9.2f} {slow / quick:>7.1f} {compiling:>11.1f}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
