"""Published fault trees with their figures, written as our own nested gates."""

from __future__ import annotations

from diagnose.inference.cutsets import Gate, Tree


def any_of(*parts: Tree) -> Gate:
    return Gate("any", parts)


def all_of(*parts: Tree) -> Gate:
    return Gate("all", parts)


def e(*numbers: int) -> tuple[str, ...]:
    """Events by number."""
    return tuple(f"e{number}" for number in numbers)


# Pressure tank, NUREG-0492 Fault Tree Handbook (1981), reduced to its relays, switches and timer.
PRESSURE_TANK = any_of("T", "K2", all_of("S", any_of("S1", "K1", "R")))

# Barlow & Chatterjee 1973, Introduction to fault tree analysis: a tank with 16 events.
TANK_16 = any_of(*e(1, 2, 3, 4, 5), all_of(any_of(*e(6, 7, 8)), any_of(*e(*range(9, 17)))))

# Barrere & Hankin 2020, arXiv 2007.08255: a fire protection system.
FIRE = any_of(all_of("x1", "x2"), "x3", "x4", all_of("x5", any_of("x6", "x7")))

# Two power feeds of a theatre: a worked example of an open reliability program's manual.
THEATRE = all_of("mains", any_of("generator", "relay"))

# Course notes NE574: the same event on both sides of the top gate.
NE574 = all_of(any_of("F", "G", "B", "C"), any_of("C", "D", all_of("H", "I")))


def _benchmark() -> Gate:
    """The public 'chinese' benchmark of the Aralia set: 25 events, shared parts named once."""
    feed = all_of(any_of(*e(17, 18)), any_of(*e(19, 20, 21)))
    cross = all_of(any_of(*e(17, 18, 21)), any_of(*e(19, 20)))
    line_a = all_of(any_of(*e(9, 10, 11), feed), any_of(*e(12, 13)))
    line_b = all_of(any_of(*e(14, 15, 16), cross), all_of(any_of(*e(22, 23)), any_of(*e(24, 25))))
    first = any_of(*e(1, 2, 3), line_a)
    second = any_of(*e(4, 5, 6, 7), line_b)
    bridge = all_of(any_of(*e(1, 2, 3), line_b), any_of(*e(4, 5, 6, 7), line_a))
    return all_of(first, all_of(second, any_of("e8", bridge)))


BENCHMARK = _benchmark()
