"""What README shows, made from the library itself. Run `python tests/docs/shown.py` after a change of walls or pages.

It writes the tables of walls and of methods into README.md and the pictures into out/shown/ (needs pdftoppm). The
tests beside it compare the tables, and the pages that the pictures were made from, with what the library gives today.
"""

from __future__ import annotations

import hashlib
import io
import re
import subprocess
import tempfile
from pathlib import Path

from pypdf import PdfReader

from specgen import units
from specgen.checks.thermal import thermal_result
from specgen.cli import _project
from specgen.documents.library_sheet import library_document
from specgen.library.load import open_library
from specgen.write.issued_set import issued_files
from specgen.write.pdf import write_pdf

ROOT = Path(__file__).parents[2]
SHOWN = ROOT / "out" / "shown"
LIBRARY = "library-sections.pdf"  # of no project
PAGES = {  # picture: (document of the demo set, page, dots per inch)
    "section": ("drawings/W1.pdf", 1, 80),
    "crew": ("crew/W1.pdf", 1, 80),
    "specification": ("specifications/W1.pdf", 4, 80),
    "schedule": ("schedule.pdf", 1, 40),
    "library": (LIBRARY, 1, 60),
}
TABLE = re.compile(r"(<!-- table of walls -->\n).*?(\n<!-- end of table -->)", flags=re.DOTALL)
METHODS = re.compile(r"(<!-- table of methods -->\n).*?(\n<!-- end of methods -->)", flags=re.DOTALL)


def wall_table() -> str:
    """Every wall and variant that ships: what it is, zones claimed, effective R and U."""
    lines = ["| wall | what it is | zones claimed | R | U |", "|---|---|---|---|---|"]
    for wall in open_library(ROOT / "assemblies").walls():
        thermal = thermal_result(wall)
        name = f"`+{wall.variant}`" if wall.variant else f"`{wall.id}`"
        zones = ", ".join(wall.suits.zones) if wall.suits else "none"
        r, u = thermal.r_si / units.R_IP, thermal.u_si / units.U_IP
        lines.append(f"| {name} | {wall.variant_title or wall.title} | {zones} | {r:.1f} | {u:.3f} |")
    return "\n".join(lines)


def method_table() -> str:
    """R of every wall and variant by each method, whole wall, films included; the row that differs most stands below.

    ISO 6946 takes the mean of its two limits; where they are more than 1.5 times apart it has none.
    """
    lines = [
        "| wall | by hand | isothermal planes | mean (ISO 6946) | two dimensions (ISO 10211) | judged by |",
        "|---|---|---|---|---|---|",
    ]
    differences = []
    for wall in open_library(ROOT / "assemblies").walls():
        thermal = thermal_result(wall)
        assert thermal.u_hand_si is not None and thermal.conduction is not None
        upper, corrected = _r(thermal.u_hand_si), _r(thermal.conduction.u_wall_si)
        lower = _r(thermal.u_low_si) if thermal.u_low_si is not None else upper
        mean = f"{(upper + lower) / 2:.1f}" if upper <= 1.5 * lower else "none"
        name = f"`+{wall.variant}`" if wall.variant else f"`{wall.id}`"
        lines.append(f"| {name} | {upper:.1f} | {lower:.1f} | {mean} | {corrected:.1f} | {_r(thermal.u_si):.1f} |")
        differences.append((corrected / upper - 1, wall.name, upper, corrected))
    change, most, upper, corrected = min(differences)
    lines.append("")
    lines.append(
        f"Most differs `{most}`: R-{upper:.1f} by hand, R-{corrected:.1f} in two dimensions, {-change:.0%} less."
    )
    return "\n".join(lines)


def _r(transmittance: float) -> float:
    return 1 / transmittance / units.R_IP


def sources() -> dict[str, bytes]:
    """The documents that the pictures show, as the demo issues them today."""
    project, tagged, _ = _project("demo", ROOT / "assemblies")
    files = issued_files(project, tagged, lambda _: None) | {LIBRARY: library_sections()}
    return {name: files[name] for name, _, _ in PAGES.values()}


def library_sections() -> bytes:
    """The sheet of all sections of the library that ships."""
    walls = open_library(ROOT / "assemblies").walls()
    return write_pdf(library_document([(wall, thermal_result(wall)) for wall in walls]))


def source_record(documents: dict[str, bytes]) -> str:
    """One line per document: the hash of what its pages draw, whatever compressor packed them."""
    lines = []
    for name, content in sorted(documents.items()):
        pages = [page.get_contents() for page in PdfReader(io.BytesIO(content)).pages]
        drawn = hashlib.sha256(b"".join(page.get_data() for page in pages if page is not None))
        lines.append(f"{drawn.hexdigest()}  {name}\n")
    return "".join(lines)


def take_picture(picture: str, document: bytes, page: int, dots: int) -> None:
    """One page of a document as a gray picture in out/shown."""
    with tempfile.TemporaryDirectory() as folder:
        source = Path(folder) / "page.pdf"
        source.write_bytes(document)
        words = [
            "pdftoppm",
            "-png",
            "-gray",
            "-singlefile",
            "-r",
            dots,
            "-f",
            page,
            "-l",
            page,
            source,
            SHOWN / picture,
        ]
        subprocess.run([str(word) for word in words], check=True)


def main() -> None:
    readme = ROOT / "README.md"
    text = readme.read_text(encoding="utf-8")
    text = TABLE.sub(lambda m: m.group(1) + wall_table() + m.group(2), text)
    text = METHODS.sub(lambda m: m.group(1) + method_table() + m.group(2), text)
    readme.write_text(text, encoding="utf-8")
    SHOWN.mkdir(parents=True, exist_ok=True)
    documents = sources()
    for picture, (name, page, dots) in PAGES.items():
        take_picture(picture, documents[name], page, dots)
    (SHOWN / "sources.txt").write_text(source_record(documents), encoding="utf-8")


if __name__ == "__main__":
    main()
