"""The console over a pipe and over keys: what is asked, what is kept, what survives."""

from __future__ import annotations

import io
import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput

from diagnose import casebook
from diagnose.complaint.read import read_complaint
from diagnose.diagnosis import diagnose
from diagnose.errors import InputError
from diagnose.knowledge.model import Knowledge
from diagnose.screens import console, journal, prompt
from diagnose.screens.console import Console
from diagnose.screens.naming import completions
from diagnose.screens.talk import Talk
from diagnose.session import Session

BEGIN = ["gravure", "OPP film", "180 m/min", "", "pinholes", "", ""]


@pytest.fixture(autouse=True)
def own_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("FLAWTREE_HOME", str(tmp_path))
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("LINES", "24")
    return tmp_path


def piped(knowledge: Knowledge, lines: list[str]) -> tuple[int, str]:
    """What a console says to lines from a pipe."""
    out = io.StringIO()
    stream = io.StringIO("".join(f"{line}\n" for line in lines))
    code = Console(knowledge, prompt.from_pipe(stream, out), out).run()
    return code, out.getvalue()


def kept(home: Path) -> list[journal.Note]:
    """Every note on the disk, of open and of finished troubles."""
    return [note for path in sorted(home.glob("*/*.jsonl")) for note in journal.read(path)]


def talk(knowledge: Knowledge, lines: list[str] = BEGIN) -> Talk:
    """A talk that has heard these lines."""
    found = Talk(knowledge, lambda _: None)
    for line in lines:
        found.hear(line)
    return found


def until(found: Talk, name: str, answer: Callable[[Talk], str] = lambda _: "?") -> Talk:
    """The same talk, answered until a turn of this name comes."""
    for _ in range(60):
        if found.turn().name == name:
            return found
        found.hear(answer(found))
    raise AssertionError(f"no turn `{name}` came; stands at {found.turn()}")


def test_first_screen_as_text(shipped: Knowledge) -> None:
    _, said = piped(shipped, ["gravure"])

    assert said.startswith(
        "Flawtree. One question at a time; Enter or a key answers. k shows the keys.\n"
        "------------------------------------------------------------------------------\n"
        "Which process?\n"
        "  1 Gravure   2 Flexo   Enter leave it open\n"
        "  [w why  h how  s so far  b back  c correct  a also  o hand over  l leave]\n"
        "> gravure\n"
    )


def test_the_look_alike_question_as_text(shipped: Knowledge) -> None:
    _, said = piped(shipped, BEGIN)

    screen = said.rpartition("> \n")[2]
    assert screen.startswith("Pinholes · OPP film · 0 answers\n")
    assert "TELL APART  Pinholes or Craters?" in screen
    assert "  y yes   n no   ? don't know\n" in screen


def test_first_letters_offer_the_name_they_begin(shipped: Knowledge) -> None:
    assert completions(shipped, "pinh")[0] == ("Pinholes", "Pinholes")
    assert talk(shipped, [*BEGIN[:4], "pinh"]).turn().choices[0].label.startswith("Pinholes")


def test_a_misspelt_name_offers_the_nearest(shipped: Knowledge) -> None:
    offered = talk(shipped, [*BEGIN[:4], "pinhoels in the solid"]).turn().choices

    assert any(choice.label.startswith("Pinholes") for choice in offered)


def test_two_defects_in_one_breath_are_both_taken(shipped: Knowledge) -> None:
    found = talk(shipped, [*BEGIN[:4], "doctor-blade streaks and weak colour, since lunch"])

    assert [note.item for note in found.record.of("seen")] == ["streaks", "weak_colour"]
    assert [note.value for note in found.record.of("said")] == ["since lunch"]
    assert found.reply == ("Kept in your words: since lunch.",)
    assert found.turn().question == "Anything else wrong with it?"


def test_two_names_of_one_defect_are_noted_once(shipped: Knowledge) -> None:
    found = talk(shipped, [*BEGIN[:4], "craters and fisheyes"])

    assert [(note.item, note.value) for note in found.record.of("seen")] == [("craters", "craters")]


def test_words_that_fit_nothing_are_kept(shipped: Knowledge, own_home: Path) -> None:
    piped(shipped, [*BEGIN[:4], "xyzzy qwfp", "8"])

    assert [note.value for note in kept(own_home) if note.do == "said"] == ["xyzzy qwfp"]


def test_each_answer_is_on_the_disk_before_the_next_question(shipped: Knowledge, own_home: Path) -> None:
    asked: list[int] = []

    def read(_: object) -> str:
        asked.append(len(kept(own_home)))
        if len(asked) > len(BEGIN):
            raise EOFError
        return BEGIN[len(asked) - 1]

    Console(shipped, read, io.StringIO()).run()

    assert asked == list(range(len(BEGIN) + 1))


def test_leaving_and_coming_back_goes_on_at_the_same_question(shipped: Knowledge) -> None:
    _, before = piped(shipped, [*BEGIN, "n", "?"])
    _, after = piped(shipped, ["1"])

    question, again = (said.splitlines()[-4:-1] for said in (before, after))
    assert question == again


def test_a_new_trouble_leaves_the_old_one_kept(shipped: Knowledge, own_home: Path) -> None:
    piped(shipped, [*BEGIN, "n"])
    piped(shipped, ["2", "flexo"])

    assert len(list((own_home / "open").glob("*.jsonl"))) == 2


def test_back_takes_the_last_answer_and_all_its_notes(shipped: Knowledge) -> None:
    found = talk(shipped, [*BEGIN, "y"])
    before = found.turn()
    found.hear("?")

    found.hear("b")

    assert (found.turn().item, found.turn().question) == (before.item, before.question)


def test_correct_mends_an_earlier_answer(shipped: Knowledge) -> None:
    found = talk(shipped, [*BEGIN, "y"])
    item = found.record.of("answer")[0].item

    for line in ("c", "1", "n"):
        found.hear(line)

    assert [name.holds for name in found.session.understood.findings if name.id == item] == [False]


@pytest.mark.parametrize("command", ["w", "h", "s", "k", "o"])
def test_asking_back_answers_and_changes_nothing(shipped: Knowledge, command: str) -> None:
    found = talk(shipped, [*BEGIN, "n"])
    question, notes = found.turn().question, found.record.notes

    found.hear(command)

    assert found.reply
    assert (found.turn().question, found.record.notes) == (question, notes)


def test_answers_that_cannot_hold_together_leave_a_way_out(
    shipped: Knowledge, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = talk(shipped, [*BEGIN, "n"])
    before = found.record.notes
    found.hear("?")

    def impossible(self: Session) -> None:
        raise InputError("These findings cannot all hold together.")

    with monkeypatch.context() as patch:
        patch.setattr(Session, "diagnosis", property(impossible))
        assert found.turn().name == "stuck"
        found.hear("s")
        found.hear("1")

    assert found.record.notes == before
    assert found.turn().name != "stuck"


def test_handover_takes_ten_lines(shipped: Knowledge) -> None:
    found = talk(shipped, [*BEGIN, "n", "y", "n", "?"])

    found.hear("o")

    assert len(found.reply) <= 10
    assert all(len(line) <= 80 for line in found.reply[:-1])
    path = Path(found.reply[-1].removeprefix("File: "))
    assert diagnose(shipped, read_complaint(path)).causes


def test_a_number_is_read_with_its_unit_and_a_wrong_one_is_told(shipped: Knowledge) -> None:
    found = talk(shipped)
    found.aside = found.again("ink_viscosity")
    found.hear("21 furlongs")
    refused = found.reply

    found.hear("21 s zahn cup 2")

    assert "Nothing was noted" in refused[0]
    assert found.session.understood.readings[-1].method == "zahn_2"


def test_cautions_stand_above_the_step(shipped: Knowledge) -> None:
    found = talk(shipped)
    for _ in range(60):
        body = found.turn().body
        labels = [line.split(" ")[0] for line in body if line[:1].isupper()]
        act = next((place for place, label in enumerate(labels) if label in ("DO", "LOOK")), None)
        if act is not None and "CAUTION" in labels:
            last = max(place for place, label in enumerate(labels) if label == "CAUTION")
            assert last < act
        if found.turn().name == "laboratory":
            return
        found.hear("2" if found.turn().name == "step" else "?")


def test_grams_for_the_pan_are_asked_for_once(shipped: Knowledge) -> None:
    found = talk(shipped)
    items = []
    for _ in range(40):
        turn = found.turn()
        if turn.name == "laboratory":
            break
        items.append(turn.item)
        found.hear("20 kg" if turn.item == "ink_in_circulation" else "2" if turn.name == "step" else "?")

    assert items.count("ink_in_circulation") == 1


def test_cured_closes_with_the_cause_and_a_case_file(shipped: Knowledge, own_home: Path) -> None:
    found = until(talk(shipped), "step")
    lines = [*BEGIN, *(["?"] * len(found.record.of("answer"))), "1", "1", "1"]

    _, said = piped(shipped, lines)

    case = next(iter(casebook.cases()))
    assert "Closed." in said
    assert case.causes
    assert case.cured_by
    assert not list((own_home / "open").glob("*.jsonl"))
    assert read_complaint(own_home / "cases" / case.file).tried[0].outcome is not None


def test_better_goes_on_for_a_second_cause(shipped: Knowledge) -> None:
    found = until(talk(shipped), "step")
    first = found.turn().item

    found.hear("1")
    found.hear("2")

    assert found.turn().name in ("finding", "value", "step")
    assert found.turn().item != first


def test_nothing_left_says_what_to_keep(shipped: Knowledge) -> None:
    found = until(talk(shipped), "laboratory", lambda now: "2" if now.turn().name == "step" else "?")

    assert any("sealed full jar" in line for line in found.turn().body)


def test_a_press_is_saved_and_offered(shipped: Knowledge, own_home: Path) -> None:
    piped(shipped, [*BEGIN[:3], "press 2", "pinholes", ""])
    _, said = piped(shipped, ["2", "1", "pinholes", ""])

    assert "1 press 2 (Gravure, OPP film, 180 m/min)" in said
    assert read_complaint(own_home / "presses" / "press-2.yaml").job["substrate"].text == "OPP film"


def test_a_broken_record_and_press_do_no_harm(shipped: Knowledge, own_home: Path) -> None:
    piped(shipped, [*BEGIN, "n"])
    path = next((own_home / "open").glob("*.jsonl"))
    with path.open("a", encoding="utf-8") as file:
        file.write('[1]\n{"do": "answer", "item": "no_such", "value": "y"}\n{"do": "ans')
    (own_home / "presses").mkdir()
    (own_home / "presses" / "bad.yaml").write_text("job: [", encoding="utf-8")

    code, _ = piped(shipped, ["1", "y"])

    assert code == 0
    assert journal.read(path)[-1].do == "answer"


def test_an_empty_pipe_says_what_to_do(
    shipped: Knowledge, own_home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, _ = piped(shipped, [])

    assert code == 2
    assert "flawtree diagnose FILE" in capsys.readouterr().err
    assert not list((own_home / "open").glob("*.jsonl"))


Keys = Callable[[str], tuple[int, str]]


@pytest.fixture
def keyed(shipped: Knowledge) -> Iterator[Keys]:
    """What a console says to keys, through prompt_toolkit; the input ends when the keys do."""
    with create_pipe_input() as keys:

        def run(typed: str) -> tuple[int, str]:
            out = io.StringIO()
            keys.send_text(typed)
            keys.close()
            read = prompt.from_keys(lambda text: completions(shipped, text), input=keys, output=DummyOutput())
            return Console(shipped, read, out, paged=True).run(), out.getvalue()

        yield run


def test_one_key_answers_and_ctrl_d_leaves(keyed: Keys, own_home: Path) -> None:
    code, said = keyed("1OPP film\r180\r\rpinholes\r\r\rn\x04")

    assert code == 0
    assert said.endswith(f"{console.KEPT}\n")
    assert [note.value for note in kept(own_home) if note.do == "answer"] == ["no"]


def test_ctrl_c_drops_the_line_and_asks_again(keyed: Keys, own_home: Path) -> None:
    keyed("1OPP\x03PET film\r\x04")

    assert [note.value for note in kept(own_home) if note.item == "substrate"] == ["PET film"]


@pytest.mark.parametrize("word", ["y", "yes", "yes\r", "y\r"])
def test_a_whole_word_answers_one_question_only(keyed: Keys, own_home: Path, word: str) -> None:
    _, said = keyed(f"1OPP film\r180\r\rpinholes\r\r\r{word}\x04")

    assert [note.value for note in kept(own_home) if note.do == "answer"] == ["yes"]
    assert not list(own_home.glob("handed-over/*"))
    assert "Not understood" not in said


def test_kill_9_loses_nothing_that_was_answered(own_home: Path) -> None:
    command = [sys.executable, "-m", "diagnose", "ask"]
    running = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.DEVNULL, env=os.environ)
    assert running.stdin is not None
    running.stdin.write("".join(f"{line}\n" for line in [*BEGIN, "n"]).encode())
    running.stdin.flush()
    for _ in range(200):
        if any(note.do == "answer" for note in kept(own_home)):
            break
        time.sleep(0.05)
    os.kill(running.pid, signal.SIGKILL)
    running.wait()
    running.stdin.close()

    path = next((own_home / "open").glob("*.jsonl"))
    lines = [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
    assert [line["do"] for line in lines] == ["job"] * 4 + ["seen", "seen_all", "told", "answer"]


def test_other_commands_do_not_load_the_terminal_library() -> None:
    code = "import sys, diagnose.cli, diagnose.session, diagnose.screens.text as _;"
    code += "print('prompt_toolkit' in sys.modules)"

    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout

    assert said.strip() == "False"


def test_a_long_screen_comes_in_parts_with_nothing_left_out(shipped: Knowledge) -> None:
    out = io.StringIO()
    long = Console(shipped, lambda _: "", out, paged=True)
    found = until(talk(shipped), "step")
    turn = replace(found.turn(), body=tuple(f"line {number}" for number in range(50)))

    shown = []
    for _ in range(4):
        out.seek(0)
        out.truncate()
        long._show(found, turn)
        shown.append(out.getvalue().splitlines())

    assert all(len(lines) <= 23 for lines in shown)
    assert [line for lines in shown for line in lines if line.startswith("line ")][:50] == list(turn.body)
