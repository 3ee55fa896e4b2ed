"""The least role for every route of the app. A route that is not here fails tests/web/test_security.py."""

from __future__ import annotations

from typing import Final

ANYBODY: Final = "anybody"
"""No sign-in: doors, assets, what shows nothing of the shop, and the calendar, whose address is its own secret."""

_ANYBODY: Final = """
GET /about
POST /language
GET /static/{version}/{path:path}
GET /sw.js
GET /favicon.ico
GET /app.webmanifest
GET /pair
POST /pair
GET /sign-in
POST /sign-in
POST /sign-out
GET /waiting
GET /api/openapi.json
GET /calendar.ics
"""

_VIEWER: Final = """
GET /
GET /charts/choosing
GET /charts/watch/{number:int}
GET /improvements/list.{ending}
POST /improvements/views
GET /aids
GET /improvements/{number:int}/aid
GET /improvements/{number:int}/aid/{what}.{ending}
GET /api/aids
GET /api/aids/panel_cart
GET /api/aids/bar_cart
GET /api/aids/settling_trestle
GET /api/aids/free_frame
GET /calculations
GET /calculations/{name}
POST /calculations/{name}
POST /calculations/{name}/results.{ending}
GET /about/licences.{ending}
GET /improvements/{number_:int}/worth.{ending}
GET /calendar
POST /calendar
GET /export
GET /export/observations.{ending}
GET /export/{what}.{ending}
GET /improvements/{number:int}/photos
GET /improvements/{number:int}/photos/{hash_}
GET /api
GET /charts
GET /charts/sheet
GET /charts/sheet.pdf
GET /charts/sheet/{place:int}.png
GET /improvements
GET /improvements/{number:int}
GET /improvements/{number:int}/card
GET /improvements/{number:int}/history
GET /improvements/{number}/results
GET /improvements/{number_:int}/worth
GET /improvements/{number:int}/sheet
GET /improvements/{number:int}/sheet.pdf
GET /improvements/{number:int}/sheet/{place:int}.png
GET /photos/{hash_}
GET /settings
GET /settings/password
POST /settings/password
GET /studies/{study_id:int}
GET /api/calc
GET /api/calc/*
POST /api/calc/*
GET /api/choices
GET /api/due
GET /api/improvements
GET /api/improvements/{number}
GET /api/improvements/{number}/history
GET /api/improvements/{number}/photos
GET /api/improvements/{number}/photos/{hash}
GET /api/improvements/{number}/results
GET /api/ledger
GET /api/ledger/months
GET /api/settings
GET /api/studies
GET /api/studies/{number}
GET /api/studies/{number}/readings
GET /api/studies/{number}/results
"""

_RECORDER: Final = """
GET /aids/new/{name}
POST /aids/new/{name}
POST /aids/file/{what}.{ending}
POST /api/aids/check
POST /improvements/{number:int}/clash
GET /improvements/new
POST /improvements/new
POST /improvements/{number:int}/notes
POST /improvements/{number:int}/photos
GET /improvements/{number:int}/camera
POST /improvements/{number:int}/photos/{hash_}
POST /improvements/{number:int}/photos/{hash_}/move
POST /improvements/{number:int}/photos/{hash_}/marks
POST /improvements/{number:int}/photos/{hash_}/mask
GET /improvements/{number:int}/time
POST /improvements/{number:int}/time
POST /studies/{study_id:int}/asked
POST /studies/{study_id:int}/clash
POST /studies/{study_id:int}/readings
GET /studies/{study_id:int}/correct
POST /studies/{study_id:int}/correct
GET /studies/{study_id:int}/import
POST /studies/{study_id:int}/import
GET /studies/{study_id:int}/import/{file_id}
POST /studies/{study_id:int}/import/{file_id}
GET /studies/{study_id:int}/import/{file_id}/reading.{ending}
GET /studies/{number:int}/watch
GET /studies/{number:int}/video
GET /studies/{number:int}/count
GET /studies/{number:int}/walk
GET /studies/{number:int}/lift
POST /api/improvements
POST /api/improvements/{number}/notes
POST /api/improvements/{number}/photos
POST /api/studies
POST /api/studies/{number}/readings
POST /api/inbox
"""

_LEAD: Final = """
POST /aids/keep
POST /aids/begin
POST /api/improvements/{number}/aid
POST /charts/choosing
POST /improvements/{number_:int}/worth
POST /improvements/{number:int}/photos/{hash_}/remove
POST /improvements/{number:int}/change/{name}
POST /improvements/{number:int}/measures
POST /improvements/{number:int}/drop
POST /improvements/{number:int}/undo
GET /improvements/{number:int}/studies/new
POST /improvements/{number:int}/studies/new
GET /settings/export/{what}.{ending}
GET /settings/backup
POST /settings/backup
GET /settings/backup/file/{token}
POST /settings/restore
POST /settings/restore/open
GET /settings/own
POST /settings/own
GET /settings/distances
POST /settings/distances
GET /settings/people
POST /settings/people
POST /settings/people/{number}/password
POST /settings/people/{number}/disable
GET /settings/phones
POST /settings/phones/offer
POST /settings/phones/{number}/name
POST /settings/phones/{number}/revoke
GET /settings/tokens
POST /settings/tokens
POST /settings/tokens/{number}/revoke
POST /settings/undo
POST /settings/here
POST /settings/change/{group}
PATCH /api/improvements/{number}
POST /api/improvements/{number}/undo
PATCH /api/settings
PATCH /api/studies/{number}
"""


def _table() -> dict[str, str]:
    found: dict[str, str] = {}
    for role, text in ((ANYBODY, _ANYBODY), ("viewer", _VIEWER), ("recorder", _RECORDER), ("lead", _LEAD)):
        for line in text.split("\n"):
            if line:
                assert line not in found, f"{line} stands twice"
                found[line] = role
    return found


LEAST_ROLE: Final = _table()


def least_role(route: str) -> str | None:
    """The least role for a route such as "GET /about"; None where the table has no row for it."""
    named = LEAST_ROLE.get(route)
    if named is not None:
        return named
    return next(
        (role for row, role in LEAST_ROLE.items() if row.endswith("/*") and route.startswith(row[:-1])), None
    )
