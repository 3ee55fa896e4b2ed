"""The app under load, as it grows, and how much it sends: the section "The app" of docs/benchmarks.md.

`python bench/web.py` prints it; `bench/run.py` puts it on the page. `--small` is a quick pass.
"""

from __future__ import annotations

import datetime as dt
import gzip
import http.client
import json
import os
import re
import sys
import tempfile
import time
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import numpy as np

from floorwright import bootstrap, catalogue
from floorwright.cli.demo import build
from floorwright.shop.improvements import add_improvement
from floorwright.shop.ports import Author, Shop
from floorwright.shop.records import Improvement, LabourRate, Observation, RateBasis, Settings, Study
from floorwright.shop.studies import plan_study
from floorwright.web.desk import static_folder
from served import Reader, Served, Taken, asked, lap_of, serving, stopwatches

ME = Author(who="bench")
PEOPLE = 50
HEAD = "\n## The app\n"
BARE = Path(__file__).with_name("bare.py")


def serve(folder: Path) -> list[str]:
    """The command that serves a shop."""
    return ["-m", "floorwright", "serve", str(folder)]


def section(*, small: bool = False) -> str:
    """The section as Markdown."""
    with tempfile.TemporaryDirectory() as name:
        parts = [HEAD]
        parts += under_load(Path(name) / "demo", seconds=5 if small else 60)
        parts += growth(Path(name) / "grown", improvements=50 if small else 1000, readings=100 if small else 500)
    return "\n".join(parts) + "\n"


def under_load(folder: Path, *, seconds: float) -> list[str]:
    """Fifty stopwatches on the demo shop while somebody reads pages; the bare handler; sizes of pages."""
    shop = build(folder, say=lambda _: None)
    studies = list(new_studies(shop, 10))
    held = count(shop)
    shop.close()
    example = json.dumps(dict(catalogue.calculation("compare").example)).encode()
    requests = [
        ("Today", "GET", "/", None),
        ("list of improvements", "GET", "/improvements", None),
        ("page of an improvement", "GET", "/improvements/1", None),
        ("API: calculation `compare`", "POST", "/api/calc/compare", example),
    ]
    with serving(lambda port: [*serve(folder / "shop"), "--port", str(port)], first="/") as server:
        start_s = server.start_s
        settle(server)
        with Reader(server.port, requests) as reader:
            laps, sent = stopwatches(server.port, studies, people=PEOPLE, seconds=seconds)
        sizes = sizes_of(server)
        memory = server.resident_mb()
    shop = bootstrap.open_shop(folder / "shop")
    stored = count(shop) - held
    shop.close()
    with serving(lambda port: [str(BARE), str(port), str(folder / "bare.sqlite3")]) as server:
        bare, _ = stopwatches(server.port, studies, people=PEOPLE, seconds=min(seconds, 20))
    if stored != sent or laps.failed:
        raise SystemExit(f"{sent} laps were sent, {stored} are stored, {laps.failed} were not taken")
    rows = [("a lap into the inbox", laps), *reader.taken.items()]
    return [
        f"{PEOPLE} stopwatches on the demo shop, each sending a lap a second to the inbox for {seconds:.0f} s, "
        f"while one reader goes through the pages. {sent:,} laps were sent and {stored:,} are stored, each once. "
        "The bare handler is the same framework and server with one insert and nothing checked, under the same "
        "laps.\n",
        "| request | median | 95 of 100 within | against the bare handler |",
        "|---|---:|---:|---:|",
        *(
            f"| {name} | {each.median_ms:.0f} ms | {each.p95_ms:.0f} ms | {ratio(each, bare)} |"
            for name, each in rows
        ),
        f"| bare handler: one insert | {bare.median_ms:.0f} ms | {bare.p95_ms:.0f} ms | |",
        f"\nFrom the command to the first page: {start_s:.1f} s. The server holds {memory:.0f} MB afterwards."
        f"{load()}\n",
        *sizes,
    ]


def load() -> str:
    """How busy the machine was with other things, where the system says so."""
    if not hasattr(os, "getloadavg"):
        return ""
    return f" Load of the machine, everything on it counted: {os.getloadavg()[1]:.1f} on {os.cpu_count()} cores."


def ratio(ours: Taken, reference: Taken) -> str:
    """Ours over the reference."""
    return f"{ours.median_ms / reference.median_ms:.1f} ×"


def new_studies(shop: Shop, number: int) -> Iterator[int]:
    """Studies to time in: half of them are the first of an improvement, half come after its change."""
    rng = np.random.default_rng(5)
    for i in range(number):
        raw = {
            "title": f"Timed {i}",
            "waste": "waiting",
            "area": shop_area(shop),
            "noticed_by": "bench",
            "noticed_on": "2026-01-05",
            "measures": [{"name": "fetch", "kind": "times", "smallest_that_matters": 2, "saves_time": True}],
        }
        id_ = add_improvement(shop, raw, ME).id
        plan = {"improvement": id_, "measure": "fetch", "people_asked_on": "2026-01-05"}
        if i % 2:
            before = plan_study(shop, plan | {"moment": "before"}, ME).id
            start = dt.datetime(2026, 1, 6, 6)
            with shop.work() as work:
                work.observations.append(before, rows(rng, 100, start, 45.0))
                work.commit()
        yield plan_study(shop, plan | {"moment": "after" if i % 2 else "before"}, ME).id


def shop_area(shop: Shop) -> str:
    """An area that the shop has."""
    with shop.work() as work:
        areas = work.records.get("settings", 1).body["areas"]
    return str(areas[0]) if areas else "Welding"


def rows(rng: np.random.Generator, number: int, start: dt.datetime, mean: float) -> Iterator[Observation]:
    """Readings of one study, as a person would take them."""
    values = rng.lognormal(np.log(mean), 0.25, number).round(1)
    for i, value in enumerate(values.tolist()):
        yield Observation.model_construct(
            **(
                _BLANK
                | {"key": f"r{i}", "taken_at": start + dt.timedelta(seconds=60 * i), "cycle": i + 1, "value": value}
            )
        )


_BLANK = Observation(key="k", taken_at=dt.datetime(2026, 1, 5), cycle=1, value=1.0).model_dump()


def count(shop: Shop) -> int:
    """Readings of all studies."""
    with shop.work() as work:
        return sum(work.observations.counts().values())


def settle(server: Served) -> float:
    """Ask for Today until every story is told. Returns how long that took."""
    start = time.perf_counter()
    while b"<progress" in page(server, "/"):
        time.sleep(0.5)
    return time.perf_counter() - start


def page(server: Served, path: str) -> bytes:
    """A page as the browser reads it."""
    _, status, body = server.get(path)
    if status != 200:
        raise SystemExit(f"{path} answered {status}")
    return gzip.decompress(body) if body[:2] == b"\x1f\x8b" else body


PAGES = (
    ("Today", "/"),
    ("improvements", "/improvements"),
    ("an improvement", "/improvements/1"),
    ("its results", "/improvements/1/results"),
    ("a study", "/studies/1"),
    ("the stopwatch", "/studies/1/watch"),
    ("charts", "/charts"),
    ("settings", "/settings"),
    ("a calculation", "/calculations/lift"),
    ("API description", "/api/openapi.json"),
)


def sizes_of(server: Served) -> list[str]:
    """How large each page is, as it is and as it is sent, and all assets together."""
    lines = ["| page | bytes | as sent (gzip) |", "|---|---:|---:|"]
    for name, path in PAGES:
        _, status, sent = server.get(path)
        if status == 200:
            plain = gzip.decompress(sent) if sent[:2] == b"\x1f\x8b" else sent
            lines.append(f"| {name} | {len(plain):,} | {len(sent):,} |")
    today = page(server, "/").decode()
    assets = sorted(set(re.findall(r'(?:src|href)="(/static/[^"]+)"', today)))
    plain_sizes = [len(page(server, each)) for each in assets]
    sent_sizes = [len(server.get(each)[2]) for each in assets]
    lines.append(
        f"| what Today loads once beside itself ({len(assets)} files) "
        f"| {sum(plain_sizes):,} | {sum(sent_sizes):,} |"
    )
    files = [each for each in static_folder().rglob("*") if each.is_file()]
    whole = sum(each.stat().st_size for each in files)
    return [*lines, f"\nAll assets of the app together: {len(files)} files, {whole / 1024:,.0f} KB.\n"]


def growth(folder: Path, *, improvements: int, readings: int) -> list[str]:
    """Pages of a shop that has grown, with the first and the next times they are asked for."""
    start = time.perf_counter()
    middle = grown(folder, improvements, readings)
    made_s = time.perf_counter() - start
    lines = []
    with serving(lambda port: [*serve(folder), "--port", str(port)]) as server:
        first, *_ = server.get("/")
        ready_s = settle(server) + first
        lines.append(f"| Today | {1000 * first:,.0f} ms | {warm(server, '/')} |")
        for name, path in (
            ("list of improvements", "/improvements"),
            ("page of an improvement", f"/improvements/{improvements // 2}"),
            ("page of a study", f"/studies/{middle}"),
            ("API: 100 improvements", "/api/improvements?limit=100"),
            ("API: 1,000 readings", f"/api/studies/{middle}/readings"),
            ("API: the ledger", "/api/ledger"),
        ):
            first, status, _ = server.get(path)
            if status == 200:
                lines.append(f"| {name} | {1000 * first:,.0f} ms | {warm(server, path)} |")
        lap_ms, added = one_more(server, middle)
        memory = server.resident_mb()
    return [
        f"A shop with {improvements:,} improvements, each measured before and after, and "
        f"{2 * improvements * readings:,} readings (made in {made_s:.0f} s, straight through the store).\n",
        "| request | first | then (median, 95 of 100 within) |",
        "|---|---:|---:|",
        *lines,
        f"| a lap into the inbox | | {lap_ms} |",
        f"| Today with the results of that lap | | {added} |",
        f"\nToday answers at once with the results that are ready and works out the others in the background: all "
        f"{improvements:,} were there after {ready_s:.0f} s. The server then holds {memory:,.0f} MB.\n",
    ]


def warm(server: Served, path: str) -> str:
    """A page that was asked for before."""
    found = Taken([server.get(path)[0] for _ in range(15)])
    return f"{found.median_ms:.0f} ms, {found.p95_ms:.0f} ms"


def one_more(server: Served, study: int) -> tuple[str, str]:
    """A lap on top of all, and Today right after each."""
    laps, todays = Taken(), Taken()
    for lap in range(1, 11):
        connection = http.client.HTTPConnection("127.0.0.1", server.port, timeout=60)
        laps.seconds.append(asked(connection, "POST", "/api/inbox", lap_of(0, lap, [study]))[0])
        todays.seconds.append(server.get("/")[0])
    return (
        f"{laps.median_ms:.0f} ms, {laps.p95_ms:.0f} ms",
        f"{todays.median_ms:.0f} ms, {todays.p95_ms:.0f} ms",
    )


def grown(folder: Path, improvements: int, readings: int) -> int:
    """Make a shop with many improvements. Returns the number of a study in the middle."""
    rate = LabourRate(name="wage", basis=RateBasis.BURDENED, per_hour=Decimal(38))
    shop = bootstrap.new_shop(folder, Settings(name="Grown", rates=(rate,)), ME)
    rng = np.random.default_rng(11)
    at = dt.datetime(2026, 1, 5, 6)
    wastes = ("walking", "waiting", "searching", "lifting")
    with shop.work() as work:
        for i in range(improvements):
            body = {
                "title": f"Improvement {i}",
                "waste": wastes[i % 4],
                "area": ("Welding", "Brake", "Paint")[i % 3],
                "noticed_by": "bench",
                "noticed_on": "2026-01-05",
                "work_element": f"element {i}",
                "events_per_year": 5000,
                "countermeasure": "A rack beside the brake",
                "trial_started_on": "2026-02-01",
                "measures": [{"name": "fetch", "kind": "times", "smallest_that_matters": 2.0, "saves_time": True}],
            }
            record = work.records.add("improvement", full("improvement", body), author=ME, at=at)
            for moment, start, mean in (("before", at, 45.0), ("after", at + dt.timedelta(days=40), 38.0 + i % 9)):
                raw = {
                    "improvement": record.id,
                    "measure": "fetch",
                    "moment": moment,
                    "kind": "times",
                    "people_asked_on": "2026-01-04",
                }
                study = work.records.add("study", full("study", raw), author=ME, at=at)
                work.observations.append(study.id, rows(rng, readings, start, mean))
        work.commit()
    shop.close()
    return improvements


def full(kind: str, body: dict[str, object]) -> dict[str, object]:
    """A body with every field, as the use cases store it."""
    return (Improvement if kind == "improvement" else Study).model_validate(body).model_dump(mode="json")


if __name__ == "__main__":
    print(section(small="--small" in sys.argv))
