"""Whatever layers a wall has, the rules answer or say what is missing; no wall is judged by its names."""

from __future__ import annotations

import builders
import ruined_walls as ruin
from builders import block, make_layer, studs
from hypothesis import given, settings
from hypothesis import strategies as st

from specgen.checks.assess import assess
from specgen.checks.catalog import never_lines
from specgen.checks.entries import finding_entries
from specgen.errors import NotComputableError
from specgen.model.wall import Layer, Wall

SKINS = (
    ruin.coat(), ruin.coat(lath=False), ruin.MAT_LAYER, ruin.WRB_LAYER, ruin.SHEATHING, ruin.BOARD, ruin.PAINT_LAYER,
    ruin.vented(), make_layer("foil-foam", builders.POLYISO, "1 in"), make_layer("foam", builders.XPS, "2 in"),
    make_layer("wool", builders.MINERAL_BOARD, "2 in"), make_layer("poly", builders.POLYETHYLENE),
    make_layer("kraft", builders.KRAFT), make_layer("vinyl", ruin.VINYL), make_layer("negative", ruin.NEGATIVE),
    make_layer("brick", builders.BRICK, "3-5/8 in", ties=ruin.TIES), make_layer("nothing-known", ruin.UNKNOWN_SHEET),
    make_layer("space", None, "1 in", cavity={"kind": "drained", "open": ("bottom",)}),
)  # fmt: skip
BODIES = {
    "framed": (studs("3-1/2 in", builders.BATT_R13), studs("5-1/2 in", ruin.KRAFT_BATT), studs("3-1/2 in", None)),
    "mass-exterior-insulated": (block(), make_layer("concrete", builders.CONCRETE, "6 in")),
    "mass-interior-insulated": (block(),),
    "mass-direct-render": (block(),),
}  # fmt: skip
ZONES = ("0A", "1A", "2A", "2B", "3A", "3B", "3C", "4A", "4B", "4C", "5A", "5B", "6A", "6B", "7", "8")


@st.composite
def walls(draw: st.DrawFn) -> Wall:
    construction = draw(st.sampled_from(sorted(BODIES)))
    side = st.lists(st.sampled_from(SKINS), max_size=4)
    layers = [*draw(side), draw(st.sampled_from(BODIES[construction])), *draw(side)]
    named: list[Layer] = [
        layer.model_copy(update={"id": f"l{number}-{layer.id}"}) for number, layer in enumerate(layers)
    ]
    return builders.make_wall(named, construction=construction)


@settings(max_examples=120, deadline=None)
@given(walls(), st.sampled_from(ZONES), st.sampled_from(["2018", "2021", "2024"]))
def test_any_make_up_is_judged_or_refused_with_a_reason(wall: Wall, zone: str, edition: str) -> None:
    site = ruin.place(zone, edition)
    try:
        assessment = assess(wall, site)
    except NotComputableError as error:
        assert "test-wall" in str(error)
        return
    ids = {layer.id for layer in wall.layers} | {""}
    for finding in assessment.findings:
        assert finding.code in finding_entries() and finding.layer in ids and finding.message
        assert "inf" not in finding.message.split() and "nan" not in finding.message.split()
    assert len(never_lines(wall, site)) <= 6
    assert assessment.moisture.dries_to in ("exterior", "interior", "both", "neither")


@settings(max_examples=40, deadline=None)
@given(walls(), st.sampled_from(ZONES))
def test_rules_do_not_look_at_ids_and_titles(wall: Wall, zone: str) -> None:
    renamed = tuple(
        layer.model_copy(update={
            "id": f"x{number}",
            "material": layer.material and layer.material.model_copy(update={"id": "poly-foil-kraft-vinyl-osb"}),
        })
        for number, layer in enumerate(wall.layers)
    )  # fmt: skip
    other = wall.model_copy(update={"layers": renamed, "id": "other", "title": "Stucco on polyethylene"})
    try:
        first, second = (assess(each, ruin.place(zone)) for each in (wall, other))
    except NotComputableError:
        return
    place = {layer.id: number for number, layer in enumerate(wall.layers)} | {
        layer.id: number for number, layer in enumerate(renamed)
    }
    key = [[(f.code, f.severity, place.get(f.layer, -1)) for f in each.findings] for each in (first, second)]
    assert key[0] == key[1]


@settings(max_examples=60, deadline=None)
@given(walls(), st.sampled_from(ZONES))
def test_a_tighter_layer_never_opens_a_drying_path(wall: Wall, zone: str) -> None:
    def best(which: Wall) -> list[float]:
        rows = assess(which, ruin.place(zone)).moisture.extra["drying"]
        return [float("inf") if row["interior_perm"] is None else row["interior_perm"] for row in rows]

    film = make_layer("film", builders.make_material("film", "sheet", permeance="2 perm"))
    try:
        before = best(wall)
        after = best(wall.model_copy(update={"layers": (*wall.layers, film)}))
    except NotComputableError:
        return
    assert all(tight <= free for tight, free in zip(after, before, strict=True))
