"""A workbook as XLSX: text as text, numbers as numbers, no formula and no link whatever a text looks like.

Bytes out, no disk. The date in the file is the document's own, so that two runs give the same bytes.
"""

from __future__ import annotations

import io
from datetime import UTC, datetime
from typing import Any

import xlsxwriter
from xlsxwriter.worksheet import Worksheet

from specgen.model.workbook import SheetTable, Workbook

LINE = 14.4  # height of one line of text [pt]
ENTRY_MARKS = ("=", "+", "-", "@")  # a cell that starts so would be read as a formula once it is edited
OPTIONS = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}


def write_xlsx(workbook: Workbook) -> bytes:
    """The XLSX file of a workbook: head rows frozen, a filter in each, printed on their side and one page wide."""
    buffer = io.BytesIO()
    book = xlsxwriter.Workbook(buffer, OPTIONS)
    book.set_properties(
        {
            "title": workbook.title,
            "subject": workbook.subject,
            "author": workbook.author,
            "created": datetime.fromisoformat(workbook.date).replace(tzinfo=UTC),
        }
    )
    for table in workbook.sheets:
        sheet = book.add_worksheet(table.name)
        _fill(book, sheet, table)
        _set_up(sheet, table, workbook)
    book.close()
    return buffer.getvalue()


def _fill(book: Any, sheet: Worksheet, table: SheetTable) -> None:
    plain = {"valign": "top", "font_size": 10}
    head = book.add_format({"bold": True, "text_wrap": True, "valign": "bottom", "bottom": 2, "font_size": 10})
    text = book.add_format(plain | {"text_wrap": True})
    quoted = book.add_format(plain | {"text_wrap": True, "quote_prefix": True})
    for index, column in enumerate(table.columns):
        sheet.set_column(index, index, column.width)
        sheet.write_string(0, index, column.head, head)
        numbers = book.add_format(plain | {"num_format": column.number_format or "General"})
        for number, row in enumerate(table.rows, start=1):
            cell = row[index]
            if cell is None:
                sheet.write_blank(number, index, None, text)
            elif isinstance(cell, str):
                sheet.write_string(number, index, cell, quoted if cell.startswith(ENTRY_MARKS) else text)
            else:
                sheet.write_number(number, index, cell, numbers)
    sheet.set_row(0, LINE * 4)
    for number, lines in enumerate(table.lines, start=1):
        sheet.set_row(number, LINE * lines + 3)


def _set_up(sheet: Worksheet, table: SheetTable, workbook: Workbook) -> None:
    sheet.freeze_panes(1, table.kept_columns)
    sheet.autofilter(0, 0, max(len(table.rows), 1), len(table.columns) - 1)
    sheet.set_landscape()
    sheet.set_paper(3 if len(table.columns) > 8 else 1)  # 11 x 17 in, else letter
    sheet.fit_to_pages(1, 0)
    sheet.repeat_rows(0)
    sheet.set_margins(left=0.4, right=0.4, top=0.8, bottom=0.8)
    left, right = (part.replace("&", "&&") for part in workbook.header)
    sheet.set_header(f"&L&9{_apart(left)}&R&9{_apart(right)}")
    sheet.set_footer(f"&L&8{_apart(workbook.footer.replace('&', '&&'))}&R&8&P / &N")


def _apart(text: str) -> str:
    """A text behind a font size: a figure at its start would be read as part of the size."""
    return f" {text}" if text[:1].isdigit() else text
