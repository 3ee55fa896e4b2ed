"""Charts, read from their SVG: marks, words for a screen reader, units, intervals."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import pytest

from floorwright.draw import (
    Control,
    ControlPoint,
    LedgerBar,
    Picture,
    Point,
    Run,
    RunPoint,
    Sample,
    Size,
    WorthRange,
    before_after,
    control_chart,
    ledger_bars,
    run_chart,
    worth_range,
)
from floorwright.draw.run_chart import long_notes

SVG = "{http://www.w3.org/2000/svg}"


def labels(picture: Picture) -> list[str]:
    return [e.attrib["aria-label"] for e in ET.fromstring(picture.svg).iter() if "aria-label" in e.attrib]  # noqa: S314


def words(picture: Picture) -> str:
    return " | ".join("".join(e.itertext()) for e in ET.fromstring(picture.svg).iter(f"{SVG}text"))  # noqa: S314


def times(label: str, values: list[float], *extra: Point) -> Sample:
    points = (*(Point(value=v) for v in values), *extra)
    return Sample(label=label, points=points, mean=60.0, low=56.5, high=63.5)


BEFORE = times(
    "Before", [52.0, 58.0, 61.0, 69.0], Point(value=96.0, outlier=True), Point(value=141.0, foreign=True)
)
AFTER = Sample(
    label="After", points=tuple(Point(value=v) for v in (38.0, 41.0, 44.0)), mean=41.0, low=37.2, high=44.8
)


def pair(**options: bool) -> Picture:
    return before_after(BEFORE, AFTER, measure="Walk for one basket", unit="seconds a basket", **options)


class TestEveryPicture:
    PICTURES = (
        pair(),
        run_chart(Run(measure="Walk", unit="s", points=(RunPoint(value=3.0), RunPoint(value=4.0)), median=3.5)),
        control_chart(Control(measure="Scratches", unit="a week", points=(ControlPoint(value=3.0),), centre=3.0)),
        worth_range([WorthRange(label="Worth", p05=-100, mean=400, p95=900)]),
        ledger_bars([LedgerBar(label="All", banked=1.0, freed=2.0, hoped=3.0)]),
    )

    @pytest.mark.parametrize("picture", PICTURES)
    def test_has_title_and_description_that_say_what_it_shows(self, picture: Picture) -> None:
        root = ET.fromstring(picture.svg)  # noqa: S314
        title, text = root[0], root[1]
        assert (title.tag, text.tag) == (f"{SVG}title", f"{SVG}desc")
        assert title.text
        assert text.text == picture.text
        assert root.attrib["aria-labelledby"] == title.attrib["id"]
        assert root.attrib["aria-describedby"] == text.attrib["id"]

    @pytest.mark.parametrize("picture", PICTURES)
    def test_is_set_in_the_typeface_of_the_page_and_follows_its_ink(self, picture: Picture) -> None:
        families = set(re.findall(r'font-family="([^"]*)"', picture.svg))
        assert families == {"Inter"}
        assert 'fill="currentColor"' in picture.svg

    def test_is_the_same_every_time(self) -> None:
        assert pair() == pair()

    def test_ids_differ_from_picture_to_picture(self) -> None:
        ids = [ET.fromstring(p.svg)[0].attrib["id"] for p in self.PICTURES]  # noqa: S314
        assert len(set(ids)) == len(ids)


class TestBeforeAfter:
    def test_draws_every_observation_once(self) -> None:
        observed = [text for text in labels(pair()) if re.match(r"(Before|After): [\d.]+ seconds", text)]
        assert len(observed) == 9

    def test_draws_the_mean_with_its_interval_and_says_it_beside_the_row(self) -> None:
        assert "Before: mean 60.0 seconds a basket, interval 56.5 to 63.5" in labels(pair())
        assert "Before: mean 60.0 (56.5 to 63.5), 5 seen" in words(pair())

    def test_names_the_unit_on_an_axis_that_starts_at_zero(self) -> None:
        shown = words(pair()).split(" | ")
        assert "seconds a basket" in shown
        assert "0" in shown

    def test_dots_of_both_rows_are_of_one_size_and_smaller_where_many_lie_close(self) -> None:
        def sizes(after: list[float]) -> set[str]:
            chart = before_after(times("Before", [50.0, 90.0]), times("After", after), measure="Walk", unit="s")
            paths = [e for e in ET.fromstring(chart.svg).iter(f"{SVG}path") if "aria-label" in e.attrib]  # noqa: S314
            return {e.attrib["d"].split("A")[1] for e in paths if e.attrib["aria-label"].startswith("Before: 50")}

        assert sizes([20.0, 30.0]) != sizes([20.0 + 0.1 * i for i in range(20)])

    def test_leaves_zero_out_where_it_means_nothing(self) -> None:
        points = tuple(Point(value=v) for v in (101.0, 104.0, 109.0))
        chart = before_after(Sample(label="Before", points=points), None, measure="Date", unit="d", zero=False)
        assert "0" not in words(chart).split(" | ")

    def test_marks_outliers_and_draws_foreign_elements_hollow(self) -> None:
        assert "Before: 96.0 seconds a basket, outlier" in labels(pair())
        assert "Before: 141.0 seconds a basket, foreign, kept out of the mean" in labels(pair())
        assert {"outlier", "foreign"} <= set(words(pair()).split(" | "))
        hollow = next(e for e in ET.fromstring(pair().svg).iter() if "foreign" in e.attrib.get("aria-label", ""))  # noqa: S314
        assert hollow.attrib.get("fill", "none") in {"none", "transparent"}
        assert hollow.attrib["stroke"] == "#D55E00"

    def test_tells_before_from_after_by_shape_as_well_as_colour(self) -> None:
        root = ET.fromstring(pair().svg)  # noqa: S314
        shapes = {
            label: {
                (e.attrib["fill"], re.sub(r"[-\d.,]+", "", e.attrib["d"]))
                for e in root.iter(f"{SVG}path")
                if re.match(rf"{label}: [\d.]+ seconds a basket$", e.attrib.get("aria-label", ""))
            }
            for label in ("Before", "After")
        }
        ((before_colour, before_shape),) = shapes["Before"]
        ((after_colour, after_shape),) = shapes["After"]
        assert (before_colour, after_colour) == ("#D55E00", "#0072B2")
        assert before_shape != after_shape

    def test_beyond_two_hundred_observations_shows_a_summary(self) -> None:
        many = times("Before", [50 + i % 20 for i in range(210)], Point(value=150.0, outlier=True))
        chart = before_after(many, AFTER, measure="Walk", unit="s")
        assert "Before: the middle half lies between these ends" in labels(chart)
        assert sum(text.startswith("Before: ") and text.endswith("outlier") for text in labels(chart)) == 1
        assert len(labels(chart)) < 40
        assert "Too many to show each" in chart.text

    def test_the_words_hold_what_the_eye_sees(self) -> None:
        assert pair().text == (
            "Walk for one basket, in seconds a basket. Before: 5 observations from 52 to 96, mean 60.0 "
            "(56.5 to 63.5). Outliers, shown ringed and kept in the mean: 96. Foreign elements, shown hollow and "
            "kept out of the mean: 141. After: 3 observations from 38 to 44, mean 41.0 (37.2 to 44.8)."
        )

    def test_a_baseline_alone_is_drawn(self) -> None:
        chart = before_after(BEFORE, None, measure="Walk", unit="s")
        assert "After" not in chart.text

    def test_one_observation_without_a_mean_is_drawn(self) -> None:
        chart = before_after(
            Sample(label="Before", points=(Point(value=0.0),)), None, measure="Drops", unit="a day"
        )
        assert "Before: 1 seen" in words(chart)

    def test_nothing_to_draw_is_refused(self) -> None:
        with pytest.raises(ValueError, match="at least one observation"):
            before_after(Sample(label="Before", points=()), None, measure="Walk", unit="s")

    @pytest.mark.parametrize("size", [Size(346, 178), Size(532, 200)])
    def test_has_the_size_that_was_asked(self, size: Size) -> None:
        svg = before_after(BEFORE, AFTER, measure="Walk", unit="s", size=size).svg
        assert f'viewBox="0 0 {size.width:g} {size.height:g}"' in svg

    def test_markup_in_a_name_stays_text(self) -> None:
        chart = before_after(BEFORE, AFTER, measure='<b>"Walk" & \x00</b>', unit="<s>")
        assert ET.fromstring(chart.svg)[0].text == '<b>"Walk" & </b>: before and after'  # noqa: S314

    @pytest.mark.parametrize("odd", ["\x01", "\ud83d", "\ufffe", "\x1c", "\u202e"])
    def test_letters_that_no_svg_may_hold_are_left_out_everywhere(self, odd: str) -> None:
        chart = before_after(BEFORE, AFTER, measure=f"Wa{odd}lk", unit=f"sec{odd}onds")
        assert odd not in chart.svg
        assert ET.fromstring(chart.svg)[0].text is not None  # noqa: S314


class TestRunChart:
    RUN = Run(
        measure="Walk",
        unit="seconds a basket",
        points=tuple(RunPoint(value=v, note="new helper" if v == 47 else "") for v in (60, 63, 58, 41, 47, 40)),
        median=60,
        change_after=3,
        median_after=41,
    )

    def test_draws_points_medians_and_the_change(self) -> None:
        chart = run_chart(self.RUN)
        assert sum(bool(re.match(r"\d+: ", text)) for text in labels(chart)) == 6
        assert {"median 60", "median 41", "change", "new helper", "seconds a basket"} <= set(
            words(chart).split(" | ")
        )
        assert "change after point 3" in labels(chart)

    def test_says_what_it_shows(self) -> None:
        assert run_chart(self.RUN).text == (
            "Walk, in seconds a basket: 6 values. Before the change, points 1 to 3: median 60. "
            "After it: median 41. Point 5: new helper."
        )

    def test_a_note_too_long_for_the_picture_is_named_by_its_point(self) -> None:
        long = "the long clamps were lent to the bay next door"
        points = (RunPoint(value=5), RunPoint(value=9, note=long), RunPoint(value=6, note="new helper"))
        run = Run(measure="Walk", unit="s", points=points, median=6)
        assert {"point 2", "new helper"} <= set(words(run_chart(run)).split(" | "))
        assert long not in words(run_chart(run))
        assert long_notes(run) == (f"Point 2: {long}.",)

    def test_without_a_change_there_is_one_median(self) -> None:
        chart = run_chart(Run(measure="Walk", unit="s", points=(RunPoint(value=5), RunPoint(value=7)), median=6))
        assert "change" not in words(chart)
        assert "The median 6." in chart.text

    def test_an_empty_run_is_refused(self) -> None:
        with pytest.raises(ValueError, match="at least one value"):
            run_chart(Run(measure="Walk", unit="s", points=(), median=0))


class TestControlChart:
    def chart(self, **changes: object) -> Picture:
        values: dict[str, object] = {
            "measure": "Scratches",
            "unit": "scratches a week",
            "points": tuple(
                ControlPoint(value=v, signal="above the limit" if v > 14 else "") for v in (5, 7, 6, 17, 4, 6)
            ),
            "centre": 6.1,
            "lower": 0.0,
            "upper": 13.6,
        }
        return control_chart(Control(**(values | changes)))  # type: ignore[arg-type]

    def test_draws_centre_and_limits_with_their_numbers(self) -> None:
        assert {"upper limit 13.6", "average 6.1", "lower limit 0.0"} <= set(words(self.chart()).split(" | "))

    def test_a_signal_has_a_word_and_a_mark_of_its_own(self) -> None:
        chart = self.chart()
        assert "above the limit" in words(chart)
        assert "4: 17 scratches a week, signal: above the limit" in labels(chart)
        assert "1 signal: point 4: above the limit." in chart.text

    def test_without_a_signal_it_says_so(self) -> None:
        quiet = self.chart(points=(ControlPoint(value=5.0), ControlPoint(value=6.0)))
        assert "No signal" in quiet.text

    def test_limits_that_vary_are_drawn_in_steps(self) -> None:
        chart = self.chart(upper=(12.0, 12.0, 14.0, 14.0, 13.0, 13.0), lower=None)
        assert sum(text.startswith("upper limit") for text in labels(chart)) == 3
        assert "lower limit" not in words(chart)

    def test_a_limit_without_a_number_for_each_point_is_refused(self) -> None:
        with pytest.raises(ValueError, match="upper limit has 2 numbers for 6 points"):
            self.chart(upper=(1.0, 2.0))


class TestMoney:
    def test_a_range_shows_its_ends_and_mean(self) -> None:
        chart = worth_range([WorthRange(label="Worth", p05=-300, mean=1840, p95=2600)])
        assert "Worth: $1,840 (−$300 to $2,600)" in words(chart)
        assert "Worth: nine in ten between −$300 and $2,600" in labels(chart)
        assert "Worth: mean $1,840" in labels(chart)
        assert "$ a year" in words(chart)
        assert "0" in words(chart).split(" | ")

    def test_a_range_out_of_order_is_refused(self) -> None:
        with pytest.raises(ValueError, match="Worth: p05 must not be above p95, got 5 and 4"):
            worth_range([WorthRange(label="Worth", p05=5, mean=2, p95=4)])

    def test_the_ledger_shows_three_amounts_and_never_their_sum(self) -> None:
        chart = ledger_bars([LedgerBar(label="All", banked=4200, freed=7100, hoped=12800)])
        assert {"Banked $4,200", "Freed $7,100", "Hoped for $12,800"} <= set(words(chart).split(" | "))
        assert "24,100" not in chart.svg

    def test_the_ledger_by_month_names_every_month_and_kind(self) -> None:
        bars = [
            LedgerBar(label=m, banked=i * 400, freed=900, hoped=2000) for i, m in enumerate(("Jan", "Feb", "Mar"))
        ]
        chart = ledger_bars(bars)
        assert {"Jan", "Feb", "Mar", "Banked", "Freed", "Hoped for"} <= set(words(chart).split(" | "))
        assert "Mar: banked $800" in labels(chart)

    def test_what_is_hoped_for_is_drawn_hollow(self) -> None:
        root = ET.fromstring(ledger_bars([LedgerBar(label="All", banked=1, freed=2, hoped=3)]).svg)  # noqa: S314
        hoped = next(e for e in root.iter(f"{SVG}path") if e.attrib.get("aria-label") == "Hoped for $3")
        assert hoped.attrib.get("fill", "none") in {"none", "transparent"}
        assert "stroke-dasharray" in hoped.attrib

    @pytest.mark.parametrize("draw", [worth_range, ledger_bars])
    def test_nothing_to_draw_is_refused(self, draw) -> None:  # type: ignore[no-untyped-def]
        with pytest.raises(ValueError, match="at least one"):
            draw([])
