"""A form for a spec with groups in groups, made from its JSON Schema.

A group is a fieldset. A field holds one value with its unit, a choice, an answer (yes, no, not answered), a list
with one entry a line, or lines of TOML where names and tables are listed, written as in the spec's file.
`spec_values` puts a spec into its fields and reads it back.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from floorwright.basis.metal.designation import designations
from floorwright.basis.metal.material import materials
from floorwright.basis.quantity import Dimension, UnitSystem, plain_number
from floorwright.web.calculation_form import is_value, only, words_of
from floorwright.web.spec_units import DIMENSIONS

Kind = Literal["value", "choice", "answer", "list", "table", "rows", "either"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One field.

    Attributes:
        name: where its value goes: `divider.stock.material`.
        label, hint: for people.
        kind: how it is filled in.
        options: of a choice or an answer.
        required: whether it has to be filled in.
        numeric: whether a choice is one of numbers.
        dimension: of a value or of the entries of a list; None for text and plain numbers.
        unit: of a bare number; "" where there is none.
        suggest: name of the list of values that are known.
    """

    name: str
    label: str
    hint: str
    kind: Kind
    options: tuple[tuple[str, str], ...] = ()
    required: bool = False
    numeric: bool = False
    dimension: Dimension | None = None
    unit: str = ""
    suggest: str = ""

    @property
    def wide(self) -> bool:
        """Whether it takes the whole width."""
        return self.kind in ("table", "rows", "either")


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Fields that belong together.

    Attributes:
        name: its place: `divider.stock`; "" for what stands in no group.
        label, hint: for people.
        fields: its own, then groups in it.
        rare: whether few people fill it in, so that it is folded until somebody does.
    """

    name: str
    label: str
    hint: str
    fields: tuple[Field, ...]
    groups: tuple[Group, ...] = ()
    rare: bool = False

    def all_fields(self) -> Iterator[Field]:
        """Its fields and those of the groups in it."""
        yield from self.fields
        for each in self.groups:
            yield from each.all_fields()


Form = tuple[Group, ...]


def form_of(
    schema: Mapping[str, Any], system: UnitSystem, *, first: str, last: Sequence[str], rare: Sequence[str] = ()
) -> Form:
    """The form of a schema.

    Args:
        schema: JSON Schema of the spec.
        system: the shop's units.
        first: what the group of the fields that stand in no group is called; it comes where the first of them does.
        last: names that come after all others, in this order.
        rare: names of groups that few people fill in.
    """
    order = [name for name in schema["properties"] if name not in last] + [
        n for n in last if n in schema["properties"]
    ]
    single: list[Field] = []
    groups: list[Group] = []
    place = None
    for name in order:
        needed = name in schema.get("required", ())
        made = _made(name, schema["properties"][name], schema, system, required=needed)
        if isinstance(made, Field):
            single.append(made)
            place = len(groups) if place is None and name not in last else place
        elif made is not None:
            groups.append(replace(made, rare=made.rare or name in rare))
    single.sort(key=lambda each: (each.name not in last, each.wide))
    groups.insert(place or 0, Group(name="", label=first, hint="", fields=tuple(single)))
    return tuple(groups)


def _made(
    name: str, about: Mapping[str, Any], whole: Mapping[str, Any], system: UnitSystem, *, required: bool
) -> Field | Group | None:
    found = only(about, whole)
    if "const" in found or len(found.get("enum", (0, 1))) == 1:
        return None  # there is nothing to choose
    if found.get("type") != "object" or "properties" not in found:
        return _field(name, about, found, system, required=required)
    inside = [
        _made(f"{name}.{each}", inner, whole, system, required=required and each in found.get("required", ()))
        for each, inner in found["properties"].items()
    ]
    fields = [each for each in inside if isinstance(each, Field)]
    groups = [each for each in inside if isinstance(each, Group)]
    if found.get("title") == "SectionInput":
        # Nearly always a designation alone; its sizes are for what no table has.
        sizes = Group(
            name=f"{name}.sizes",
            label="Its sizes instead of a designation",
            hint="",
            fields=tuple(fields[1:]),
            rare=True,
        )
        fields, groups = [replace(fields[0], label="Section", suggest="designations", required=False)], [sizes]
    if found.get("title") == "Stock":
        fields = [
            replace(each, suggest="materials") if each.name == f"{name}.material" else each for each in fields
        ]
        section, *groups = groups
        fields, groups = [*section.fields, *fields], [*section.groups, *groups]
    return Group(
        name=name,
        label=_label(name),
        hint=_said(about),
        fields=tuple(fields),
        groups=tuple(groups),
        rare="default" in about and about["default"] is None,
    )


def _field(
    name: str, about: Mapping[str, Any], found: Mapping[str, Any], system: UnitSystem, *, required: bool
) -> Field:
    label, hint = _label(name), _said(about)
    if "enum" in found or found.get("type") == "boolean":
        return _choice(name, label, hint, about, found, required=required)
    if found.get("type") == "array" and is_value(found.get("items", {})):
        dimension = DIMENSIONS.get(found["items"].get("x-dimension", ""))
        hint = f"{hint} One a line.".strip()
        unit = dimension.shown_unit(system) if dimension else ""
        return Field(
            name=name, label=label, hint=hint, kind="list", required=required, dimension=dimension, unit=unit
        )
    if found.get("type") == "array":
        hint = f"{hint} Written as in the file: [[{name}]] before each, or one a line.".strip()
        return Field(name=name, label=label, hint=hint, kind="rows", required=required)
    if found.get("type") == "object":
        hint = f"{hint} One a line, written as in the file; there a bare number is in SI."
        return Field(name=name, label=label, hint=hint, kind="table", required=required)
    if is_value(found):
        dimension = DIMENSIONS.get(found.get("x-dimension", ""))
        unit = dimension.shown_unit(system) if dimension else ""
        hint = " ".join(filter(None, (hint, _usual(about, dimension, system))))
        return Field(
            name=name, label=label, hint=hint, kind="value", required=required, dimension=dimension, unit=unit
        )
    hint = f"{hint} One word, or a table as in the file: {{ name = value, ... }}."
    return Field(name=name, label=label, hint=hint, kind="either", required=required)


def _choice(
    name: str, label: str, hint: str, about: Mapping[str, Any], found: Mapping[str, Any], *, required: bool
) -> Field:
    usual = about.get("default")
    answer = "enum" not in found
    if answer:
        options = [("yes", "yes"), ("no", "no")]
        if usual is not None:
            options.insert(0, ("", f"as usual ({'yes' if usual else 'no'})"))
        elif not required:
            options.insert(0, ("", "not answered"))
    else:
        options = [(str(each), str(each).replace("_", " ")) for each in found["enum"]]
        if not required:
            options.insert(0, ("", "not told" if usual is None else f"as usual ({str(usual).replace('_', ' ')})"))
    return Field(
        name=name,
        label=label,
        hint=hint,
        kind="answer" if answer else "choice",
        options=tuple(options),
        required=required,
        numeric=found.get("type") in ("integer", "number"),
    )


def _label(name: str) -> str:
    return words_of(name.rpartition(".")[2])


def _said(about: Mapping[str, Any]) -> str:
    text = str(about.get("description", "")).strip().replace("`", "").removeprefix("... ").replace(" (plain)", "")
    return f"{text[:1].upper()}{text[1:]}.".replace("..", ".") if text else ""


def _usual(about: Mapping[str, Any], dimension: Dimension | None, system: UnitSystem) -> str:
    usual = about.get("default")
    if (
        isinstance(usual, bool)
        or not isinstance(usual, (int, float))
        or "unless" in str(about.get("description", ""))
    ):
        return ""
    return f"{in_units(float(usual), dimension, system, digits=3)} unless told."


def in_units(value_si: float, dimension: Dimension | None, system: UnitSystem, digits: int = 6) -> str:
    """A value as one would type it, in the shop's unit: so many digits, no more zeros than needed."""
    number = value_si if dimension is None else dimension.to_shown(value_si, system)
    text = plain_number(number, digits).replace(",", "")
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return f"{text} {dimension.shown_unit(system)}".strip() if dimension else text


def suggestions() -> dict[str, tuple[str, ...]]:
    """The values that are known, by the name of their list."""
    return {"designations": designations(), "materials": ("unknown", *materials())}
