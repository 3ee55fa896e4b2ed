"""Note a waste: one photo, one sentence, where, and what kind."""

from __future__ import annotations

from typing import Any, Final

from fastapi import APIRouter, Request
from starlette.responses import Response

from floorwright.basis.errors import InputError
from floorwright.shop.improvements import add_improvement
from floorwright.shop.photos import add_photo
from floorwright.shop.records import Waste
from floorwright.shop.together import together
from floorwright.web.desk import desk
from floorwright.web.forms import Filled, Form
from floorwright.web.guard.visitors import Recorder
from floorwright.web.render import go, page, settings_of
from floorwright.web.words import N_, gettext

router = APIRouter()
WASTES: Final = (
    (Waste.WALKING, N_("walking")),
    (Waste.SEARCHING, N_("searching")),
    (Waste.WAITING, N_("waiting")),
    (Waste.LIFTING, N_("lifting")),
    (Waste.DOUBLE_HANDLING, N_("double handling")),
    (Waste.SCRATCHES, N_("scratches")),
    (Waste.SPACE, N_("space")),
    (Waste.MATERIAL, N_("material")),
    (Waste.OTHER, N_("other")),
)
NAMES: Final = ("title", "area", "waste", "photo")


@router.get("/improvements/new")
def new(request: Request, _: Recorder) -> Response:
    """The form."""
    return show(request, Filled())


def show(request: Request, filled: Filled, status: int = 200) -> Response:
    """The form as it was filled in."""
    areas = settings_of(desk(request)).areas
    context: dict[str, Any] = {
        "filled": filled,
        "areas": [(each, each) for each in areas],
        "wastes": [(waste.value, text) for waste, text in WASTES],
        "names": NAMES,
        "translated": lambda options: [(value, gettext(text)) for value, text in options],
    }
    return page(request, "add.html", context, status=status)


@router.post("/improvements/new")
def add(request: Request, who: Recorder, form: Form) -> Response:
    """File it with its photo, both or neither; what a phone without script sends."""
    at = desk(request)
    raw = {name: form.text(name) for name in ("title", "waste", "area")}
    raw |= {"noticed_by": who.name, "noticed_on": at.shop.clock.now().date().isoformat()}
    photo = form.file("photo")
    try:
        with together(at.shop) as shop:
            filed = add_improvement(shop, {name: text for name, text in raw.items() if text}, who.author)
            if photo is not None:
                add_photo(shop, filed.id, photo.file.read(), who.author, name="photo", moment="before")
    except InputError as error:
        return show(request, Filled(form.values(), error.problems), status=422)
    return go(f"/improvements/{filed.id}")
