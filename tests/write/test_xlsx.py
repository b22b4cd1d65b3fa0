"""The schedule as a workbook, read back by another library than the one that wrote it."""

from __future__ import annotations

import io
from functools import cache

import pytest
from builders import framed_wall
from documents.test_schedule import PROJECT, demo_rows, row
from openpyxl import load_workbook
from openpyxl.worksheet.worksheet import Worksheet

from specgen import units
from specgen.documents.schedule import ScheduleRow
from specgen.documents.schedule_table import schedule_table
from specgen.drawing.callouts import callouts
from specgen.model.project import WallType
from specgen.write.xlsx import write_xlsx


@cache
def content() -> bytes:
    return write_xlsx(schedule_table(demo_rows(), PROJECT))


def sheet(name: str, file: bytes | None = None) -> Worksheet:
    return load_workbook(io.BytesIO(file or content()))[name]


def by_head(table: Worksheet) -> list[dict[str, object]]:
    head, *rows = table.iter_rows(values_only=True)
    return [dict(zip(map(str, head), cells, strict=True)) for cells in rows]


def test_one_row_per_tag_with_figures_as_numbers() -> None:
    rows = by_head(sheet("Wall types"))
    assert [cells["Tag"] for cells in rows] == [entry.wall_type.tag for entry in demo_rows()]
    for cells, entry in zip(rows, demo_rows(), strict=True):
        thermal = entry.assessment.thermal
        assert cells["Whole wall R, h·ft²·°F/Btu"] == pytest.approx(thermal.r_si / units.R_IP)
        assert cells["Whole wall U, Btu/(h·ft²·°F)"] == pytest.approx(thermal.u_si / units.U_IP)
        assert cells["Whole wall U, W/(m²·K)"] == pytest.approx(thermal.u_si)
        assert cells["Overall thickness, in"] == pytest.approx(entry.wall.thickness / units.INCH)
        assert isinstance(cells["Overall thickness, mm"], int | float)
        assert cells["Method of R and U"] == thermal.method
        assert cells["Fire, hours"] == cells["Wind pressure, psf"] == "by others"
        assert str(cells["Layers, exterior to interior"]).count("\n") == len(callouts(entry.wall)) - 1
        assert entry.wall.name == cells["Wall of the library"]


def test_number_formats_print_r_to_a_tenth_and_u_to_a_thousandth() -> None:
    table = sheet("Wall types")
    heads = {str(cell.value): cell.column for cell in table[1]}
    formats = {head: table.cell(2, column).number_format for head, column in heads.items()}
    assert formats["Whole wall R, h·ft²·°F/Btu"] == "0.0"
    assert formats["Whole wall U, Btu/(h·ft²·°F)"] == formats["U path, required, Btu/(h·ft²·°F)"] == "0.000"


def test_layers_add_up_to_the_overall() -> None:
    layers = by_head(sheet("Layers"))
    for cells in by_head(sheet("Wall types")):
        parts = [part["Thickness, in"] for part in layers if part["Tag"] == cells["Tag"]]
        assert sum(part for part in parts if isinstance(part, int | float)) == pytest.approx(
            cells["Overall thickness, in"]
        )


def test_head_row_stays_and_prints_on_each_page() -> None:
    for table in load_workbook(io.BytesIO(content())).worksheets:
        assert table.freeze_panes and str(table.freeze_panes).endswith("2")
        assert table.auto_filter.ref and table.auto_filter.ref.startswith("A1:")
        assert table.page_setup.orientation == "landscape"
        assert table.sheet_properties.pageSetUpPr.fitToPage
        assert table.page_setup.fitToWidth in (None, 1)  # one is the format's default, left out
        assert table.page_setup.fitToHeight == 0
        assert table.print_title_rows == "$1:$1"
        assert "building department" in str(table.oddFooter.left.text)
        assert not table.merged_cells.ranges


def test_the_code_caveat_and_the_title_data_stand_in_it() -> None:
    notes = "\n".join(str(value) for cells in sheet("Notes").iter_rows(values_only=True) for value in cells)
    for text in (PROJECT.office, PROJECT.number, "November 4, 2026, revision 1", "IECC 2021, IRC 2021",
                 "confirm edition and amendments", "could not be confirmed in their source"):  # fmt: skip
        assert text in notes


def test_a_wall_that_is_not_approved_is_marked() -> None:
    file = write_xlsx(schedule_table([row(framed_wall(status="in-review"), "X1")], PROJECT))
    first = next(iter(by_head(sheet("Notes", file))))
    assert first["Subject"] == "DRAFT" and "X1" in str(first["Text"])


@pytest.mark.parametrize("text", ["=1+1", "@x", "+cmd", "-2+3", "http://example.com", "007"])
def test_a_text_of_a_file_never_becomes_a_formula_a_link_or_a_number(text: str) -> None:
    base = row(framed_wall(), "X1")
    entry = WallType.model_validate(
        {"tag": "X1", "wall": "small", "site": "here", "where": text, "remarks": text}
    )  # fmt: skip
    project = PROJECT.model_copy(update={"issued_for": text, "office": text, "name": text, "invented": False})
    file = write_xlsx(schedule_table([ScheduleRow(entry, base.wall, base.site, base.assessment)], project))
    found = 0
    for table in load_workbook(io.BytesIO(file)).worksheets:
        assert not table._hyperlinks
        for cells in table.iter_rows():
            for cell in cells:
                assert cell.data_type != "f", cell.coordinate
                if cell.value == text:
                    assert cell.data_type == "s"
                    assert cell.quotePrefix == (text[0] in "=+-@")
                    found += 1
    assert found == 5  # where used, remarks, issued for, office, project


def test_figures_of_the_ratings_are_numbers_once_they_are_entered() -> None:
    wall = framed_wall(ratings={"cladding_weight": "10 psf", "design_pressure": "30 psf", "fire_hours": "1"})
    cells = by_head(sheet("Wall types", write_xlsx(schedule_table([row(wall, "X1")], PROJECT))))[0]
    assert cells["Cladding weight, psf"] == pytest.approx(10)
    assert cells["Wind pressure, psf"] == pytest.approx(30)
    assert cells["Fire, hours"] == "1"


def test_same_input_same_bytes() -> None:
    assert write_xlsx(schedule_table(demo_rows(), PROJECT)) == content()
    created = load_workbook(io.BytesIO(content())).properties.created
    assert created is not None and created.date() == PROJECT.date
