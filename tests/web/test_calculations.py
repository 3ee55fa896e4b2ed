"""Forms made from the schema of each calculation, and the page for people who write programs."""

from __future__ import annotations

import re
from html import unescape
from typing import Any

import pytest

from floorwright import catalogue
from floorwright.basis.outcome import Span
from floorwright.basis.quantity import LENGTH, TIME, Quantity
from floorwright.web.calculation_form import fields_of, input_of
from floorwright.web.calculation_shown import results_of, shown
from webapp import Person

NAMES = catalogue.names()


def typed(name: str) -> dict[str, str]:
    """What stands in a fresh form."""
    return {each.name: each.example for each in fields_of(catalogue.calculation(name))}


@pytest.mark.parametrize("name", NAMES)
def test_the_form_as_it_opens_gives_the_result_of_the_example(name: str) -> None:
    calculation = catalogue.calculation(name)
    found = calculation(input_of(fields_of(calculation), typed(name)))
    wanted = calculation(calculation.example)
    assert found.to_record(name) == wanted.to_record(name)


@pytest.mark.parametrize("name", NAMES)
def test_every_field_of_the_schema_has_a_place_in_the_form(name: str) -> None:
    calculation = catalogue.calculation(name)
    assert {each.name.split(".")[0] for each in fields_of(calculation)} == set(calculation.input.model_fields)
    assert all(each.label and not each.label.startswith("_") for each in fields_of(calculation))


@pytest.mark.parametrize("name", NAMES)
def test_the_page_works_it_out(person: Person, name: str) -> None:
    path = f"/calculations/{name}"
    fresh = person.get(path).text
    assert unescape(fresh).count("</form>") >= 1
    answer = person.send(path, typed(name), page=path, status=200).text
    assert "How this is worked out" in answer
    assert 'class="wrong"' not in answer


def test_the_list_names_every_calculation_with_its_question(person: Person) -> None:
    text = unescape(person.get("/calculations").text)
    for each in catalogue.all_calculations():
        assert f'href="/calculations/{each.name}"' in text
        assert each.question in text
    assert 'href="/calculations"' in person.get("/").text


def test_what_is_wrong_stands_beside_its_field_and_what_was_typed_stays(person: Person) -> None:
    path = "/calculations/lift"
    fields = typed("lift") | {"origin.vertical": "15 inc", "load": "", "frequency": "often"}
    text = person.send(path, fields, page=path, status=422).text
    for name in ("origin.vertical", "load", "frequency"):
        assert re.search(rf'id="f-{re.escape(name)}"[^>]*aria-invalid="true"', text), name
    assert 'value="15 inc"' in text
    assert 'value="often"' in text


def test_json_that_cannot_be_read_is_told_beside_its_box(person: Person) -> None:
    path = "/calculations/choose"
    fields = typed("choose") | {"improvements": '[{"name": "a"'}
    text = person.send(path, fields, page=path, status=422).text
    assert "is not JSON" in text
    assert "[{&#34;name&#34;: &#34;a&#34;" in text


def test_a_value_is_taken_in_either_system(person: Person) -> None:
    path = "/calculations/takt"
    one = person.send(path, typed("takt") | {"work_content": "24 min"}, page=path, status=200).text
    other = person.send(path, typed("takt") | {"work_content": "1440"}, page=path, status=200).text
    assert re.findall("<dd>([^<]+)</dd>", one) == re.findall("<dd>([^<]+)</dd>", other)


def test_what_was_typed_is_text_on_the_page_and_nothing_else(person: Person) -> None:
    path = "/calculations/takt"
    bad = '"><script>alert(1)</script>'
    text = person.send(path, typed("takt") | {"demand": bad}, page=path, status=422).text
    assert "<script>alert" not in text


def test_a_calculation_that_is_not_there_is_not_found(person: Person) -> None:
    person.get("/calculations/perpetuum", status=404)
    person.send("/calculations/perpetuum", {}, status=404)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (None, "not known"),
        (True, "yes"),
        (12345, "12,345"),
        (0.000012, "1.20e-05"),
        (1234.5678, "1,235"),
        (2.50, "2.5"),
        (Quantity(0.0254, LENGTH), "1 in"),
        (Span(60.0, None, TIME), "60 to no limit s"),
        ([], "none"),
        (["a_b", 2], "a b, 2"),
        ({"from": "saw", "distance_m": 3.0}, "from saw, distance (m) 3"),
    ],
)
def test_results_read_as_people_write_them(value: Any, text: str) -> None:
    assert shown(value, "us") == text


def test_results_are_grouped_and_rows_are_tables() -> None:
    found = results_of(catalogue.calculation("lift")(catalogue.calculation("lift").example), "us")
    assert [name for name, _ in found.groups] == ["", "origin", "destination"]
    assert found.checks
    rows = results_of(catalogue.calculation("from_to")(catalogue.calculation("from_to").example), "us").tables
    assert rows[0].headings[:2] == ("from", "to")


def test_the_page_for_programs_lists_every_route(person: Person) -> None:
    text = unescape(person.get("/api").text)
    description = person.get("/api/openapi.json").json()
    for path, methods in description["paths"].items():
        assert f"<code>{path}</code>" in text
        for operation in methods.values():
            assert f'id="{operation["operationId"]}"' in text
    assert "`" not in text
    assert "http://" not in re.sub(r"http://127\.0\.0\.1[^\"<\s]*|http://www\.w3\.org[^\"]*", "", text)
