"""Every page of the app with an address at which the demo shop shows it.

tests/web/test_pages.py compares the table with the routes of the app, so that a page which is not here fails it;
tests/browser/test_every_page.py opens each of them.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from typing import Final

_PAGES: Final = """
/                                           /
/about                                      /about
/aids                                       /aids
/aids/new/{name}                            /aids/new/panel_cart /aids/new/settling_trestle /aids/new/free_frame
/api                                        /api
/calculations                               /calculations
/calculations/{name}                        /calculations/lift /calculations/gain
/calendar                                   /calendar
/charts                                     /charts
/charts/choosing                            /charts/choosing
/charts/sheet                               /charts/sheet
/charts/watch/{number:int}                  /charts/watch/1
/export                                     /export
/improvements                               /improvements /improvements?search=nothing+like+it
/improvements/new                           /improvements/new
/improvements/{number:int}                  /improvements/1 /improvements/8 /improvements/10
/improvements/{number:int}/aid              /improvements/13/aid
/improvements/{number:int}/camera           /improvements/3/camera
/improvements/{number:int}/card             /improvements/1/card
/improvements/{number:int}/history          /improvements/1/history
/improvements/{number:int}/photos           /improvements/1/photos
/improvements/{number:int}/photos/{hash_}   /improvements/1/photos/{photo}
/improvements/{number:int}/sheet            /improvements/1/sheet
/improvements/{number:int}/studies/new      /improvements/1/studies/new?moment=again
/improvements/{number:int}/time             /improvements/1/time
/improvements/{number}/results              /improvements/1/results
/improvements/{number_:int}/worth           /improvements/1/worth
/pair                                       /pair
/settings                                   /settings
/settings/backup                            /settings/backup
/settings/distances                         /settings/distances
/settings/own                               /settings/own
/settings/password                          /settings/password
/settings/people                            /settings/people
/settings/phones                            /settings/phones
/settings/tokens                            /settings/tokens
/sign-in                                    /sign-in /sign-in?out=1
/studies/{number:int}/count                 /studies/5/count /studies/29/count
/studies/{number:int}/lift                  /studies/8/lift
/studies/{number:int}/video                 /studies/1/video
/studies/{number:int}/walk                  /studies/2/walk
/studies/{number:int}/watch                 /studies/1/watch
/studies/{study_id:int}                     /studies/1
/studies/{study_id:int}/correct             /studies/1/correct?key={reading}
/studies/{study_id:int}/import              /studies/1/import
/studies/{study_id:int}/import/{file_id}    /studies/1/import/{file}
/waiting                                    /waiting
"""

FILES: Final = frozenset(
    {
        "/photos/{hash_}",
        "/settings/backup/file/{token}",
        "/static/{version}/{path:path}",
    }
)
"""GET routes that answer with a file, though their name does not end as a file's does."""


def _table() -> dict[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for line in _PAGES.strip().splitlines():
        route, *addresses = line.split()
        assert route not in found, f"{route} stands twice"
        found[route] = tuple(addresses)
    return found


ADDRESSES: Final = _table()
"""Route of a page -> addresses; {names} in an address are for the test to fill in from the shop."""


def held(get: Callable[[str], str]) -> dict[str, str]:
    """A photo and a reading of the demo shop, as the addresses name them; `get` gives the text of an address."""
    photo = re.search(r"/improvements/1/photos/([0-9a-f]+)", get("/improvements/1/photos"))
    assert photo is not None
    reading = json.loads(get("/api/studies/1/readings?limit=1"))["readings"][0]["key"]
    return {"photo": photo.group(1), "reading": reading}


def is_page(path: str) -> bool:
    """Whether a GET route is to answer with a page: not the API's, and no file's by its ending or by FILES."""
    is_file = re.search(r"\.(?:\w+|{\w+})$", path) is not None or path in FILES
    return not path.startswith("/api/") and not is_file
