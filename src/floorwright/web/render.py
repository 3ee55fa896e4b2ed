"""Pages from templates: what every page needs is added here, once."""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Any, Final

from jinja2 import Environment, FileSystemLoader, StrictUndefined, select_autoescape
from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from floorwright import __version__
from floorwright.shop.admission import Role
from floorwright.shop.filed import load_settings
from floorwright.shop.records import Settings
from floorwright.web import words
from floorwright.web.desk import Desk, assets_version, desk
from floorwright.web.guard.csrf import BROWSER_COOKIE, FIELD, SESSION_COOKIE, form_key
from floorwright.web.guard.visitors import visitor_or_none

_YEAR_S: Final = 365 * 24 * 3600


@cache
def environment() -> Environment:
    """The templates of the package."""
    made = Environment(
        loader=FileSystemLoader(str(files("floorwright.web") / "templates")),
        autoescape=select_autoescape(default=True),
        undefined=StrictUndefined,
        extensions=["jinja2.ext.i18n", "jinja2.ext.do"],
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.install_gettext_callables(words.gettext, words.ngettext, newstyle=True)  # type: ignore[attr-defined]
    made.filters["said"] = words.said
    made.filters["day"] = words.day
    made.filters["moment"] = words.moment
    made.globals["asset"] = asset
    made.globals["version"] = __version__
    return made


def asset(path: str) -> str:
    """The address of an asset, which changes with its content."""
    return f"/static/{assets_version()}/{path}"


def svg(picture: str) -> Markup:
    """A drawing of `draw` as part of a page; every text in it was escaped where it was drawn."""
    return Markup(picture)  # noqa: S704


def settings_of(at: Desk) -> Settings:
    """The settings of the shop."""
    with at.shop.work() as work:
        return load_settings(work)


def is_part(request: Request) -> bool:
    """Whether the app's own script asks for a part of a page."""
    return request.headers.get("hx-request") == "true"


def page(
    request: Request,
    template: str,
    context: Mapping[str, Any] | None = None,
    *,
    block: str = "",
    status: int = 200,
) -> HTMLResponse:
    """A page, or one block of it.

    Args:
        request: what is answered.
        template: its name.
        context: what the template shows.
        block: name of the one block to give back; "" for the whole page.
        status: of the answer.
    """
    browser = request.cookies.get(BROWSER_COOKIE, "") or secrets.token_urlsafe(18)
    language = words.language_of(request)
    whole = _common(request, browser, language) | dict(context or {})
    found = environment().get_template(template)
    with words.speaking(language):
        if block:
            text = "".join(found.blocks[block](found.new_context(whole)))
        else:
            text = found.render(whole)
    answer = HTMLResponse(text, status_code=status, headers={"Vary": "Cookie, Accept-Language"})
    if request.cookies.get(BROWSER_COOKIE) != browser:
        keep(request, answer, BROWSER_COOKIE, browser, seconds=_YEAR_S)
    return answer


def _common(request: Request, browser: str, language: str) -> dict[str, Any]:
    at = desk(request)
    found = visitor_or_none(request)
    session = request.cookies.get(SESSION_COOKIE, "")

    def csrf() -> Markup:
        value = form_key(at.key, browser, session)
        return Markup('<input type="hidden" name="{}" value="{}">').format(FIELD, value)

    return {
        "csrf": csrf,
        "visitor": found,
        "may_record": found is not None and found.role >= Role.RECORDER,
        "may_lead": found is not None and found.role >= Role.LEAD,
        "settings": settings_of(at),
        "options": at.options,
        "path": request.url.path,
        "language": language,
        "languages": words.LANGUAGES,
        "svg": svg,
        "shop_identity": at.shop.identity,
        "owner": found.key if found is not None and found.kind == "account" else "",
        # A cookie ends with its session, so one that outlives it was shut out.
        "shut_out": found is None and session != "",
    }


def keep(request: Request, answer: Response, name: str, value: str, *, seconds: int) -> None:
    """Put a cookie that no script can read and no other site can send along."""
    answer.set_cookie(
        name,
        value,
        max_age=seconds,
        httponly=True,
        samesite="lax",
        secure=desk(request).options.secure,
        path="/",
    )


def go(path: str) -> RedirectResponse:
    """After a form was taken: look at this page."""
    return RedirectResponse(path, status_code=303)
