"""A trouble followed through: every answer gives a new session, and the next step follows from it."""

from __future__ import annotations

import pytest

from diagnose.complaint.read import parse_complaint
from diagnose.errors import FlawtreeError, InputError
from diagnose.knowledge.model import Knowledge
from diagnose.session import Session, read_value


@pytest.fixture
def session(shipped: Knowledge) -> Session:
    text = "complaint: S\njob: {process: gravure, ink: water-based, substrate: OPP film}\nseen: [pinholes]\n"
    return Session(shipped, parse_complaint(text))


def test_the_first_step_asks_one_thing_that_can_be_answered(session: Session, shipped: Knowledge) -> None:
    step = session.next_step()

    assert step is not None
    assert step.kind == "check"
    assert step.item in shipped.findings or step.item in shipped.quantities


def test_an_answer_moves_the_beliefs_and_leaves_the_old_session_alone(session: Session) -> None:
    before = session.diagnosis.beliefs["ink_ph_low"]

    after = session.answer("ink_ph", "6.8").diagnosis.beliefs["ink_ph_low"]

    assert after > before + 0.3
    assert session.diagnosis.beliefs["ink_ph_low"] == before


def test_yes_and_no_are_heard_in_any_dress(session: Session) -> None:
    said = [
        session.answer("foam_in_pan", value).understood.findings[-1].holds for value in (True, "Yes", "y")
    ]

    assert said == [True, True, True]


def test_dont_know_is_not_asked_again(session: Session) -> None:
    step = session.next_step()
    assert step is not None

    later = session.answer(step.item, "don't know")

    assert all(one.item != step.item for one in later.steps() if one.item)
    assert later.diagnosis.beliefs == session.diagnosis.beliefs


def test_a_number_that_no_window_judges_is_not_asked_for_again(session: Session, shipped: Knowledge) -> None:
    item = next(quantity.id for quantity in shipped.quantities.values() if not quantity.windows)

    later = session.answer(item, "low")

    assert all(step.item != item for step in later.steps() if step.item)


def test_a_later_answer_mends_an_earlier_one(session: Session) -> None:
    mended = session.answer("foam_in_pan", "yes").answer("foam_in_pan", "no")

    straight = session.answer("foam_in_pan", "no")
    assert mended.diagnosis.beliefs == straight.diagnosis.beliefs


def test_a_state_in_words_counts_until_a_number_comes(session: Session) -> None:
    low = session.answer("ink_ph", "low")
    number = low.answer("ink_ph", "9.0")

    assert low.diagnosis.beliefs["ink_ph_low"] > session.diagnosis.beliefs["ink_ph_low"]
    assert number.diagnosis.beliefs["ink_ph_low"] < session.diagnosis.beliefs["ink_ph_low"]
    assert not number.understood.states


@pytest.mark.parametrize(
    ("item", "value"),
    [("nothing_known", "yes"), ("foam_in_pan", "perhaps"), ("ink_ph", "82"), ("ink_ph", "3 kg")],
)
def test_what_cannot_be_is_refused(session: Session, item: str, value: str) -> None:
    with pytest.raises(FlawtreeError):
        session.answer(item, value)


def test_a_value_is_read_with_unit_and_method(shipped: Knowledge) -> None:
    reading = read_value(shipped, "ink_viscosity", "21 s Zahn cup 2")

    assert (reading.value, reading.unit, reading.method) == (21.0, "s", "zahn_2")


def test_a_method_nobody_knows_is_refused_with_the_nearest(shipped: Knowledge) -> None:
    with pytest.raises(FlawtreeError, match=r"(?i)zahn"):
        read_value(shipped, "ink_viscosity", "21 s zahnn cupp")


def test_tried_in_vain_speaks_against_its_cause(session: Session) -> None:
    advice = session.diagnosis.adjustments[0]

    later = session.tried(advice.id, "no change")

    assert later.diagnosis.beliefs[advice.cause] < session.diagnosis.beliefs[advice.cause]
    assert advice.id not in [one.id for one in later.diagnosis.adjustments]


def test_better_speaks_for_its_cause(session: Session) -> None:
    advice = session.diagnosis.adjustments[0]

    later = session.tried(advice.id, "better")

    assert later.diagnosis.beliefs[advice.cause] > session.diagnosis.beliefs[advice.cause]


def test_an_outcome_nobody_knows_is_refused(session: Session) -> None:
    with pytest.raises(FlawtreeError, match="not an outcome"):
        session.tried(session.diagnosis.adjustments[0].id, "so so")


def test_a_confirmed_cause_leads(session: Session) -> None:
    cause = session.diagnosis.causes[5].id

    assert session.confirmed(cause).diagnosis.beliefs[cause] > 0.6


def test_a_reading_of_another_quantity_of_the_same_name_is_refused(shipped: Knowledge) -> None:
    with pytest.raises(InputError, match="is a reading of"):
        read_value(shipped, "ink_in_circulation", "12 L/min")
