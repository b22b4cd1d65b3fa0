"""The heat check on walls of every make-up: which layers count, how parts side by side join, what is refused."""

from __future__ import annotations

import pytest
from builders import (
    BATT_R13,
    BATT_R19,
    BATT_R20,
    BATT_R30,
    BLOCK,
    BRICK,
    GYPSUM,
    MAT,
    OSB,
    PAINT,
    POLYISO,
    SIDING,
    STEEL,
    STUCCO,
    WRB,
    XPS,
    block,
    block_wall,
    framed_wall,
    framing,
    make_layer,
    make_material,
    make_wall,
    studs,
)

from specgen import units
from specgen.checks.energy import family_of
from specgen.checks.thermal import thermal_findings, thermal_result
from specgen.errors import NotComputableError
from specgen.library.sites import site_from_zone
from specgen.model.finding import Severity
from specgen.model.material import Material
from specgen.model.wall import Wall

R, U = units.R_IP, units.U_IP
GAP_OPEN = {"kind": "ventilated", "open": ("bottom", "top")}
GAP_DRAINED = {"kind": "drained", "open": ("bottom",)}


def r_of(wall: Wall, layer_id: str, path: int = 0) -> float:
    """R (IP) of a layer along one path."""
    parts = thermal_result(wall).paths[path].resistances
    return sum(part.resistance for part in parts if part.layer == layer_id) / R


def codes(wall: Wall, zone: str | None = None) -> list[str]:
    site = site_from_zone(zone) if zone else None
    return [finding.code for finding in thermal_findings(wall, thermal_result(wall), site)]


def test_framed_wall_joins_paths_by_u_not_by_averaged_r() -> None:
    result = thermal_result(framed_wall(BATT_R13))
    rest = 0.17 + 0.62 + 0.62 + 0.45 + 0.68
    wood, cavity = rest + 3.5 * 1.25, rest + 13
    assert result.u_hand_si is not None
    assert result.u_hand_si / U == pytest.approx(0.25 / wood + 0.75 / cavity)
    averaged = 0.25 * wood + 0.75 * cavity
    assert result.r_si / R < averaged - 1.5  # the mistake seen in print gives for


def test_effective_r_is_the_inverse_of_u() -> None:
    result = thermal_result(framed_wall(BATT_R20, "5-1/2 in"))
    assert result.r_si * result.u_si == pytest.approx(1)
    assert result.r_si / R == pytest.approx(1 / (result.u_si / U))


def test_shares_of_all_paths_sum_to_one() -> None:
    inside = (make_layer("furring", None, "1-1/2 in", fill=XPS, framing=framing(fraction=0.1)),)
    wall = block_wall(inside=inside, block_fields={"grout": {"vertical_spacing": "48 in"}})
    result = thermal_result(wall)
    assert len(result.paths) == 4
    assert sum(path.share for path in result.paths) == pytest.approx(1)
    assert result.u_hand_si == pytest.approx(sum(path.share / path.total for path in result.paths))


def test_members_that_line_up_are_one_member() -> None:
    aligned = make_wall([studs("3-1/2 in", BATT_R13), make_layer("strips", None, "1-1/2 in", framing=framing())])
    crossed = make_wall(
        [
            studs("3-1/2 in", BATT_R13),
            make_layer("strips", None, "1-1/2 in", framing=framing(orientation="horizontal")),
        ]
    )
    assert [round(path.share, 4) for path in thermal_result(aligned).paths] == [0.25, 0.75]
    shares = [round(path.share, 4) for path in thermal_result(crossed).paths]
    assert shares == [0.0625, 0.1875, 0.1875, 0.5625]
    assert any("line up" in note for note in thermal_result(crossed).notes)


def test_gap_open_at_both_ends_leaves_gap_and_cladding_out() -> None:
    gap = make_layer("gap", None, "3/4 in", cavity=GAP_OPEN)
    layers = (make_layer("siding", SIDING, "1/2 in"), gap, make_layer("sheathing", OSB, "7/16 in"))
    result = thermal_result(make_wall([*layers, studs("3-1/2 in", BATT_R13), make_layer("board", GYPSUM, "1/2 in")]))
    names = [part.layer for part in result.paths[1].resistances]
    assert names == ["exterior film", "sheathing", "studs", "board", "interior film"]
    assert result.paths[1].total / R == pytest.approx(0.68 + 0.62 + 13 + 0.45 + 0.68)
    assert "siding, gap are left out" in result.notes[0]


def test_insulation_outside_a_ventilated_gap_does_not_count() -> None:
    gap = make_layer("gap", None, "3/4 in", cavity=GAP_OPEN)
    wall = make_wall([make_layer("foam", XPS, "2 in"), gap, studs("3-1/2 in", BATT_R13)])
    assert thermal_result(wall).continuous_r_si == 0


def test_drained_mat_gives_no_air_space_but_cladding_counts() -> None:
    mat = make_layer("mat", MAT, "3/8 in", cavity=GAP_DRAINED)
    wall = framed_wall(BATT_R13).model_copy(
        update={"layers": (make_layer("stucco", STUCCO, "7/8 in"), mat, *framed_wall(BATT_R13).layers[1:])}
    )
    assert r_of(wall, "mat") == 0
    assert r_of(wall, "stucco") == pytest.approx(0.875 * units.INCH / 0.72 / R)
    assert r_of(wall, "exterior film") == pytest.approx(0.17)


def test_closed_air_space_has_the_handbook_value() -> None:
    wall = make_wall(
        [make_layer("a", XPS, "1 in"), make_layer("gap", None, "1 in", cavity={"kind": "unventilated"}),
         make_layer("b", GYPSUM, "1/2 in")]
    )  # fmt: skip
    assert r_of(wall, "gap") == pytest.approx(0.97)


def test_thin_closed_gap_is_never_better_than_a_deep_one() -> None:
    values = []
    for depth in ("1/8 in", "1/4 in", "3/8 in", "1/2 in", "11/16 in", "3/4 in", "2 in", "5-1/2 in"):
        gap = make_layer("gap", None, depth, cavity={"kind": "unventilated"})
        values.append(r_of(make_wall([make_layer("a", XPS, "1 in"), gap]), "gap"))
    assert values == sorted(values)
    assert values[0] > 0 and values[-1] == pytest.approx(0.97)


def test_empty_stud_cavity_is_an_air_space() -> None:
    assert r_of(framed_wall(None), "studs", path=1) == pytest.approx(0.97)


def test_rated_r_holds_within_a_sixteenth() -> None:
    near = framed_wall(BATT_R13, "3-9/16 in")
    assert r_of(near, "studs", path=1) == pytest.approx(13)
    far = framed_wall(BATT_R13, "3-11/16 in")
    assert r_of(far, "studs", path=1) == 0


@pytest.mark.parametrize(
    ("batt", "depth", "left", "severity"),
    [
        (BATT_R19, "5-1/2 in", 18, Severity.NOTE),  # the chart
        (BATT_R19, "3-1/2 in", 14, Severity.NOTE),
        (BATT_R30, "5-1/2 in", 30 * 5.5 / 7.25, Severity.WARNING),  # no chart has an R-30 batt of 7-1/4 in: the rule
    ],
)
def test_squeezed_batt_keeps_what_chart_or_rule_leaves_it(
    batt: Material, depth: str, left: float, severity: Severity
) -> None:
    wall = framed_wall(batt, depth)
    assert r_of(wall, "studs", path=1) == pytest.approx(left)
    assert thermal_result(wall).cavity_r_si / R == pytest.approx(left)  # the code counts it as installed
    found = thermal_findings(wall, thermal_result(wall))
    assert [(finding.code, finding.severity, finding.layer) for finding in found] == [("T02", severity, "studs")]
    assert f"acts as R-{left:.1f} at {depth}" in found[0].message


def test_batt_squeezed_too_far_gets_no_value_but_a_finding() -> None:
    wall = framed_wall(BATT_R30, "3-1/2 in")
    found = thermal_findings(wall, thermal_result(wall))
    assert [finding.code for finding in found] == ["T02"]
    assert found[0].severity is Severity.ERROR
    assert found[0].layer == "studs"
    assert found[0].message.startswith("no R for R-30 at 3-1/2 in: ")
    assert thermal_result(wall).cavity_r_si == 0


def test_of_several_batts_the_least_squeezed_one_is_taken() -> None:
    batts = make_material("batts", "batt", rated=[("3-1/2 in", "R-13"), ("5-1/2 in", "R-21"), ("9-1/2 in", "R-30")])
    assert r_of(framed_wall(batts, "5 in"), "studs", path=1) == pytest.approx(21 * 5 / 5.5)


def test_batt_that_does_not_fill_its_cavity_gets_no_value_but_a_finding() -> None:
    wall = framed_wall(BATT_R13, "5-1/2 in")
    found = thermal_findings(wall, thermal_result(wall))
    assert [(finding.code, finding.severity) for finding in found] == [("T01", Severity.ERROR)]
    assert "it is rated R-13 at 3-1/2 in" in found[0].message


def test_batt_beside_a_declared_air_space_keeps_its_r() -> None:
    half_filled = studs("5-1/2 in", BATT_R13).model_copy(
        update={"cavity": make_layer("x", None, cavity={"kind": "unventilated", "depth": "2 in"}).cavity}
    )
    wall = make_wall([make_layer("sheathing", OSB, "7/16 in"), half_filled])
    assert r_of(wall, "studs", path=1) == pytest.approx(13 + 0.97)
    assert thermal_result(wall).cavity_r_si / R == pytest.approx(13)
    assert codes(wall) == []


def test_rated_board_used_at_another_thickness_is_a_finding() -> None:
    wall = make_wall([make_layer("sheathing", OSB, "5/8 in"), studs("3-1/2 in", BATT_R13)])
    assert codes(wall) == ["T01"]


def test_rated_board_with_conductivity_is_computed_at_other_thickness() -> None:
    both = make_material("foam", "rigid-foam", conductivity="0.2 Btu*in/(h*ft2*F)", rated=[("2 in", "R-10.2")])
    assert r_of(make_wall([make_layer("foam", both, "2 in")]), "foam") == pytest.approx(10.2)
    assert r_of(make_wall([make_layer("foam", both, "3 in")]), "foam") == pytest.approx(15)


def test_missing_conductivity_names_layer_and_material() -> None:
    unknown = make_material("mystery-board", "fiberboard")
    with pytest.raises(NotComputableError, match="layer 'board': material 'mystery-board' has neither conductivity"):
        thermal_result(make_wall([make_layer("board", unknown, "1/2 in")]))


def test_missing_thickness_of_a_solid_layer_is_refused() -> None:
    with pytest.raises(NotComputableError, match="layer 'foam': test-xps has no thickness"):
        thermal_result(make_wall([make_layer("foam", XPS)]))


def test_films_and_coatings_count_as_nothing_and_say_so() -> None:
    wall = make_wall([make_layer("wrb", WRB, "10 mil"), make_layer("foam", XPS, "1 in"), make_layer("paint", PAINT)])
    result = thermal_result(wall)
    assert result.r_si / R == pytest.approx(0.17 + 5 + 0.68)
    assert "Films and coatings count as R-0: wrb, paint." in result.notes


def test_nominal_cavity_and_continuous_are_kept_apart() -> None:
    result = thermal_result(framed_wall(BATT_R20, "5-1/2 in", (make_layer("ci", XPS, "1 in"),)))
    assert result.cavity_r_si / R == pytest.approx(20)
    assert result.continuous_r_si / R == pytest.approx(5)


def test_foam_between_strapping_is_not_continuous() -> None:
    strapped = make_layer("foam", None, "1-1/2 in", fill=XPS, framing=framing(fraction=0.1))
    result = thermal_result(framed_wall(BATT_R13, outboard=(strapped,)))
    assert result.continuous_r_si == 0
    assert result.cavity_r_si / R == pytest.approx(13 + 7.5)


def test_sheathing_gypsum_and_cladding_are_not_insulation() -> None:
    wall = make_wall([make_layer("siding", SIDING, "1/2 in"), make_layer("sheathing", OSB, "7/16 in")])
    result = thermal_result(wall)
    assert result.cavity_r_si == result.continuous_r_si == 0


def test_furred_insulation_of_a_mass_wall_counts_at_its_effective_r() -> None:
    furred = make_layer("furring", None, "1-1/2 in", fill=XPS, framing=framing(fraction=0.1))
    result = thermal_result(block_wall(inside=(furred, make_layer("board", GYPSUM, "1/2 in"))))
    bare = thermal_result(block_wall(inside=(make_layer("board", GYPSUM, "1/2 in"),)))
    rest = bare.r_si / R
    by_hand = 1 / (0.1 / (rest + 1.875) + 0.9 / (rest + 7.5)) - rest
    assert 5.8 < result.mass_insulation_si / R < by_hand  # in two dimensions the strips take more
    assert 6 < by_hand < 7.5
    assert result.interior_share == 1


def test_interior_share_weighs_both_sides() -> None:
    wall = block_wall(outside=(make_layer("out", XPS, "2 in"),), inside=(make_layer("in", XPS, "1 in"),))
    assert thermal_result(wall).interior_share == pytest.approx(1 / 3)


def test_core_insulation_counts_in_u_but_not_in_the_r_path() -> None:
    perlite = make_material("fill", "loose-fill", conductivity="0.31 Btu*in/(h*ft2*F)", density=75.0)
    filled = thermal_result(block_wall(block_fields={"fill": perlite}))
    empty = thermal_result(block_wall())
    assert filled.u_si < empty.u_si
    assert filled.mass_insulation_si == 0
    assert codes(block_wall(block_fields={"fill": perlite})) == ["T06"]


def test_grout_pattern_is_weighted_by_area() -> None:
    grout = {"vertical_spacing": "48 in", "horizontal_spacing": "120 in"}
    mixed = thermal_result(block_wall(block_fields={"grout": grout}))
    solid = thermal_result(block_wall(block_fields={"grout": {"solid": "true"}}))
    empty = thermal_result(block_wall())
    share = 1 - (1 - 8 / 48) * (1 - 8 / 120)
    assert mixed.u_si == pytest.approx(share * solid.u_si + (1 - share) * empty.u_si)
    assert empty.heat_capacity_si < mixed.heat_capacity_si < solid.heat_capacity_si


def test_heat_capacity_leaves_cores_out() -> None:
    hollow = thermal_result(block_wall()).heat_capacity_si / units.HEAT_CAPACITY_IP
    web = 3 * 1.125 / 15.625
    solid = 2 * 1.31 + web * (7.625 - 2.62)
    assert hollow == pytest.approx(solid / 12 * 115 * 0.21)


def test_block_without_webs_cannot_be_computed() -> None:
    bare = make_layer("block", BLOCK, "7-5/8 in", unit={"length": "15-5/8 in", "height": "7-5/8 in", "joint": "3/8 in"})
    with pytest.raises(NotComputableError, match="hollow unit without face_shell, web and webs"):
        thermal_result(make_wall([bare]))


def test_tested_r_of_a_whole_unit_stands_in_for_its_webs() -> None:
    tested = make_material("unit", "block", rated=[("7-5/8 in", "R-1.05")])
    bare = make_layer(
        "block", tested, "7-5/8 in", unit={"length": "15-5/8 in", "height": "7-5/8 in", "joint": "3/8 in"}
    )
    result = thermal_result(make_wall([bare]))
    assert result.r_si / R == pytest.approx(0.17 + 1.05 + 0.68)


def test_face_shells_thicker_than_the_unit_are_refused() -> None:
    with pytest.raises(NotComputableError, match="leave no core"):
        thermal_result(make_wall([block("3-5/8 in", unit={"face_shell": "2 in"})]))


def test_steel_studs_use_the_table_never_parallel_path() -> None:
    layer = make_layer("studs", None, "3-1/2 in", fill=BATT_R13, framing=framing(material=STEEL, profile="cee"))
    wall = make_wall([make_layer("sheathing", OSB, "7/16 in"), layer, make_layer("board", GYPSUM, "1/2 in")])
    result = thermal_result(wall)
    assert len(result.paths) == 1
    assert result.u_hand_si is not None and result.conduction is not None
    assert 1 / result.u_hand_si / R == pytest.approx(0.17 + 0.62 + 0.46 * 13 + 0.45 + 0.68)
    assert result.u_si == result.conduction.u_wall_si > result.u_hand_si
    assert codes(wall) == ["T03"]


def test_metal_furring_through_insulation_is_judged_in_two_dimensions_alone() -> None:
    zee = make_layer(
        "zee", None, "2 in", fill=XPS,
        framing=framing("1-1/4 in", "24 in", 0.052, material=STEEL, profile="zee", gauge="18 gauge"),
    )  # fmt: skip
    result = thermal_result(block_wall(outside=(zee,)))
    assert result.u_hand_si is None and result.conduction is not None
    assert result.u_si == result.conduction.u_wall_si
    assert result.method == "conduction in two dimensions at the declared framing fraction (ISO 10211)"
    foam = thermal_result(block_wall(outside=(make_layer("foam", XPS, "2 in"),))).r_si
    lower = 1 / result.conduction.u_planes_si
    assert lower < result.r_si < foam - 3 * R  # the metal takes more than R-3 of R-10
    assert result.mass_insulation_si < 7 * R


def test_hat_channel_beside_whole_insulation_is_ignored() -> None:
    hat = make_layer("hat", None, "7/8 in", framing=framing(material=STEEL, spacing="24 in", profile="hat"))
    board = make_layer("board", GYPSUM, "1/2 in")
    wall = block_wall(inside=(make_layer("foam", XPS, "2 in"), hat, board))
    assert len(thermal_result(wall).paths) == 1
    assert r_of(wall, "hat") == pytest.approx(0.97)
    assert thermal_result(wall).continuous_r_si / R == pytest.approx(10)
    assert codes(wall) == []


def test_foil_toward_a_gap_gets_a_note_and_no_credit() -> None:
    gap = make_layer("gap", None, "3/4 in", cavity={"kind": "unventilated"})
    wall = make_wall([gap, make_layer("foam", POLYISO, "1 in")])
    assert r_of(wall, "gap") == pytest.approx(0.97)
    assert codes(wall) == ["T04"]
    assert codes(make_wall([make_layer("foam", POLYISO, "1 in")])) == []


def test_polyiso_outboard_is_told_apart_in_cold_zones_only() -> None:
    wall = framed_wall(BATT_R13, outboard=(make_layer("ci", POLYISO, "2 in"),))
    assert codes(wall, "6A") == ["T05"]
    assert codes(wall, "2A") == []
    assert codes(framed_wall(BATT_R13, outboard=(make_layer("ci", XPS, "2 in"),)), "6A") == []


def test_every_finding_says_why_and_what_cures_it() -> None:
    wall = framed_wall(BATT_R19, "3-1/2 in")
    for finding in thermal_findings(wall, thermal_result(wall)):
        assert finding.because and finding.cure and finding.source and finding.status


def test_figures_can_be_redone_by_hand() -> None:
    result = thermal_result(framed_wall(BATT_R13))
    figures = {figure.name: figure for figure in result.figures}
    terms = figures["U of the wall by hand"].values.split(" + ")
    redone = sum(float(share) / float(total) for share, total in (term.split("/") for term in terms))
    assert redone == pytest.approx(figures["U of the wall by hand"].result, abs=1e-5)
    for path in result.paths:
        figure = next(figure for name, figure in figures.items() if path.name in name)
        values = [float(term.split()[0]) for term in figure.values.split(" + ")]
        assert sum(values) == pytest.approx(path.total / R, abs=0.003)  # terms are shown to 0.001


def test_brick_veneer_does_not_make_a_mass_wall() -> None:
    brick = make_layer("brick", BRICK, "3-5/8 in", ties={"type": "tie"})
    gap = make_layer("gap", None, "1 in", cavity=GAP_DRAINED)
    wall = make_wall([brick, gap, *framed_wall(BATT_R13).layers[1:]])
    result = thermal_result(wall)
    assert result.heat_capacity_si / units.HEAT_CAPACITY_IP > 9  # would pass the test by heat capacity
    family = family_of(wall, result)
    assert family.name == "wood-frame"
    assert "veneer brick not counted" in family.basis


def test_layers_that_cross_without_end_are_refused() -> None:
    layers = [
        make_layer(f"strips-{i}", None, "3/4 in", framing=framing(spacing=f"{10 + i} in", fraction=0.1))
        for i in range(40)
    ]
    with pytest.raises(NotComputableError, match=r"expected at most 1024"):
        thermal_result(make_wall(layers))


def test_framing_fraction_below_the_studs_alone_is_a_finding() -> None:
    def wall(fraction: float, spacing: str) -> Wall:
        return make_wall([studs("3-1/2 in", BATT_R13, fraction=fraction, spacing=spacing)])

    assert codes(wall(0.05, "16 in")) == ["T07"]
    assert codes(wall(0.09, "16 in")) == []  # 0.094 stated to two digits
    assert codes(wall(0.25, "16 in")) == []
    assert codes(wall(0.06, "24 in")) == []


def test_grooved_board_keeps_its_r_and_a_mat_has_none() -> None:
    grooved = make_material("grooved", "rigid-foam", conductivity="0.2 Btu*in/(h*ft2*F)", drainable="true")
    assert r_of(make_wall([make_layer("board", grooved, "1 in", cavity=GAP_DRAINED)]), "board") == pytest.approx(5)
    assert r_of(make_wall([make_layer("mat", MAT, "3/8 in")]), "mat") == 0


def test_core_fill_without_conductivity_is_refused() -> None:
    with pytest.raises(NotComputableError, match="expected a fill with a conductivity"):
        thermal_result(block_wall(block_fields={"fill": BATT_R13}))


def test_grout_without_a_pattern_is_refused() -> None:
    with pytest.raises(NotComputableError, match="grout is neither solid nor at a vertical or horizontal spacing"):
        thermal_result(block_wall(block_fields={"grout": {}}))
