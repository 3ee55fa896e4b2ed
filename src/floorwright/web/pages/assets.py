"""Scripts, styles and fonts of the package, and the service worker at the root, where it may serve every page."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from fastapi import APIRouter
from starlette.responses import FileResponse, Response

from floorwright.basis.errors import NotFoundError
from floorwright.basis.sentence import said
from floorwright.web.desk import assets_version, static_folder

router = APIRouter()
_TYPES: Final = {
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".woff2": "font/woff2",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".txt": "text/plain; charset=utf-8",
}


@router.get("/static/{version}/{path:path}")
def asset(version: str, path: str) -> Response:
    """One asset. Its address changes with its content, so a browser may keep it for good."""
    found = _inside(path)
    kept = "public, max-age=31536000, immutable" if version == assets_version() else "no-cache"
    return FileResponse(found, media_type=_TYPES[found.suffix], headers={"Cache-Control": kept})


def _inside(path: str) -> Path:
    """The file of an asset. Raises NotFoundError for whatever is none."""
    root = static_folder().resolve()
    try:
        found = (root / path).resolve()
        inside = found.is_relative_to(root) and found.is_file() and found.suffix in _TYPES
    except (OSError, ValueError):
        inside = False
    if not inside:
        raise NotFoundError(said("there is no such file"))
    return found


@router.get("/sw.js")
def service_worker() -> Response:
    """The service worker, with the state of the assets put in, so that a new one replaces the old."""
    text = _inside("js/sw.js").read_text(encoding="utf-8").replace("__ASSETS__", assets_version())
    return Response(text, media_type=_TYPES[".js"], headers={"Cache-Control": "no-cache"})


@router.get("/favicon.ico")
def icon() -> Response:
    """The mark in the browser's tab."""
    return FileResponse(_inside("mark.svg"), media_type=_TYPES[".svg"], headers={"Cache-Control": "max-age=86400"})


@router.get("/app.webmanifest")
def manifest() -> Response:
    """What a phone needs to put the app on its home screen."""
    return Response(_MANIFEST, media_type="application/manifest+json", headers={"Cache-Control": "max-age=86400"})


_MANIFEST: Final = """{
  "name": "floorwright", "short_name": "floorwright", "start_url": "/", "scope": "/", "display": "standalone",
  "background_color": "#faf7f1", "theme_color": "#1f5660",
  "icons": [{"src": "/favicon.ico", "sizes": "any", "type": "image/svg+xml"}]
}
"""
