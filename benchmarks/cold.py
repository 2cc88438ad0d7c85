"""How long `flawtree diagnose FILE` takes from nothing, against the bare import of its libraries.

`python -m benchmarks.cold` prints both and their ratio, taken in turn in one run.
"""

from __future__ import annotations

import compileall
import os
import resource
import statistics
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).parent.parent
ROUNDS = 9
LIBRARIES = "import click, yaml, experta, numpy, rapidfuzz.process, rapidfuzz.fuzz"
BARE = (
    "import collections, collections.abc; collections.Mapping = collections.abc.Mapping; "
    f"import frozendict; {LIBRARIES}"
)


def main() -> None:
    case = sys.argv[1] if len(sys.argv) > 1 else str(next(iter(sorted((ROOT / "cases").rglob("*.yaml")))))
    ours = [sys.executable, "-m", "diagnose", "diagnose", case]
    bare = [sys.executable, "-c", BARE]
    # An installed package is byte-compiled, whatever this shell asks for; so it is here.
    compileall.compile_dir(str(ROOT / "diagnose"), quiet=2)
    _seconds(ours)
    _seconds(bare)
    pairs = [(_seconds(ours), _seconds(bare)) for _ in range(ROUNDS)]
    cold = statistics.median(pair[0] for pair in pairs)
    imports = statistics.median(pair[1] for pair in pairs)
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    print(
        f"cold diagnose {cold * 1e3:.0f} ms, bare imports {imports * 1e3:.0f} ms, "
        f"ratio {cold / imports:.2f} (bar 2)"
    )
    print(f"largest memory of one diagnosis {peak:.0f} MB (bar 150)")


def _seconds(command: list[str]) -> float:
    start = time.perf_counter()
    subprocess.run(command, cwd=ROOT, stdout=subprocess.DEVNULL, check=True, env=os.environ)
    return time.perf_counter() - start


if __name__ == "__main__":
    main()
