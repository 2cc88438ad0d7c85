"""Random keys by the ten thousand at the console: no traceback, no lost answer.

`python -m benchmarks.keys [SCRIPTS]` (default 10000) types scripts of keys, words and rubbish through the
terminal library's own pipe. After each, the record on the disk must make the same talk as the one that was
typed, and picking it up again must stand at the same question. The seeds are fixed.
"""

from __future__ import annotations

import io
import os
import random
import shutil
import sys
import tempfile
import time
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from prompt_toolkit.application import create_app_session
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput

from diagnose.knowledge.loader import load_knowledge
from diagnose.knowledge.model import Knowledge
from diagnose.screens import journal, prompt
from diagnose.screens.console import Console
from diagnose.screens.naming import completions
from diagnose.screens.talk import Talk
from diagnose.screens.turns import Turn

SCRIPTS = 10_000
BATCH = 100
PIECES = (
    *"ynynyn???123456789whsbcaoxkm+-=", "\r", "\r", "\r", "\x03", "\t", "\x1b", "\x1b[A", "\x1b[B", "\x7f",
    "pinh\r", "streaks\r", "foam marks\r", "poor adhesion\r", "full of little holes\r", "xyzzy\r", "0\r",
    "7.8\r", "21 s Zahn cup 2\r", "pH 8.1; froth; not the film\r", "-5\r", "1e999\r", "20 kg\r",
    "3 furlongs\r", "§µ°%\r", "日本\r",
    "\x00", "\x1a", "\x15", "x1", "l", "A" * 500 + "\r", "'\"{}[]:#\r", "yes\r", "so far\r",
    "\x1b[200~pasted\nlines\n\x1b[201~\r",
)  # fmt: skip
BEGIN = (
    "1OPP film\r180 m/min\rpress 2\rpinholes\r\r\r",
    "2\r\r\rstreaks\r\r\r",
    "\r\r\r\rpoor adhesion\r\r\r",
    "1\r\r\rpinholes\r\r",
)


def script(dice: random.Random) -> str:
    """Keys as a tired, a hasty or a hostile person types them."""
    return dice.choice(BEGIN) + "".join(dice.choices(PIECES, k=dice.randint(1, 14)))


class Watched(Console):
    """A console whose talk can be looked at afterwards."""

    talk: Talk | None = None

    def _once(self, talk: Talk) -> None:
        self.talk = talk
        super()._once(talk)


def typed(knowledge: Knowledge, keys: str, home: Path) -> str:
    """What went wrong with a script of keys; empty when nothing did."""
    os.environ["FLAWTREE_HOME"] = str(home)
    with create_pipe_input() as pipe, create_app_session(input=pipe, output=DummyOutput()):
        pipe.send_text(keys + "\x04\x04\x04\x03\x04")
        pipe.close()
        read = prompt.from_keys(lambda text: completions(knowledge, text), input=pipe, output=DummyOutput())
        console = Watched(knowledge, read, io.StringIO(), paged=True)
        console.run()
    talk = console.talk
    if talk is None:
        return ""
    disk = [journal.read(path) for path in home.glob("*/*.jsonl")]
    wanted = talk.record.notes
    kept = next((notes for notes in disk if journal.folded(notes) == wanted), None)
    if kept is None and wanted:
        return "the disk does not hold what was answered"
    if kept and not talk.done and talk.aside is None:
        again = Talk(knowledge, lambda _: None, kept, talk.presses)
        now, then = talk.turn(), again.turn()
        if (now.name, now.item, now.question, now.choices) != (
            then.name,
            then.item,
            then.question,
            then.choices,
        ):
            return "picked up again, it stands elsewhere"
    return ""


def _asked(turn: Turn) -> tuple[object, ...]:
    """What is asked, without the cautions, which are told in full once at each sitting."""
    return turn.name, turn.item, turn.question, turn.choices


def batch(first: int) -> list[str]:
    """The failures of one batch of scripts."""
    knowledge = load_knowledge()
    failed = []
    home = Path(tempfile.mkdtemp(prefix="flawtree-keys-"))
    for seed in range(first, first + BATCH):
        keys = script(random.Random(seed))
        shutil.rmtree(home, ignore_errors=True)
        try:
            wrong = typed(knowledge, keys, home)
        except BaseException as error:  # noqa: BLE001 - any escape at all is the failure looked for
            wrong = f"{type(error).__name__}: {error}"
        if wrong:
            failed.append(f"seed {seed}: {wrong}\n    {keys!r}")
    shutil.rmtree(home, ignore_errors=True)
    return failed


def main(arguments: list[str] | None = None) -> int:
    arguments = sys.argv[1:] if arguments is None else arguments
    count = int(arguments[0]) if arguments else SCRIPTS
    begun = time.perf_counter()
    with ProcessPoolExecutor(2) as pool:
        failed = [line for lines in pool.map(batch, range(0, count, BATCH)) for line in lines]
    for line in failed[:10]:
        print(line)
    print(f"{count} scripts, {len(failed)} failed, {time.perf_counter() - begun:.0f} s")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
