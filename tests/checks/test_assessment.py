"""An assessment as a whole: order of findings, the keeper's reasons, moisture answers, explain and never-lines."""

from __future__ import annotations

import pytest
import ruined_walls as ruin
from builders import BATT_R13, POLYETHYLENE, SIDING, framing, make_layer, make_wall, studs
from ruined_walls import after, change, layer, place, replace

from specgen.checks.assess import assess
from specgen.checks.catalog import explain, never_lines
from specgen.checks.entries import finding_entries, input_error_entries
from specgen.checks.practice import RULES
from specgen.errors import NotComputableError, UnknownNameError
from specgen.model.finding import Severity


def test_findings_stand_by_severity_then_layer_then_code() -> None:
    wall = replace(after(ruin.stucco_wall(), "studs", layer("poly", POLYETHYLENE)), "mat")
    findings = assess(wall, place("2A")).findings
    order = {each.id: index for index, each in enumerate(wall.layers)}
    keys = [(-f.severity, order.get(f.layer, -1), f.code) for f in findings]
    assert keys == sorted(keys) and len(findings) > 3
    assert not assess(wall, place("2A")).meets


def test_a_reason_of_the_keeper_stands_beside_the_finding_and_hides_nothing() -> None:
    reason = {"code": "P01", "zones": ("2B",), "because": "two papers, 8 in of rain a year, deep eaves"}
    wall = change(replace(ruin.stucco_wall(), "mat"), explained=(reason,))
    (in_zone,) = [f for f in assess(wall, place("2B")).findings if f.code == "P01"]
    (elsewhere,) = [f for f in assess(wall, place("3B")).findings if f.code == "P01"]
    assert in_zone.severity == Severity.ERROR and in_zone.explained.startswith("two papers")
    assert elsewhere.explained == ""


def test_drying_of_a_stucco_wall_goes_both_ways_and_of_a_closed_one_inward() -> None:
    sound = assess(ruin.stucco_wall(), place("2A")).moisture
    assert (sound.retarder_class, sound.retarder_layer, sound.dries_to) == ("III", "paint", "both")
    closed = replace(ruin.stucco_wall(), "wrb", layer("wrb", ruin.FLUID, "30 mil", controls=("water", "air")))
    inward = assess(closed, place("2A")).moisture
    assert inward.dries_to == "interior" and inward.extra["governing_layer"] == "sheathing"
    trapped = after(closed, "studs", layer("poly", POLYETHYLENE))
    assert assess(trapped, place("2A")).moisture.dries_to == "neither"


def test_kraft_facing_is_the_retarder_of_its_batt() -> None:
    wall = replace(ruin.stucco_wall(), "studs", studs("3-1/2 in", ruin.KRAFT_BATT))
    moisture = assess(wall, place("4A")).moisture
    assert (moisture.retarder_class, moisture.retarder_layer) == ("II", "studs")


def test_a_ventilated_space_counts_as_outdoors_and_a_drained_one_does_not() -> None:
    metal = ruin.make_material("steel-sheet", "metal", metal="true", conductivity="50 W/(m*K)")
    vented = replace(ruin.siding_wall(), "siding", layer("cladding", metal, "1/16 in"))
    assert assess(vented, place("2A")).moisture.dries_to == "both"
    drained = replace(
        vented, "furring",
        layer("gap", None, "3/4 in", framing=framing(material=ruin.TREATED), cavity={"kind": "drained",
                                                                                    "open": ("bottom",)}),
    )  # fmt: skip
    assert assess(drained, place("2A")).moisture.dries_to == "interior"


def test_block_dries_through_stucco_and_coating() -> None:
    moisture = assess(ruin.direct_wall(), place("2B")).moisture
    assert moisture.extra["governing_layer"] == "block" and moisture.exterior_share is None
    (block,) = [row for row in moisture.extra["drying"] if row["layer"] == "block"]
    # 17 perm coating and 1/2 in of stucco at 3 perm-in: 1/(1/17 + 1/6) perm
    assert block["exterior_perm"] == pytest.approx(17 * 6 / 23)


def test_the_same_wall_and_site_give_the_same_assessment() -> None:
    assert assess(ruin.stucco_wall(), place("2A")).as_json() == assess(ruin.stucco_wall(), place("2A")).as_json()


def test_a_wall_that_nothing_carries_is_named() -> None:
    wall = make_wall([make_layer("siding", SIDING, "1/2 in")])
    with pytest.raises(NotComputableError, match="'test-wall' is framed, but no layer of it is framing"):
        assess(wall, place("2A"))


# --- explain ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("code", finding_entries())
def test_every_code_is_explained_with_cure_source_and_example(code: str) -> None:
    text = explain(code.lower())
    assert text.startswith(f"{code}  ")
    for word in ("Why: ", "Cure: ", "Source: ", "Example: "):
        assert word in text


def test_input_errors_are_explained_too() -> None:
    for code in input_error_entries():
        assert explain(code).startswith(f"{code}  ")


def test_an_unknown_code_gets_the_nearest_ones() -> None:
    with pytest.raises(UnknownNameError, match=r"code 'P011' does not exist; did you mean .*'P01'"):
        explain("P011")


def test_every_rule_has_one_entry_and_every_entry_a_rule() -> None:
    ruled = [rule.code for rule in RULES]
    # L2: of a project; M4, M50, M51 and M7: of a computed result, with their ruined walls beside that check's tests
    computed = ("L2", "M4", "M50", "M51", "M7")
    mine = [code for code in finding_entries() if code[0] in "MPL" and not code.startswith(computed)]
    assert len(ruled) == len(set(ruled))
    assert sorted([*ruled, "L101"]) == sorted(mine)  # L101 looks at what the other rules found


def test_entries_are_whole_and_short_enough_for_their_pages() -> None:
    for entry in finding_entries().values():
        assert len(entry.never) <= 34, entry.never
        assert entry.status in ("confirmed", "secondary", "from-memory", "common-practice")
        assert entry.title and not entry.title.endswith(".") and entry.why.endswith(".") and entry.cure.endswith(".")


# --- never-lines of the crew page -------------------------------------------------------------------------------------


def test_never_lines_fit_the_wall_and_its_place() -> None:
    hot = [line.text for line in never_lines(ruin.stucco_wall(), place("2A"))]
    assert hot[0] == "Stucco or stone tight on membrane"
    assert "Vinyl, foil, kraft or poly inside" in hot
    assert "Foam within 6 in of soil" not in hot
    cold = [line.text for line in never_lines(ruin.stucco_wall(), place("6A"))]
    assert "Vinyl, foil, kraft or poly inside" not in cold


def test_never_lines_of_direct_applied_stucco() -> None:
    lines = [line.text for line in never_lines(ruin.direct_wall(), place("2B"))]
    assert lines[:3] == [
        "Gaps in the inner-face coating", "Elastomeric or acrylic outside", "Paper or film behind the coats",
    ]  # fmt: skip
    assert "Stucco or stone tight on membrane" not in lines


def test_never_lines_of_foam_outside_where_termites_are_heavy() -> None:
    quiet = {line.code for line in never_lines(ruin.outside_wall(), place("2A"))}
    heavy = {line.code for line in never_lines(ruin.outside_wall(), place("2A", termite="very-heavy"))}
    assert heavy - quiet == {"P40"} or "P40" in heavy


@pytest.mark.parametrize("zone", ["1A", "2A", "2B", "3A", "4C", "6A", "8"])
def test_six_never_lines_at_most_none_twice(zone: str) -> None:
    for wall in (ruin.stucco_wall(), ruin.direct_wall(), ruin.outside_wall(), ruin.inside_wall(), ruin.brick_wall()):
        lines = never_lines(wall, place(zone))
        assert 1 <= len(lines) <= 6 and len({line.text for line in lines}) == len(lines)
        assert lines == never_lines(wall, place(zone))


# --- spray foam and batt in one cavity -------------------------------------------------------------------------------


def test_spray_foam_outside_of_batt_in_one_cavity_counts_as_exterior_r() -> None:
    spray = ruin.make_material(
        "test-spray-foam", "spray-foam", foam_plastic="true", conductivity="0.16 Btu*in/(h*ft2*F)",
        permeability="1.6 perm-in",
    )  # fmt: skip
    batt_only = replace(ruin.siding_wall(), "furring")
    flash = replace(
        batt_only, "studs",
        make_layer("foam-part", None, "2 in", fill=spray, framing=framing()),
        make_layer("batt-part", None, "3-1/2 in", fill=BATT_R13, framing=framing()),
    )  # fmt: skip
    cold = place("5A")
    assert "M05" in {f.code for f in assess(batt_only, cold).findings}
    found = {f.code for f in assess(flash, cold).findings}
    assert "M05" not in found and "P40" not in found  # in the cavity; foam there is not outside foam
