"""The photos of an improvement: add, say what they show, put in order, draw on, mask, remove; the camera."""

from __future__ import annotations

from fastapi import APIRouter

router = APIRouter()
