"""The text of a STEP file: numbered entities, numbers and strings as ISO 10303-21 writes them."""

from __future__ import annotations

from floorwright.draw.aid_solids import XYZ
from floorwright.draw.text import clean


class StepText:
    """Collects the entities of a file; each `add` gives the reference of what it added."""

    def __init__(self) -> None:
        self._lines: list[str] = []
        self.product_context = ""
        self.definition_context = ""

    def add(self, entity: str) -> str:
        """Add an entity; gives "#12"."""
        self._lines.append(entity)
        return f"#{len(self._lines)}"

    def point(self, at: XYZ) -> str:
        """A point, in mm."""
        return self.add(f"CARTESIAN_POINT('',({_numbers(at)}))")

    def direction(self, along: XYZ) -> str:
        """A direction."""
        return self.add(f"DIRECTION('',({_numbers(along)}))")

    def placement(self, at: XYZ, axis: XYZ, first: XYZ) -> str:
        """A place with its axis and the direction from which angles count."""
        return self.add(f"AXIS2_PLACEMENT_3D('',{self.point(at)},{self.direction(axis)},{self.direction(first)})")

    def file(self, *, name: str, written: str) -> str:
        """The whole file."""
        entities = "\n".join(f"#{number}={line};" for number, line in enumerate(self._lines, start=1))
        return (
            "ISO-10303-21;\nHEADER;\n"
            "FILE_DESCRIPTION(('shop aid: solids of its parts'),'2;1');\n"
            f"FILE_NAME({quoted(name)},{quoted(written)},(''),(''),'floorwright','floorwright','');\n"
            "FILE_SCHEMA(('AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }'));\n"
            f"ENDSEC;\nDATA;\n{entities}\nENDSEC;\nEND-ISO-10303-21;\n"
        )


def quoted(text: str) -> str:
    """A string as the file writes it: ASCII, everything else by its code point (ISO 10303-21, 6.4.3)."""
    parts = []
    for char in clean(text):
        code = ord(char)
        if char == "'":
            parts.append("''")
        elif char == "\\":
            parts.append("\\\\")
        elif 32 <= code < 127:
            parts.append(char)
        elif code < 0x10000:
            parts.append(f"\\X2\\{code:04X}\\X0\\")
        else:
            parts.append(f"\\X4\\{code:08X}\\X0\\")
    return f"'{''.join(parts)}'"


def _numbers(values: XYZ) -> str:
    return ",".join(number(value) for value in values)


def number(value: float) -> str:
    """A real number: it always has its point."""
    rounded = round(value, 9)
    shown = repr(rounded + 0.0).upper()  # no minus zero
    if "E" in shown:
        mantissa, power = shown.split("E")
        return f"{mantissa if '.' in mantissa else mantissa + '.'}E{power}"
    return shown
