"""Charts: lines drawn where the numbers say, labels that never touch, every wall of the library in section above."""

from __future__ import annotations

import math
import random
from functools import cache
from itertools import combinations, pairwise

import pytest
from scene_reading import Box, groups, inside, text_box

from specgen.drawing.axis import Axis, hours_axis, month_axis, number_text, round_axis
from specgen.drawing.layout import strips
from specgen.drawing.line_chart import Limit, Series, line_chart, thinned
from specgen.drawing.line_labels import DASHES, spread
from specgen.drawing.profile_chart import Profile, chart_scale, profile_chart, sd_chart
from specgen.errors import PageOverflowError
from specgen.library.load import Library, open_library
from specgen.model.scene import Group, Line, Scene, Text, View
from specgen.model.wall import Wall


@cache
def library() -> Library:
    return open_library()


NAMES = [wall.name for wall in library().walls()]


def wall_named(name: str) -> Wall:
    wall_id, _, variant = name.partition("+")
    return library().wall(wall_id, variant)


def scene_of(*views: View) -> Scene:
    return Scene("test", "Test", "", 215.9, 279.4, views)


def line_of(scene: Scene, group_id: str) -> list[Line]:
    return [item for item in inside(groups(scene)[group_id]) if isinstance(item, Line)]


def axis_reader(scene: Scene, group_id: str, upright: bool) -> tuple[float, float]:
    """Slope and offset of value over paper mm, read back from an axis' own ticks and figures."""
    items = groups(scene)[group_id].items
    figures = [
        item for item in items if isinstance(item, Text) and item.text.replace("−", "").replace(".", "").isdigit()
    ]
    pairs = []
    for text in figures:
        value = float(text.text.replace("−", "-"))
        at = text.at[1] - text.size / 2 if upright else text.at[0]
        pairs.append((at, value))
    (first, low), (last, high) = pairs[0], pairs[-1]
    slope = (high - low) / (last - first)
    return slope, low - slope * first


def touching(boxes: list[Box]) -> list[tuple[Box, Box]]:
    return [
        (a, b)
        for a, b in combinations(boxes, 2)
        if a[0] < b[2] - 0.02 and b[0] < a[2] - 0.02 and a[1] < b[3] - 0.02 and b[1] < a[3] - 0.02
    ]


def crossing_text(scene: Scene) -> list[str]:
    """Texts that a line of a chart runs through."""
    boxes = [(item.text, text_box(item)) for item in scene.walk() if isinstance(item, Text)]
    found = []
    for group in groups(scene).values():
        if group.role != "chart-line":
            continue
        for line in inside(group):
            assert isinstance(line, Line)
            for (x0, y0), (x1, y1) in pairwise(line.points):
                for step in range(11):
                    x, y = x0 + (x1 - x0) * step / 10, y0 + (y1 - y0) * step / 10
                    found += [text for text, box in boxes if box[0] < x < box[2] and box[1] < y < box[3]]
    return found


@pytest.mark.parametrize(
    ("values", "ticks"),
    [
        ((5.0, 95.0), (0.0, 20.0, 40.0, 60.0, 80.0, 100.0)),
        ((-13.0, 70.0), (-20.0, 0.0, 20.0, 40.0, 60.0, 80.0)),
        ((0.21, 0.93), (0.2, 0.4, 0.6, 0.8, 1.0)),
        ((3.0, 3.0), (2.5, 3.0, 3.5)),
    ],
)
def test_ticks_stand_at_round_numbers_and_hold_all_values(values: tuple[float, ...], ticks: tuple[float, ...]) -> None:
    axis = round_axis(values, "")
    step = axis.ticks[1] - axis.ticks[0]
    assert axis.low <= min(values) and max(values) <= axis.high
    mantissa = step / 10 ** math.floor(math.log10(step) + 1e-9)
    assert round(mantissa, 6) in (1, 2, 5)
    if values != (3.0, 3.0):
        assert axis.ticks == pytest.approx(ticks)


def test_figures_of_an_axis_have_no_minus_before_zero_and_the_decimals_of_its_step() -> None:
    assert number_text(-0.0, 20) == "0" and number_text(-20, 20) == "−20"
    assert number_text(0.30000000000000004, 0.1) == "0.3" and number_text(1, 0.25) == "1.0"


@pytest.mark.parametrize("seed", range(20))
def test_spread_keeps_order_gaps_and_least_movement(seed: int) -> None:
    random.seed(seed)
    wanted = sorted(random.uniform(0, 30) for _ in range(7))
    gaps = [random.uniform(1, 4) for _ in range(6)]
    found = spread(wanted, gaps, -100, 200)
    assert all(b - a >= gap - 1e-9 for a, b, gap in zip(found, found[1:], gaps, strict=False))
    cost = sum((a - b) ** 2 for a, b in zip(found, wanted, strict=True))
    for _ in range(300):  # no allowed neighbor is better: the problem is convex
        tried = [place + random.gauss(0, 0.05) for place in found]
        if all(b - a >= gap for a, b, gap in zip(tried, tried[1:], gaps, strict=False)):
            assert sum((a - b) ** 2 for a, b in zip(tried, wanted, strict=True)) >= cost - 1e-9


def test_lines_stand_where_the_numbers_say() -> None:
    months = [month + 0.5 for month in range(12)]
    values = [20 + 15 * math.cos(month / 2) for month in range(12)]
    axis = Axis("weeks", 0.0, 12.0, (0.0, 6.0, 12.0))
    scene = scene_of(
        line_chart([Series("one", months, values)], axis, round_axis(values, "°F"), 120, 60, (20, 30), "t")
    )
    (line,) = line_of(scene, "t_line1")
    up, up_zero = axis_reader(scene, "t_y", upright=True)
    across, across_zero = axis_reader(scene, "t_x", upright=False)
    assert [across * x + across_zero for x, _ in line.points] == pytest.approx(months, abs=1e-6)
    assert [up * y + up_zero for _, y in line.points] == pytest.approx(values, abs=1e-6)


@pytest.mark.parametrize("seed", range(8))
def test_labels_touch_neither_each_other_nor_any_line(seed: int) -> None:
    random.seed(seed)
    months = [month + 0.5 for month in range(12)]
    series = [
        Series(f"orientation {number}", months, [random.gauss(50, 3) + number for _ in months]) for number in range(6)
    ]
    y = round_axis([value for one in series for value in one.ys], "percent")
    scene = scene_of(line_chart(series, month_axis(), y, 150, 50, (18, 20), "t", limits=[Limit("limit", y.ticks[2])]))
    assert not touching([text_box(item) for item in scene.walk() if isinstance(item, Text)])
    assert not crossing_text(scene)
    dashes = {line_of(scene, f"t_line{number}")[0].dash for number in range(1, 7)}
    assert dashes == set(DASHES), "six lines are told apart by six dashes"
    for item in scene.walk():
        assert not isinstance(item, Line) or item.ink in ("black", "gray")
    left = min(text_box(item)[0] for item in scene.walk() if isinstance(item, Text))
    right = max(text_box(item)[2] for item in scene.walk() if isinstance(item, Text))
    assert left >= 18 - 0.1 and right <= 168 + 0.1


def test_a_year_of_hours_is_thinned_and_keeps_its_peaks() -> None:
    random.seed(1)
    hours = list(range(8760))
    values = [random.gauss(60, 5) for _ in hours]
    values[4321] = 99.0
    values[4323] = 1.0
    view = line_chart([Series("one", hours, values)], hours_axis(), round_axis([0, 100], "percent"), 180, 60, (18, 20))
    (line,) = line_of(scene_of(view), "chart_line1")
    assert len(line.points) < 8760 / 2
    up, up_zero = axis_reader(scene_of(view), "chart_y", upright=True)
    drawn = [up * y + up_zero for _, y in line.points]
    assert max(drawn) == pytest.approx(99.0) and min(drawn) == pytest.approx(1.0)
    assert all(a[0] <= b[0] for a, b in pairwise(line.points))


def test_a_short_series_is_kept_whole_and_a_missing_value_leaves_a_gap() -> None:
    points = [(float(x), 0.0) for x in range(20)]
    assert thinned(points) == points
    series = Series("one", [0, 1, 2, 3, 4, 5], [1, 2, math.nan, 4, 5, 6])
    scene = scene_of(line_chart([series], Axis("", 0, 5, (0, 5)), round_axis([0, 6], ""), 100, 50, id="t"))
    assert [len(line.points) for line in line_of(scene, "t_line1")] == [2, 3]


def test_what_lies_beyond_an_axis_is_cut_off() -> None:
    series = Series("one", [0, 5, 10], [0, 10, 0])
    scene = scene_of(line_chart([series], Axis("", 0, 10, (0, 10)), Axis("", 0, 5, (0, 5)), 100, 50, id="t"))
    up, up_zero = axis_reader(scene, "t_y", upright=True)
    assert all(up * y + up_zero <= 5 + 1e-3 for line in line_of(scene, "t_line1") for _, y in line.points)


def test_labels_that_leave_no_plot_are_refused() -> None:
    with pytest.raises(PageOverflowError, match="leave"):
        line_chart([Series("a very long label " * 4, [0, 1], [0, 1])], month_axis(), round_axis([0, 1], ""), 90, 40)


def profiles_of(wall: Wall) -> list[Profile]:
    faces = wall.faces
    share = [face / faces[-1] for face in faces]
    return [
        Profile("Winter", faces, [5 + 60 * part for part in share], outdoor=0.0, indoor=70.0),
        Profile("Summer", faces, [93 - 17 * part for part in share], outdoor=95.0, indoor=75.0),
    ]


@pytest.mark.parametrize("name", NAMES)
def test_section_and_chart_stand_in_line_for_every_wall(name: str) -> None:
    wall = wall_named(name)
    view = profile_chart(wall, profiles_of(wall), 180, 100, corner=(18, 40), id="t")
    scene = scene_of(view)
    placed = strips(wall, 1000 / view.ratio)
    datum = view.origin[0] + wall.datum_position * 1000 / view.ratio
    (winter,) = line_of(scene, "t_line1")
    faces = [datum + placed[0].outer, *(datum + strip.inner for strip in placed)]
    assert [x for x, _ in winter.points[2:-2]] == pytest.approx(faces, abs=1e-6)
    up, up_zero = axis_reader(scene, "t_y", upright=True)
    wanted = [0.0, 0.0, *profiles_of(wall)[0].values, 70.0, 70.0]
    assert [up * y + up_zero for _, y in winter.points] == pytest.approx(wanted, abs=1e-6)
    # Each layer's own outline lies between the hairlines that run down from its faces.
    for strip, (outer, inner) in zip(placed, pairwise(faces), strict=True):
        xs = [x for item in inside(groups(scene)[f"t_{strip.layer.id}"]) if isinstance(item, Line) and item.closed
              for x, _ in item.points]  # fmt: skip
        if strip.layer.exposure is None and strip.layer.unit is None and strip.layer.framing is None:
            assert (min(xs), max(xs)) == pytest.approx((outer, inner), abs=1e-6)
    assert not touching([text_box(item) for item in scene.walk() if isinstance(item, Text)])
    assert not crossing_text(scene)
    for item in scene.walk():
        if isinstance(item, Text):
            left, top, right, bottom = text_box(item)
            assert left >= 17.9 and right <= 198.1 and top >= 39.9 and bottom <= 140.1


@pytest.mark.parametrize("name", NAMES)
def test_sd_chart_draws_each_layer_as_wide_as_its_sd(name: str) -> None:
    wall = wall_named(name)
    layer_sd = [0.02 * (1 + index % 5) for index, _ in enumerate(wall.layers)]
    total = sum(layer_sd)
    scene = scene_of(sd_chart(wall, layer_sd, [Profile("vapor", [0.0, total], [0.2, 0.6])], 180, 90, corner=(18, 40)))
    across, zero = axis_reader(scene, "sd_x", upright=False)
    boxes = [item.points for item in groups(scene)["sd_section"].items if isinstance(item, Line) and item.closed]
    widths = [across * (points[1][0] - points[0][0]) for points in boxes]
    assert widths == pytest.approx(layer_sd, abs=1e-6)
    (line,) = line_of(scene, "sd_line1")
    assert [across * x + zero for x, _ in line.points] == pytest.approx([0.0, total], abs=1e-6)
    assert not touching([text_box(item) for item in scene.walk() if isinstance(item, Text)])


def test_two_charts_of_one_wall_share_no_group_id() -> None:
    wall = wall_named(NAMES[0])
    scene = scene_of(
        profile_chart(wall, profiles_of(wall), 180, 100, corner=(18, 20), id="a"),
        profile_chart(wall, profiles_of(wall), 180, 60, corner=(18, 130), id="b", section=False),
        profile_chart(wall, profiles_of(wall), 90, 80, corner=(18, 190), id="c"),
    )
    ids = [item.id for item in scene.walk() if isinstance(item, Group)]
    assert len(ids) == len(set(ids))


def test_a_wall_too_thick_for_its_chart_drops_to_the_next_scale_and_then_is_refused() -> None:
    wall = wall_named("framed-siding-cold")
    assert chart_scale(wall, 250.0) < chart_scale(wall, 90.0)
    with pytest.raises(PageOverflowError, match="no scale"):
        chart_scale(wall, 30.0)
    with pytest.raises(PageOverflowError, match="are left for its lines"):
        profile_chart(wall, profiles_of(wall), 180, 50)
