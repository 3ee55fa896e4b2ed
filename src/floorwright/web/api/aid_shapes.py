"""What the API answers about shop aids, as models for its description."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field

from floorwright.web.api.shapes import CheckAnswer, Shape, WorkingLine

Verdict = Literal["fails", "unknown", "close", "ok"]


class AidLine(Shape):
    """A pattern in the list."""

    name: str
    title: str
    question: str = Field(description="what it is for, one line")
    href: str = Field(description="where to ask for its schema")


class Aids(Shape):
    """Every pattern of shop aids."""

    patterns: list[AidLine]
    check: str = Field(description="where to send a spec")


class AidIntro(Shape):
    """What one pattern needs."""

    name: str
    title: str
    question: str
    schema_: dict[str, Any] = Field(alias="schema", description="JSON Schema (2020-12) of its spec")
    example: dict[str, Any] = Field(description="a spec that holds")
    toml: str = Field(description="the same as a TOML file with comments")


class Amount(Shape):
    """A quantity."""

    value: float | None
    unit: str


class AidCheck(CheckAnswer):
    """A check of the aid with its working."""

    safety: bool = Field(description="whether the rating is withheld while it fails or is unknown")
    about: str = Field(description="the bar, wheel or piece that it is about; empty for the whole")
    working: list[WorkingLine]


class AidPart(Shape):
    """What has to be cut, bought or reclaimed."""

    name: str
    count: int
    material: str
    length: Amount | None = Field(description="of each, where it is cut from bar")


class AidEffect(Shape):
    """What the aid changes."""

    measure: str
    text: str


class AidCaution(Shape):
    """What can hurt someone; the signal word follows ANSI Z535."""

    signal: Literal["DANGER", "WARNING", "CAUTION", "NOTICE"]
    text: str
    approval: str = Field(description="who must approve before use; empty where nobody in particular")


class AidRating(Shape):
    """The working load, or why it is withheld."""

    given: bool
    total: Amount | None
    by_tier: dict[str, Amount]
    why_not: list[str] = Field(description="names of the safety checks that fail or are unknown")
    conditions: list[str]
    proof_test: list[str]
    look_for: list[str]
    inspection_days: int
    plate: list[str] = Field(description="lines of the rating plate")


class DesignAnswer(Shape):
    """A checked aid: the same as `floorwright aid check --json`."""

    pattern: str
    title: str
    verdict: Verdict
    counts: dict[Verdict, int]
    checks: list[AidCheck]
    parts: list[AidPart]
    mass: Amount
    load: Amount
    effects: list[AidEffect]
    cautions: list[AidCaution]
    rating: AidRating
    sources: dict[str, str] = Field(description="id -> citation of what checks and workings name")
