"""The table of pages names every page of the app, and every address in it shows the page that it stands for."""

from __future__ import annotations

from fastapi.routing import iter_route_contexts
from starlette.routing import compile_path

from pages import ADDRESSES, FILES, held, is_page
from webapp import Person


def gets(person: Person) -> list[str]:
    """The path of every GET route, in the order in which the router tries them."""
    routes = iter_route_contexts(person.app.routes)
    return [route.path for route in routes if route.path is not None and "GET" in (route.methods or {"GET"})]


def test_every_page_stands_in_the_table_and_every_row_is_a_page(person: Person) -> None:
    paths = gets(person)
    assert [path for path in paths if is_page(path) and path not in ADDRESSES] == []
    assert [path for path in ADDRESSES if path not in paths or not is_page(path)] == []
    assert [path for path in FILES if path not in paths] == []


def test_every_address_shows_the_page_that_it_stands_for(person: Person) -> None:
    paths = gets(person)
    text = "step;seconds\nfetch clamps;12.5\n"
    sent = person.send("/studies/1/import", page="/studies/1/import", files={"file": ("times.csv", text)})
    names = held(lambda path: person.get(path).text) | {"file": sent.headers["location"].rpartition("/")[2]}
    for route, addresses in ADDRESSES.items():
        for address in addresses:
            found = person.get(address.format(**names))
            assert found.headers["content-type"].startswith("text/html"), address
            assert "<h1" in found.text, address
            path = found.request.url.path
            assert next(each for each in paths if compile_path(each)[0].match(path)) == route, address


def test_a_new_page_is_seen_to_be_missing(person: Person) -> None:
    """The comparison above is worth something: it sees a page that nobody put into the table."""
    person.app.add_api_route("/brand/{number:int}/new", lambda number: number, methods=["GET"])
    assert [path for path in gets(person) if is_page(path) and path not in ADDRESSES] == ["/brand/{number:int}/new"]
