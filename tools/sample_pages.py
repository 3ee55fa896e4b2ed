"""Render sample pages with invented data into out/samples, to look at: `python tools/sample_pages.py`.

The shop, its people and all numbers are made up. Photos are drawn here.
"""

from __future__ import annotations

import io
import sys
from dataclasses import replace
from pathlib import Path
from statistics import fmean, stdev

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

from floorwright import draw, report

OUT = Path(__file__).resolve().parent.parent / "out" / "samples"
SHOP = "Alder Hollow Street Furniture"


def photo(kind: str, seed: int, size: tuple[int, int] = (1280, 960)) -> bytes:
    """A drawn stand-in for a photo of the weld bay: far racks before, a rack at the bench after."""
    rng = np.random.default_rng(seed)
    width, height = size
    image = Image.new("RGB", size, (126, 122, 114))
    pen = ImageDraw.Draw(image)
    floor = int(height * 0.62)
    for y in range(floor):
        shade = 150 + int(60 * y / floor)
        pen.line([(0, y), (width, y)], fill=(shade, shade - 2, shade - 10))
    for y in range(floor, height):
        shade = 120 - int(40 * (y - floor) / (height - floor))
        pen.line([(0, y), (width, y)], fill=(shade, shade - 3, shade - 8))
    for x in range(80, width, 220):
        pen.rectangle([x, 60, x + 120, 190], fill=(214, 220, 222), outline=(90, 90, 88), width=6)
    _bench(pen, int(width * 0.30), floor + 40)
    _rack(pen, int(width * (0.78 if kind == "before" else 0.56)), floor + 20, rng)
    if kind == "before":
        for k in range(7):
            x = int(width * 0.44) + k * 54
            pen.ellipse([x, floor + 190, x + 26, floor + 202], fill=(60, 58, 54))
    for _ in range(240):
        x, y = int(rng.integers(width)), int(rng.integers(floor, height))
        pen.ellipse([x, y, x + 3, y + 2], fill=(92, 88, 82))
    out = io.BytesIO()
    image.filter(ImageFilter.GaussianBlur(1.2)).save(out, "JPEG", quality=88)
    return out.getvalue()


def _bench(pen: ImageDraw.ImageDraw, x: int, y: int) -> None:
    pen.rectangle([x - 230, y - 150, x + 150, y - 120], fill=(70, 74, 80))
    for leg in (x - 210, x + 110):
        pen.rectangle([leg, y - 120, leg + 24, y + 90], fill=(56, 60, 66))
    pen.rectangle([x - 120, y - 260, x + 40, y - 150], outline=(40, 44, 50), width=12)
    pen.line([(x - 120, y - 205), (x + 40, y - 205)], fill=(40, 44, 50), width=8)


def _rack(pen: ImageDraw.ImageDraw, x: int, y: int, rng: np.random.Generator) -> None:
    for shelf in range(4):
        top = y - 330 + shelf * 105
        pen.rectangle([x - 120, top, x + 150, top + 10], fill=(44, 84, 92))
        for slot in range(3):
            left = x - 108 + slot * 88
            tall = int(rng.integers(46, 78))
            pen.rectangle([left, top - tall, left + 70, top], outline=(196, 198, 196), width=5)
            for wire in range(12, 70, 14):
                pen.line([(left + wire, top - tall), (left + wire, top)], fill=(196, 198, 196), width=2)
    for post in (x - 128, x + 146):
        pen.rectangle([post, y - 410, post + 14, y + 110], fill=(34, 70, 78))


def sample(label: str, mean: float, spread: float, count: int, seed: int, *more: float) -> draw.Sample:
    """Invented times around a mean, with the usual interval of their mean."""
    rng = np.random.default_rng(seed)
    times = [round(float(rng.lognormal(0, spread)) * mean, 1) for _ in range(count)] + list(more)
    middle, half = fmean(times), 2.06 * stdev(times) / len(times) ** 0.5
    points = tuple(draw.Point(value=t, outlier=t > mean * 1.55) for t in times)
    return draw.Sample(label=label, points=points, mean=middle, low=middle - half, high=middle + half)


def walk_page() -> report.ImprovementPage:
    """A proven improvement with everything on it."""
    before = sample("Before", 61, 0.17, 24, 5)
    before = replace(before, points=(*before.points, draw.Point(value=141, foreign=True)))
    after = sample("After", 41, 0.15, 26, 11, 71.0)
    chart = draw.before_after(before, after, measure="Walk for one wire basket", unit="seconds a basket")
    return report.ImprovementPage(
        title="Basket rack at weld bench 2",
        question="Does a rack at the bench cut the walk for wire baskets?",
        shop=SHOP,
        area="Weld bay",
        waste_kind="walking",
        phase="holding",
        number="No. 12",
        date="2026-11-30",
        before_photo=report.Photo(
            image=photo("before", 1),
            caption="Baskets stood on the far rack, 14 m from the bench: 38 trips a shift.",
            text="A weld bench on the left and a rack of wire baskets far to the right.",
        ),
        after_photo=report.Photo(
            image=photo("after", 2),
            caption="A narrow rack built from offcuts stands within arm's reach of the bench.",
            text="The same bench with the rack right beside it.",
        ),
        rows=(
            _row("Walk for one basket", "59.7 s", "42.1 s", "−17.5 s", "−22.5 to −12.6", "proven", "proven"),
            _row("Walked a shift", "1,064 m", "298 m", "−766 m", "−840 to −690", "proven", "proven"),
            _row("Baskets dropped a week", "3.0", "1.5", "−1.5", "−3.4 to 0.2", "not shown", "not_shown"),
            _row("Floor in use at the bench", "2.1 m²", "2.9 m²", "+0.8 m²", "", "worse", "worse"),
        ),
        chart=chart,
        verdict=report.Verdict(
            word="Proven",
            mark="proven",
            sentence="Fetching a basket takes 17.5 s less (12.6 to 22.5).",
            rule="The always-valid 95 % interval lies wholly beyond 5 s, the smallest change that matters here.",
            provisional="Provisional: measure again by 2026-12-30 and 2027-02-28.",
        ),
        worth=report.Worth(
            headline="$1,840 a year",
            interval="$1,210 to $2,480, nine times in ten",
            facts=(
                report.Fact(label="Banked", text="$1,120 a year: Saturday overtime no longer booked"),
                report.Fact(label="Freed", text="$720 a year: 24 hours, not yet used for anything"),
                report.Fact(label="Cost", text="$310: 5.5 hours and $86 of material"),
                report.Fact(label="Payback", text="4 months (3 to 6)"),
            ),
            rate="Labour at the burdened rate of $30.00 an hour.",
        ),
        gains=(
            report.Gain(name="Lift index, basket to bench", value="1.6 → 0.9"),
            report.Gain(name="Scratched panels a month", value="11 → 4"),
            report.Gain(name="Floor given back", value="−0.8 m²"),
        ),
        held_by=(
            report.Fact(
                label="Standard work", text="SW-07: fill the rack from the left at the start of each shift"
            ),
            report.Fact(label="Watch", text="Seconds a basket, five timed every second Friday"),
            report.Fact(label="Next check", text="2026-12-30, weld lead"),
            report.Fact(label="Also for", text="Bench 4 and the bin line, same baskets"),
        ),
        cautions=(
            report.Caution(signal="CAUTION", text="Do not load the top shelf above 15 kg: the rack may tip."),
        ),
        approved="Approved for use by the weld lead, 2026-11-18",
        who_to_ask="the weld lead, bench 2, ext. 214",
        appendix=(_welch(), _money()),
        sources=(
            report.Source(key="welch1947", citation="Welch, B. L. (1947), Biometrika 34, 28-35."),
            report.Source(
                key="satterthwaite1946", citation="Satterthwaite, F. E. (1946), Biometrics Bulletin 2, 110-114."
            ),
        ),
    )


def _row(
    measure: str, before: str, after: str, difference: str, interval: str, verdict: str, mark: report.Mark
) -> report.NumberRow:
    return report.NumberRow(
        measure=measure,
        before=before,
        after=after,
        difference=difference,
        interval=interval,
        verdict=verdict,
        mark=mark,
    )


def _welch() -> report.WorkedNumber:
    def step(
        meaning: str, symbol: str, formula: str, numbers: str, result: str, unit: str, source: str
    ) -> report.StepLine:
        return report.StepLine(
            meaning=meaning,
            symbol=symbol,
            formula=formula,
            numbers=numbers,
            result=result,
            unit=unit,
            source=source,
        )

    return report.WorkedNumber(
        title="Difference of the mean walk, with its interval",
        given=(
            report.GivenLine(symbol="n1", value="24", unit="", meaning="observations before"),
            report.GivenLine(symbol="m1", value="59.7", unit="s", meaning="mean before"),
            report.GivenLine(symbol="s1", value="9.42", unit="s", meaning="standard deviation before"),
            report.GivenLine(symbol="n2", value="27", unit="", meaning="observations after"),
            report.GivenLine(symbol="m2", value="42.1", unit="s", meaning="mean after"),
            report.GivenLine(symbol="s2", value="7.91", unit="s", meaning="standard deviation after"),
        ),
        assumptions=(
            "Each observation is one basket; the 141 s before was a forklift in the aisle and is kept out.",
            "The two series are independent; no trend was found in the after series.",
        ),
        steps=(
            step("Difference of the means", "d", "m2 - m1", "42.14 - 59.67", "−17.53", "s", ""),
            step("Standard error of the difference", "se", "sqrt(s1**2/n1 + s2**2/n2)",
                 "sqrt(9.42**2/24 + 7.91**2/27)", "2.45", "s", "welch1947"),
            step("Degrees of freedom", "df",
                 "(s1**2/n1 + s2**2/n2)**2/((s1**2/n1)**2/(n1 - 1) + (s2**2/n2)**2/(n2 - 1))",
                 "(9.42**2/24 + 7.91**2/27)**2/((9.42**2/24)**2/(24 - 1) + (7.91**2/27)**2/(27 - 1))",
                 "45.1", "", "satterthwaite1946"),
            step("Half width of the 95 % interval", "h", "t(0.975, df)*se", "t(0.975, 45.1)*2.45", "4.94", "s", ""),
        ),
        checks=(
            report.CheckLine(name="Observations each side", demand="10", capacity="24", ratio="0.42", verdict="ok",
                             sentence="Enough cycles for a verdict.", source="house rule"),
        ),
    )  # fmt: skip


def _money() -> report.WorkedNumber:
    return report.WorkedNumber(
        title="Worth per year",
        given=(
            report.GivenLine(symbol="e", value="17.5", unit="s", meaning="saved a basket"),
            report.GivenLine(symbol="N", value="12,600", unit="1/year", meaning="baskets a year"),
            report.GivenLine(symbol="r", value="30.00", unit="$/h", meaning="burdened labour rate"),
        ),
        steps=(
            report.StepLine(
                meaning="Worth of the time in a year", symbol="w", formula="e*N/3600*r",
                numbers="17.5*12600/3600*30", result="1,838", unit="$/year",
                note="Ten thousand draws with the measured interval carried through; the middle is printed.",
            ),
        ),
        pictures=(
            draw.worth_range((draw.WorthRange(label="Worth", p05=1210, p50=1840, p95=2480),), unit="a year"),
            draw.run_chart(_run(), size=draw.Size(532, 190)),
        ),
    )  # fmt: skip


def _run() -> draw.Run:
    rng = np.random.default_rng(9)
    times = [round(float(rng.lognormal(0, 0.15)) * m, 1) for m in (61,) * 20 + (41,) * 22]
    notes = {7: "forklift in the aisle", 33: "new helper"}
    points = tuple(draw.RunPoint(value=t, note=notes.get(i, "")) for i, t in enumerate(times))
    return draw.Run(
        measure="Walk for one basket",
        unit="seconds a basket",
        points=points,
        median=61.1,
        change_after=20,
        median_after=41.0,
    )


def idea_page() -> report.ImprovementPage:
    """An improvement that is only an idea: what is empty shows the next step."""
    return replace(
        walk_page(),
        title="Shadow board for the bin line",
        question="Would a board at the bin line end the search for the 5 mm hex keys?",
        area="Bin line",
        waste_kind="searching",
        phase="idea",
        number="No. 21",
        before_photo=report.Photo(image=None, caption="Take one of the tool drawer as it is found at shift start."),
        after_photo=report.Photo(image=None, caption="Take one from the same spot once the board hangs."),
        rows=(),
        chart=None,
        chart_next="Count searches on five shifts; ten is enough to start.",
        verdict=report.Verdict(
            word="Not timed yet",
            mark="waiting",
            sentence="Nothing is measured. Ask the people at the line, then count searches on five shifts.",
            rule="No verdict is shown below ten observations.",
        ),
        worth=report.Worth(headline="No money claimed", interval="Nothing is measured yet."),
        gains=(),
        held_by=(report.Fact(label="Next step", text="Ask at the stand-up on Monday who wants to help"),),
        cautions=(),
        approved="Not yet approved for use.",
        appendix=(),
        sources=(),
    )


def stress_page() -> report.ImprovementPage:
    """Everything too long, in many scripts, and no photo."""
    page = walk_page()
    long = (
        "Ελληνικά, Кириллица, Zażółć gęślą jaźń and a very long sentence that does not want to end, ever, really. "
    )
    return replace(
        page,
        title="Überdachungskonstruktionsvorrichtungswagen " * 3,
        question=(long * 4).strip(),
        shop="Żółty Słoń Μεταλλουργία Кузница " * 3,
        before_photo=report.Photo(image=None, caption=long * 3),
        after_photo=report.Photo(image=photo("after", 4, (700, 1300)), caption=long * 3),
        rows=tuple(replace(r, measure=long, interval="−1,234.5 to −1,034.5") for r in (*page.rows, *page.rows[:4])),
        verdict=replace(page.verdict, sentence=long * 4, rule=long * 4, provisional=long * 3),
        worth=replace(
            page.worth, facts=tuple(report.Fact(label=long, text=long * 3) for _ in range(7)), rate=long * 2
        ),
        held_by=tuple(report.Fact(label=long, text=long * 3) for _ in range(6)),
        cautions=tuple(report.Caution(signal=s, text=long * 3) for s in ("WARNING", "CAUTION", "NOTICE")),
        approved=long * 2,
        who_to_ask=long * 2,
    )


def shop_summary() -> report.ShopSummary:
    """The sheet of the whole shop."""
    marks: tuple[tuple[str, report.Mark], ...] = (
        ("proven", "proven"), ("likely", "likely"), ("not shown", "not_shown"), ("worse", "worse"),
        ("keep timing", "waiting"),
    )  # fmt: skip
    names = (
        ("Basket rack at weld bench 2", "Weld bay", "walking", "59.7 s", "42.1 s", "−17.5 s (−22.5 to −12.6)"),
        ("Lift table at the brake", "Brake", "lifting", "1.6", "0.9", "−0.7 (−0.9 to −0.5)"),
        ("Felt on the panel carts", "Packing", "scratches", "11.0 a month", "4.0 a month", "−7.0 (−11.2 to 0.4)"),
        ("Laser sheets sorted by job", "Laser", "waiting", "38 min", "41 min", "+3 min (1 to 6)"),
        ("Shadow board for the bin line", "Bin line", "searching", "", "", ""),
        ("Offcut rack by the saw", "Saw", "material", "9.8 %", "6.1 %", "−3.7 % (−5.0 to −2.3)"),
        ("Stacking frames for benches", "Yard", "space", "14 m²", "9 m²", "−5 m²"),
        ("One set-down for shelter posts", "Shelter line", "double handling", "4.0", "2.0", "−2.0 (−2.3 to −1.6)"),
    )
    rows = tuple(
        report.SummaryRow(
            number=str(i + 1), title=title, area=area, waste_kind=waste,
            measures=(
                report.NumberRow(
                    measure=waste.capitalize(), before=before, after=after, difference=gain.split(" (")[0],
                    interval=gain.partition(" (")[2].rstrip(")"), verdict=marks[i % 5][0], mark=marks[i % 5][1],
                ),
            ) if before else (),
            note="" if before else "Only an idea so far.",
            worth=("$1,840", "no money claimed", "no money claimed", "−$420", "", "$2,360", "$900", "$1,110")[i],
            payback=("4 months", "", "", "", "", "7 months", "2 months", "5 months")[i],
        )
        for i, (title, area, waste, before, after, gain) in enumerate(names)
    )  # fmt: skip
    return report.ShopSummary(
        shop=SHOP,
        period="January to November 2026",
        date="2026-11-30",
        amounts=(
            report.Amount(label="Banked", value="$4,200 a year", note="Hours no longer paid, or more sold."),
            report.Amount(label="Freed", value="$7,100 a year", note="Time not yet used for anything."),
            report.Amount(label="Hoped for", value="$12,800 a year", note="Likely, or still to be shown."),
        ),
        rate="Labour at the burdened rate of $30.00 an hour. The three sums are never added up.",
        ledger=draw.ledger_bars(
            [draw.LedgerBar(label="All", banked=4200, freed=7100, hoped=12800)], size=draw.Size(300, 150)
        ),
        rows=rows,
        next_steps=(
            report.NextStep(what="Time 7 more loads at the brake", why="Likely now; seven more may prove it."),
            report.NextStep(what="Go back on the laser sort", why="It made the wait 3 min longer (1 to 6)."),
            report.NextStep(what="Measure the basket walk again", why="Due by 2026-12-30."),
        ),
        gains=(
            report.Gain(name="Lifts above index 1, gone", value="2 of 5"),
            report.Gain(name="Scratched panels a month", value="−14"),
            report.Gain(name="Floor given back", value="5.4 m²"),
        ),
    )  # fmt: skip


def main() -> None:
    """Write every sample."""
    OUT.mkdir(parents=True, exist_ok=True)
    walk = walk_page()
    samples = {
        "walk-letter": report.render_improvement(walk),
        "walk-a4": report.render_improvement(replace(walk, paper="a4")),
        "idea-letter": report.render_improvement(idea_page()),
        "stress-letter": report.render_improvement(stress_page()),
        "summary-letter": report.render_summary(shop_summary()),
        "summary-a4": report.render_summary(replace(shop_summary(), paper="a4")),
    }
    for name, pdf in samples.items():
        (OUT / f"{name}.pdf").write_bytes(pdf)
        sys.stdout.write(f"{OUT / name}.pdf  {len(pdf) // 1024} kB\n")


if __name__ == "__main__":
    main()
