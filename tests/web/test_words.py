"""The message catalogues: every text of the pages is translated, and the compiled files are up to date."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from starlette.requests import Request

from floorwright.basis.sentence import said
from floorwright.web import words
from webapp import Person

TOOL = Path(__file__).resolve().parents[2] / "tools" / "words.py"


def test_every_text_is_translated_and_compiled() -> None:
    found = subprocess.run(
        [sys.executable, str(TOOL), "--check"], capture_output=True, text=True, encoding="utf-8", check=False
    )
    assert found.returncode == 0, found.stdout + found.stderr


def test_a_sentence_of_the_shop_is_said_in_the_language_at_hand() -> None:
    sentence = said("Watch {what} every {days} days.", what="tips", days=7)
    with words.speaking("es"):
        assert words.said(sentence) == "Vigile tips cada 7 días."
    assert words.said(sentence) == "Watch tips every 7 days."


def request_of(**headers: str) -> Request:
    return Request(
        {
            "type": "http",
            "headers": [(name.replace("_", "-").encode(), text.encode()) for name, text in headers.items()],
        }
    )


def test_the_language_is_the_chosen_one_then_the_browsers_then_english() -> None:
    assert words.language_of(request_of(accept_language="fr, es-MX;q=0.8, en;q=0.5")) == "es"
    assert words.language_of(request_of(accept_language="fr")) == "en"
    assert words.language_of(request_of(cookie="fw_language=en", accept_language="es")) == "en"
    assert words.language_of(request_of(cookie="fw_language=../../etc", accept_language="")) == "en"


def test_a_language_that_is_not_spoken_is_refused_in_one_sentence(person: Person) -> None:
    found = person.send("/language", {"language": "xx", "next": "/"}, status=422)
    assert "is not spoken here" in found.text


def test_choosing_a_language_never_leads_elsewhere(person: Person) -> None:
    for away in ("https://evil.example", "//evil.example", "/\\evil.example", "javascript:alert(1)"):
        found = person.send("/language", {"language": "es", "next": away})
        assert found.headers["location"] == "/"
