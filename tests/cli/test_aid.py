"""`floorwright aid`: patterns, a spec to start from, checks with their exit status, drawings in files."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from pypdf import PdfReader

from cli.conftest import Run, parsed
from floorwright.propose.aid.registry import PATTERNS


def spec_file(run: Run, folder: Path, pattern: str) -> Path:
    """The example of a pattern as a file."""
    path = folder / "müll wagen.toml"
    path.write_text(run("aid", "example", pattern).stdout, encoding="utf-8")
    return path


def test_every_pattern_is_listed_with_what_it_is_for(run: Run) -> None:
    lines = run("aid", "list").stdout.splitlines()
    assert [line.split()[0] for line in lines] == list(PATTERNS)


@pytest.mark.parametrize("pattern", list(PATTERNS))
def test_the_example_of_a_pattern_is_a_spec_of_it(run: Run, pattern: str) -> None:
    assert tomllib.loads(run("aid", "example", pattern).stdout)["pattern"] == pattern


def test_an_example_goes_into_a_file_and_never_over_another(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "bars.toml"
    run("aid", "example", "bar_cart", "--to", str(path))
    assert tomllib.loads(path.read_text(encoding="utf-8"))["pattern"] == "bar_cart"
    assert "is there already" in run("aid", "example", "panel_cart", "--to", str(path), expect=2).stderr
    assert tomllib.loads(path.read_text(encoding="utf-8"))["pattern"] == "bar_cart"


def test_a_check_says_what_holds_and_ends_with_0(run: Run, tmp_path: Path) -> None:
    said = run("aid", "check", str(spec_file(run, tmp_path, "bar_cart"))).stdout
    assert "0 fail, 0 unknown" in said
    assert "Working load 291 lb in total" in said
    assert "WARNING: These checks are no certificate." in said


def test_a_check_as_json_has_every_check_with_its_working(run: Run, tmp_path: Path) -> None:
    made = parsed(run("aid", "check", str(spec_file(run, tmp_path, "free_frame")), "--json", "--units", "si"))
    assert made["verdict"] in ("ok", "close")
    assert made["rating"]["given"] is True
    names = {each["name"]: each for each in made["checks"]}
    tilt = names["stands on a tilted floor"]
    assert tilt["demand"] == {"value": pytest.approx(10.0), "unit": "deg"}
    assert tilt["working"]
    assert all(each["sentence"] and each["source"] for each in made["checks"])


def test_what_fails_or_is_unknown_ends_with_1_and_comes_first(run: Run, tmp_path: Path) -> None:
    path = spec_file(run, tmp_path, "panel_cart")
    text = path.read_text(encoding="utf-8").replace('rating = "600 lb"', "")
    path.write_text(text, encoding="utf-8")
    said = run("aid", "check", str(path), expect=1).stdout
    assert "First: The casters carry no rating: nobody knows what they hold." in said
    assert "Withheld: casters: rating." in said


def test_a_slip_in_a_spec_is_named_once_on_stderr(run: Run, tmp_path: Path) -> None:
    path = spec_file(run, tmp_path, "panel_cart")
    path.write_text(path.read_text(encoding="utf-8").replace("slots = 10", "slotz = 10"), encoding="utf-8")
    failed = run("aid", "check", str(path), "--json", expect=2)
    fields = {each["field"]: each["message"] for each in parsed(failed)["error"]["fields"]}
    assert "did you mean slots?" in fields["slotz"]
    assert "Traceback" not in failed.stderr


def test_a_frame_on_hinges_is_told_by_node_and_direction(run: Run, tmp_path: Path) -> None:
    path = spec_file(run, tmp_path, "free_frame")
    text = path.read_text(encoding="utf-8").replace('kind = "welded"', 'kind = "pinned"')
    path.write_text(text, encoding="utf-8")
    failed = run("aid", "check", str(path), expect=2)
    assert "Node 'top front' moves along y: nothing holds it" in failed.stderr
    assert "Traceback" not in failed.stderr


def test_drawings_land_in_a_folder_in_every_form(run: Run, tmp_path: Path) -> None:
    path = spec_file(run, tmp_path, "settling_trestle")
    run("aid", "draw", str(path), "--to", str(tmp_path / "drawn"), "--units", "si", "--paper", "a4")
    drawn = {each.name.removeprefix("müll wagen"): each.read_bytes() for each in (tmp_path / "drawn").iterdir()}
    assert set(drawn) == {"-side.svg", "-front.svg", "-top.svg", "-iso.svg", ".pdf", ".dxf", ".step", ".glb"}
    assert drawn[".pdf"].startswith(b"%PDF-")
    assert drawn[".step"].startswith(b"ISO-10303-21;")
    assert drawn[".glb"].startswith(b"glTF")
    assert b"SECTION" in drawn[".dxf"]
    assert b"<svg" in drawn["-iso.svg"]


def test_a_pattern_that_there_is_not_is_answered_with_the_nearest(run: Run) -> None:
    assert "did you mean 'bar_cart'?" in run("aid", "example", "bar_carts", expect=2).stderr


def test_the_calculation_sheet_goes_into_a_pdf(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "sheets" / "trestle.pdf"
    spec = str(spec_file(run, tmp_path, "settling_trestle"))
    said = run("aid", "sheet", spec, "--to", str(path), "--units", "si", "--paper", "a4", "--shop", "Alder Hollow")
    assert said.stdout.strip() == str(path)
    first = PdfReader(path).pages[0]
    assert float(first.mediabox.width) == pytest.approx(595.3, abs=0.5)
    assert "Alder Hollow" in first.extract_text()
    assert "newtons" in first.extract_text()


def test_a_sheet_needs_a_file_to_go_to(run: Run, tmp_path: Path) -> None:
    assert "--to" in run("aid", "sheet", str(spec_file(run, tmp_path, "free_frame")), expect=2).stderr
