"""What may be said at any question beside an answer: one table gives the keys, the help and the doing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from diagnose.screens import telling
from diagnose.screens.journal import Note
from diagnose.screens.record import answers
from diagnose.screens.turns import Choice, Turn, also_turn, shown_answer

if TYPE_CHECKING:
    from diagnose.screens.talk import Talk

Run = Callable[["Talk"], None]


@dataclass(frozen=True, slots=True)
class Command:
    """A command: its word, its key, one line of help, and what it does to a talk."""

    word: str
    key: str
    line: str
    run: Run


def _why(talk: Talk) -> None:
    talk.reply = tuple(telling.why(talk.session, talk.turn())) if talk.under_way else ("To begin somewhere.",)


def _how(talk: Talk) -> None:
    talk.reply = tuple(telling.how(talk, talk.turn()))


def _so_far(talk: Talk) -> None:
    if talk.under_way:
        talk.reply = tuple(telling.so_far(talk.session))
    else:
        talk.reply = ("Nothing yet: say first what is wrong with the print.",)


def _back(talk: Talk) -> None:
    if talk.aside is not None:
        talk.aside = None
    elif talk.record.notes:
        talk.note(Note("back"))
        talk.reply = ("Taken back.",)
    else:
        talk.reply = ("There is nothing to take back.",)


def _correct(talk: Talk) -> None:
    answered = [note for note in answers(talk.record) if talk.known(note.item)]
    heard = () if not talk.under_way else talk.session.understood.findings
    told = [
        Note("answer", name.id, "yes" if name.holds else "no") for name in heard if name.origin == "story"
    ]
    given = [*told, *answered][-8:]
    if not given:
        talk.reply = ("No answer has been given yet.",)
        return
    keys = [
        Choice(str(place), shown_answer(talk.knowledge, note), (), f"again:{note.item}")
        for place, note in enumerate(reversed(given), 1)
    ]
    keys.append(Choice("9", "leave all as it is"))
    talk.aside = Turn("correct", "Which answer was wrong?", (), tuple(keys), enter="9")


def _also(talk: Talk) -> None:
    if talk.under_way:
        talk.aside = also_turn()
    else:
        talk.reply = ("Say it here.",)


def _hand_over(talk: Talk) -> None:
    if talk.under_way:
        talk.reply = tuple(telling.hand_over(talk))
    else:
        talk.reply = ("Nothing to hand over yet: say first what is wrong with the print.",)


def _close(talk: Talk) -> None:
    keys = (Choice("1", "yes, close it without a cause", (Note("closed"),)), Choice("2", "no, go on"))
    talk.aside = Turn("stop", "Close this trouble?", (), keys, enter="2")


def _leave(talk: Talk) -> None:
    talk.leaving = True


def _keys(talk: Talk) -> None:
    talk.reply = tuple(f"{command.key}  {command.word:9} {command.line}" for command in COMMANDS.values())


_TABLE = (
    Command("why", "w", "why this is asked", _why),
    Command("how", "h", "how to look, measure or do it", _how),
    Command("so far", "s", "what is likely so far, for and against", _so_far),
    Command("back", "b", "take the last answer back", _back),
    Command("correct", "c", "mend an earlier answer", _correct),
    Command("also", "a", "something more is seen on the print", _also),
    Command("hand over", "o", "ten lines for the next shift, and a complaint file", _hand_over),
    Command("close", "x", "close this trouble", _close),
    Command("leave", "l", "leave now; all is kept", _leave),
    Command("keys", "k", "these keys", _keys),
)
COMMANDS = {command.word: command for command in _TABLE}
_BY_KEY = {command.key: command.word for command in _TABLE} | {
    "help": "keys",
    "quit": "leave",
    "exit": "leave",
}


def command_of(said: str) -> str:
    """The command that a word or key stands for; empty when it is none."""
    word = said.lower()
    return word if word in COMMANDS else _BY_KEY.get(word, "")
