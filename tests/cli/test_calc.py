"""`floorwright calc`: exit status, error shape, batch lines, names that stand twice."""

from __future__ import annotations

import json
from pathlib import Path

from cli.conftest import Run, parsed
from floorwright import catalogue

TAKT = {"available_time": "450 min", "demand": 60, "work_content": "24 min"}


def test_list_schema_and_explanation(run: Run) -> None:
    assert len(run("calc", "--list").stdout.splitlines()) == len(catalogue.names())
    assert parsed(run("calc", "takt", "--schema"))["title"] == "takt"
    assert "takt = T / D" in run("calc", "takt", "-", "--explain", given=json.dumps(TAKT)).stdout


def test_units_of_the_output(run: Run) -> None:
    walk = {"distances": [["a", "b", "10 ft"]], "trips": [["a", "b", 2]]}
    si = parsed(run("calc", "from_to", "-", given=json.dumps(walk)))["results"]["distance"]
    us = parsed(run("calc", "from_to", "-", "--units", "us", given=json.dumps(walk)))["results"]["distance"]
    assert (round(si["value"], 4), si["unit"]) == (6.096, "m")
    assert (round(us["value"], 9), us["unit"]) == (20.0, "ft")


def test_bad_input_names_every_field_on_stdout_and_says_one_sentence_on_stderr(run: Run) -> None:
    wrong = '{"available_time": "-5 min", "demand": NaN, "colour": 1}'
    failed = run("calc", "takt", "-", given=wrong, expect=2)
    fields = {each["field"] for each in parsed(failed)["error"]["fields"]}
    assert fields == {"available_time", "demand", "work_content", "colour"}
    assert len(failed.stderr.strip().splitlines()) == 1
    assert "Traceback" not in failed.stderr


def test_a_name_that_stands_twice_is_refused(run: Run) -> None:
    failed = run("calc", "takt", "-", given='{"demand": 1, "demand": 2}', expect=2)
    (field,) = parsed(failed)["error"]["fields"]
    assert (field["field"], field["message"]) == ("demand", "stands twice in one object; leave one out")


def test_line_n_of_a_batch_answers_line_n(run: Run, tmp_path: Path) -> None:
    lines = [
        json.dumps({"calculation": "takt", "input": TAKT}),
        "",
        "not json",
        json.dumps({"calculation": "nothing", "input": {}}),
        json.dumps({"calculation": "takt", "inputs": TAKT}),
        json.dumps({"calculation": "takt", "input": TAKT}),
    ]
    (tmp_path / "many.jsonl").write_text("\n".join(lines) + "\n", encoding="utf-8")
    answers = [json.loads(line) for line in run("calc", "--batch", "many.jsonl").stdout.splitlines()]
    assert ["error" in answer for answer in answers] == [False, True, True, True, True, False]
    assert answers[4]["error"]["fields"][0]["field"] == "inputs"
    assert answers[0] == answers[5]


def test_a_batch_file_that_is_not_there(run: Run) -> None:
    failed = run("calc", "--batch", "nowhere.jsonl", expect=2)
    assert "nowhere.jsonl" in json.dumps(parsed(failed))
