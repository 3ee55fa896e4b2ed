"""A sentence is its English text, and can be said in another language."""

from __future__ import annotations

import copy
import gettext
import json
import pickle
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import BaseModel

from floorwright.basis.errors import InputError, Problem
from floorwright.basis.sentence import Sentence, capital, joined, said, said_n

SPANISH = {
    "Measure after the change: {have} so far of '{name}'.": (
        "Mida después del cambio: {have} de «{name}» hasta ahora."
    ),
    "Dropped: {why}": "Abandonado: {why}",
    "not measured yet": "aún no se ha medido",
}
COUNTED = {"{n} reading": ("{n} lectura", "{n} lecturas")}


class Spanish(gettext.NullTranslations):
    """A small catalogue."""

    def gettext(self, message: str) -> str:
        return SPANISH.get(message, message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        one, many = COUNTED.get(msgid1, (msgid1, msgid2))
        return one if n == 1 else many


def so_far(have: int, name: str = "fetch clamps") -> Sentence:
    return said(
        "Measure after the change: {have} so far of '{name}'.",
        have=said_n("{n} reading", "{n} readings", have),
        name=name,
    )


@pytest.mark.parametrize(
    ("have", "english", "spanish"),
    [
        (0, "0 readings so far", "0 lecturas de"),
        (1, "1 reading so far", "1 lectura de"),
        (7, "7 readings so far", "7 lecturas de"),
    ],
)
def test_it_is_english_text_and_says_itself_in_another_language(have: int, english: str, spanish: str) -> None:
    sentence = so_far(have)
    assert sentence == f"Measure after the change: {english} of 'fetch clamps'."
    assert sentence.translated(Spanish()) == f"Mida después del cambio: {spanish} «fetch clamps» hasta ahora."


def test_without_a_message_it_stays_english_with_what_is_known_inside() -> None:
    sentence = said("Look here: {what}", what=so_far(1))
    assert sentence.translated(Spanish()).startswith("Look here: Mida después del cambio: 1 lectura")
    assert sentence.translated(gettext.NullTranslations()) == sentence


def test_it_behaves_as_its_text_everywhere() -> None:
    sentence = so_far(2)
    text = "".join(sentence)
    assert (type(text), sentence, hash(sentence)) == (str, text, hash(text))
    assert {sentence: 1}[text] == 1
    assert json.dumps({"next": sentence}) == json.dumps({"next": text})
    assert f"{sentence:>80}" == f"{text:>80}"
    assert sentence.replace("2", "3") == so_far(3)

    class Page(BaseModel):
        next: str

    assert Page(next=sentence).model_dump_json() == Page(next=text).model_dump_json()


def test_an_error_tells_the_sentence_that_it_was_raised_with() -> None:
    assert str(ValueError(so_far(3))) == so_far(3)
    told = Problem("rows[0].value", 3, so_far(3)).sentence()
    assert str(InputError([Problem("rows[0].value", 3, so_far(3))])) == told
    for each in (str(ValueError(so_far(3))), str(InputError.of("", 3, so_far(3)))):
        assert isinstance(each, Sentence)
        assert each.translated(Spanish()).startswith("Mida después del cambio: 3 lecturas")


def pickled(sentence: Sentence) -> Sentence:
    found: Sentence = pickle.loads(pickle.dumps(sentence))  # noqa: S301
    return found


@pytest.mark.parametrize("again", [copy.copy, copy.deepcopy, pickled])
def test_a_copy_can_still_be_translated(again: Callable[[Sentence], Sentence]) -> None:
    found = again(so_far(3))
    assert found == so_far(3)
    assert found.translated(Spanish()) == so_far(3).translated(Spanish())


def test_sentences_one_behind_the_other() -> None:
    both = joined([so_far(1), said("Dropped: {why}", why="moved")])
    assert both == "Measure after the change: 1 reading so far of 'fetch clamps'. Dropped: moved"
    assert both.translated(Spanish()).endswith("hasta ahora. Abandonado: moved")
    assert joined([]) == ""


@given(st.text(), st.text())
def test_what_people_wrote_is_put_in_as_it_is(what: str, why: str) -> None:
    assert said("{what}: {why}", what=what, why=why) == what + ": " + why
    assert said("Dropped: {why}", why=why).translated(Spanish()) == "Abandonado: " + why


def test_a_capital_stands_at_the_start_in_every_language() -> None:
    sentence = capital(said("not measured yet"))
    assert isinstance(sentence, Sentence)
    assert (sentence, sentence.translated(Spanish())) == ("Not measured yet", "Aún no se ha medido")
    again = copy.deepcopy(sentence)
    assert again.translated(Spanish()) == "Aún no se ha medido"
    assert capital("fetch clamps") == "Fetch clamps"


def test_nothing_joined_says_nothing_in_any_language() -> None:
    class WithAHead(gettext.NullTranslations):
        def gettext(self, message: str) -> str:
            return message or "Project-Id-Version: of the catalogue"

    assert joined(()).translated(WithAHead()) == ""
