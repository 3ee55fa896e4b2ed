"""Every page of the app: those opened on the floor, each with an address in the demo shop, and the office's.

A page that is opened on a phone speaks every language of the app. `tests/web/test_words.py` holds that every route
is here, and `tests/browser/test_spanish.py` opens each of the first kind.
"""

from __future__ import annotations

from typing import Final

PHONE_PAGES: Final[dict[str, tuple[str, ...]]] = {
    "/": ("/",),
    "/improvements": ("/improvements",),
    "/improvements/new": ("/improvements/new",),
    "/improvements/{number:int}": ("/improvements/1", "/improvements/8"),
    "/improvements/{number:int}/camera": ("/improvements/1/camera",),
    "/improvements/{number:int}/card": ("/improvements/1/card",),
    "/improvements/{number:int}/history": ("/improvements/1/history",),
    "/improvements/{number:int}/photos": ("/improvements/1/photos",),
    "/improvements/{number:int}/photos/{hash_}": ("/improvements/1/photos/{photo}",),
    "/improvements/{number:int}/studies/new": ("/improvements/1/studies/new",),
    "/improvements/{number:int}/time": ("/improvements/1/time",),
    "/pair": ("/pair",),
    "/sign-in": ("/sign-in", "/sign-in?out=yes"),
    # Times, walks, counts, lifts, shares, and one that is typed in.
    "/studies/{study_id:int}": tuple(f"/studies/{n}" for n in (1, 2, 5, 8, 29, 34)),
    "/studies/{study_id:int}/correct": ("/studies/2/correct?key={reading}",),
    "/studies/{number:int}/count": ("/studies/5/count", "/studies/29/count"),
    "/studies/{number:int}/lift": ("/studies/8/lift",),
    "/studies/{number:int}/video": ("/studies/1/video",),
    "/studies/{number:int}/walk": ("/studies/2/walk",),
    "/studies/{number:int}/watch": ("/studies/1/watch",),
    "/waiting": ("/waiting",),
}
"""The route of a page -> addresses; {photo} and {reading} are of the first improvement and the second study."""

OFFICE_PAGES: Final = frozenset(
    {
        "/about",
        "/aids",
        "/aids/new/{name}",
        "/api",
        "/calculations",
        "/calculations/{name}",
        "/calendar",
        "/charts",
        "/charts/choosing",
        "/charts/sheet",
        "/charts/watch/{number:int}",
        "/export",
        "/improvements/{number:int}/aid",
        "/improvements/{number:int}/sheet",
        "/improvements/{number_:int}/worth",
        "/improvements/{number}/results",
        "/settings",
        "/settings/backup",
        "/settings/distances",
        "/settings/own",
        "/settings/password",
        "/settings/people",
        "/settings/phones",
        "/settings/tokens",
        "/studies/{study_id:int}/import",
        "/studies/{study_id:int}/import/{file_id}",
    }
)
"""Pages for a laptop, in English."""

NO_PAGES: Final = frozenset(
    {
        "/app.webmanifest",
        "/calendar.ics",
        "/charts/sheet.pdf",
        "/charts/sheet/{place:int}.png",
        "/favicon.ico",
        "/improvements/{number:int}/sheet.pdf",
        "/improvements/{number:int}/sheet/{place:int}.png",
        "/photos/{hash_}",
        "/settings/backup/file/{token}",
        "/static/{version}/{path:path}",
        "/sw.js",
    }
)
"""What answers with a file; so does every address that ends in `.{ending}`."""
