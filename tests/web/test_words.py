"""The message catalogues: every text of the pages is translated, and the compiled files are up to date."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from fastapi.routing import iter_route_contexts
from starlette.requests import Request

from floorwright.basis.sentence import said
from floorwright.web import words
from phone_pages import NO_PAGES, OFFICE_PAGES, PHONE_PAGES
from webapp import Person

TOOL = Path(__file__).resolve().parents[2] / "tools" / "words.py"


def test_every_text_is_translated_and_compiled() -> None:
    found = subprocess.run(
        [sys.executable, str(TOOL), "--check"], capture_output=True, text=True, encoding="utf-8", check=False
    )
    assert found.returncode == 0, found.stdout + found.stderr


def test_every_page_is_one_of_the_floor_or_of_the_office(person: Person) -> None:
    routes = {
        route.path
        for route in iter_route_contexts(person.app.routes)
        if route.path is not None and "GET" in (route.methods or ()) and not route.path.startswith("/api/")
    }
    files = {each for each in routes if each.endswith(".{ending}")} | NO_PAGES
    assert routes - files == set(PHONE_PAGES) | OFFICE_PAGES, "name a new page in tests/phone_pages.py"


SPANISH = {"accept-language": "es-MX"}


def test_the_guards_refuse_in_the_language_of_the_browser(person: Person) -> None:
    found = person.get("/nowhere", 404, headers=SPANISH)
    assert "No hay tal página." in found.text
    assert '<html lang="es">' in found.text
    elsewhere = person.at("127.0.0.1", host="evil.example").get("/", headers=SPANISH)
    assert (elsewhere.status_code, "<html lang='es'>" in elsewhere.text) == (421, True)
    assert "Esta dirección no es de la aplicación" in elsewhere.text
    stranger = person.at("192.0.2.7").post("/improvements/new", headers=SPANISH)
    assert (stranger.status_code, "Entre, o empareje este teléfono" in stranger.text) == (401, True)
    forged = person.client.post("/improvements/new", data={"title": "x"}, headers=SPANISH)
    assert (forged.status_code, "Este formulario es de otra sesión" in forged.text) == (403, True)
    site = person.client.post("/improvements/new", headers=SPANISH | {"sec-fetch-site": "cross-site"})
    assert (site.status_code, "desde la página de otro sitio" in site.text) == (403, True)
    large = person.client.post("/api/inbox", headers=SPANISH | {"content-length": "99999999"})
    assert large.status_code == 413
    assert large.json()["error"]["fields"][0]["message"].startswith("Esto ocupa más de los 16 MB")
    for _ in range(11):
        often = person.client.post("/sign-in", data={}, headers=SPANISH)
    assert (often.status_code, "Fueron muchas veces seguidas" in often.text) == (429, True)


def test_the_inbox_refuses_in_the_language_of_the_phone_and_names_the_field_for_its_script(person: Person) -> None:
    base = {"made_at": "2026-11-25T09:00:00"}
    items = [
        base | {"key": "a", "kind": "note", "body": {"improvement": 999, "text": "x"}},
        base | {"key": "b", "kind": "photo", "body": {"improvement": 1, "jpeg": "!!!!"}},
        base | {"key": "c", "kind": "improvement", "body": {"title": "x", "waste": "walking", "area": "Moon"}},
        base | {"key": "d", "kind": "note", "body": {"improvement": {"key": "gone"}, "text": "x"}},
        base | {"key": "e", "kind": "readings", "body": {"study": 1, "rows": []}},
        base | {"key": "f", "kind": "note", "body": {"improvement": 1}},
    ]
    sent = {"device_time": "2026-11-25T09:30:00", "items": items}
    headers = {"X-Floorwright": "inbox"}
    english = person.client.post("/api/inbox", json=sent, headers=headers).json()["results"]
    spanish = person.client.post("/api/inbox", json=sent, headers=headers | SPANISH).json()["results"]
    told = [each["problems"][0] for each in spanish]
    assert [each["field"] for each in told] == ["", "jpeg", "area", "improvement", "rows", "text"]
    assert [each["message"] for each in told] == [
        "El taller no tiene: mejora 999.",
        "está cortada o no es base64; haga la foto otra vez",
        told[2]["message"],
        "espera a algo que se envió antes y que aún no está guardado",
        "tiene 0 entradas; hacen falta al menos 1",
        "falta; aquí hace falta",
    ]
    assert told[2]["message"].startswith("«Moon» no es una zona de aquí; el taller tiene ")
    assert english[0]["problems"][0]["message"] == "The shop has no improvement 999."
    assert [each["state"] for each in english] == [each["state"] for each in spanish]


def test_a_study_draws_its_chart_in_the_language_of_the_browser(person: Person) -> None:
    assert "median " in person.get("/studies/2").text
    spanish = person.get("/studies/2", headers=SPANISH).text
    assert ("mediana " in spanish, "median " in spanish) == (True, False)


def test_a_refused_form_says_what_is_wrong_beside_the_field_in_spanish(person: Person) -> None:
    data = {"form_key": person.key("/studies/2"), "value": "x", "key": "k1", "taken_at": "2026-11-25T09:00:00"}
    found = person.client.post("/studies/2/readings", data=data, headers=SPANISH)
    assert found.status_code == 422
    assert "no es un valor de distancia; escríbalo como «120 ft»" in found.text


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
