"""Every benchmark, one after the other: `python -m benchmarks.all`."""

from __future__ import annotations

from benchmarks import beliefs, chaining, cold, warm


def main() -> None:
    for module in (cold, warm, chaining, beliefs):
        print(f"== {module.__name__}")
        module.main()


if __name__ == "__main__":
    main()
