"""A design as the interfaces send it, and as plain text."""

from __future__ import annotations

from typing import Any

from floorwright.basis.outcome import to_plain
from floorwright.basis.quantity import LENGTH, MASS, Quantity, UnitSystem
from floorwright.basis.sources import source
from floorwright.propose.aid.aid import Finding
from floorwright.propose.aid.design import Design

SIGNS = {"ok": "ok", "close": "close", "fails": "FAILS", "unknown": "unknown"}


def design_record(design: Design, system: UnitSystem) -> dict[str, Any]:
    """The whole design: checks with their working, parts, effects, cautions, rating."""
    proposal = design.proposal()
    return {
        "pattern": design.spec.pattern,
        "title": design.spec.title,
        "verdict": overall(design),
        "counts": counts(design),
        "checks": [_finding(each, system) for each in design.findings],
        "parts": [
            {
                "name": part.name,
                "count": part.count,
                "material": part.material,
                "length": None if part.length_m is None else Quantity(part.length_m, LENGTH).to_record(system),
            }
            for part in proposal.parts
        ],
        "mass": Quantity(design.layout.own_kg, MASS).to_record(system),
        "load": Quantity(design.layout.load_kg, MASS).to_record(system),
        "effects": [
            {"measure": effect.measure, "text": effect.per_event.text(system)} for effect in proposal.effects
        ],
        "cautions": [
            {"signal": each.signal, "text": each.text, "approval": each.approval} for each in proposal.cautions
        ],
        "rating": {
            "given": design.rating.given,
            "total": None
            if design.rating.total_kg is None
            else Quantity(design.rating.total_kg, MASS).to_record(system),
            "by_tier": {
                name: Quantity(mass, MASS).to_record(system) for name, mass in design.rating.by_tier_kg.items()
            },
            "why_not": list(design.rating.why_not),
            "conditions": list(design.rating.conditions),
            "proof_test": list(design.rating.proof),
            "look_for": list(design.rating.look_for),
            "inspection_days": design.rating.inspection_days,
            "plate": list(design.rating.plate),
        },
        "sources": {each: source(each).text() for each in sources_of(design)},
    }


def _finding(finding: Finding, system: UnitSystem) -> dict[str, Any]:
    working = [] if finding.working is None else to_plain(finding.working.to_record(), system)
    return finding.check.to_record(system) | {
        "safety": finding.safety,
        "about": finding.about,
        "working": working,
    }


def counts(design: Design) -> dict[str, int]:
    """How many checks have each verdict."""
    found = dict.fromkeys(("fails", "unknown", "close", "ok"), 0)
    for each in design.findings:
        found[each.check.verdict] += 1
    return found


def overall(design: Design) -> str:
    """The verdict on the whole: fails before unknown before close before ok."""
    found = counts(design)
    return next((name for name in ("fails", "unknown", "close") if found[name]), "ok")


def sources_of(design: Design) -> tuple[str, ...]:
    """Ids of the sources that checks and workings name, in their order."""
    named = [each.check.source for each in design.findings]
    named += [step.source for working in design.workings for step in working.steps]
    return tuple(dict.fromkeys(each for each in named if each and " " not in each))


def design_text(design: Design, system: UnitSystem) -> str:
    """The design for a terminal: what to change first, then every check, the parts, the rating."""
    found = counts(design)
    lines = [design.spec.title, "=" * len(design.spec.title), ""]
    lines.append(
        f"{len(design.findings)} checks: {found['fails']} fail, {found['unknown']} unknown, "
        f"{found['close']} close, {found['ok']} ok."
    )
    first = design.governing
    if first is not None and first.check.verdict in ("fails", "unknown"):
        lines += ["", f"First: {first.check.sentence}", f"       ({first.check.case})"]
    lines += ["", "Checks"]
    for finding in design.findings:
        check = finding.check
        ratio = "" if check.ratio is None else f"{check.ratio:.2f}"
        lines.append(f"  {SIGNS[check.verdict]:<8}{ratio:>6}  {check.name}")
        lines.append(f"                  {check.sentence}")
        lines.append(f"                  [{check.case}; {check.source}]")
    lines += ["", "Parts"]
    for part in design.proposal().parts:
        length = "" if part.length_m is None else f", {Quantity(part.length_m, LENGTH).text(system)} each"
        lines.append(f"  {part.count} x {part.name}: {part.material}{length}")
    lines += ["", "Cautions", *(f"  {each.signal}: {each.text}" for each in design.cautions)]
    rating = design.rating
    lines += ["", "Rating"]
    if not rating.given:
        lines.append(f"  Withheld: {', '.join(rating.why_not) or 'nothing lies on it'}.")
    lines += [f"  {line}" for line in rating.plate]
    if rating.given:
        lines += ["", "Proof test before first use", *(f"  {i}. {line}" for i, line in enumerate(rating.proof, 1))]
        lines += [f"  Look for: {line}." for line in rating.look_for]
        lines.append(f"  Inspect every {rating.inspection_days} days.")
    return "\n".join(lines)
