"""Broken files and the exact lines that the loader says of them: a valid small library, one slip at a time.

Each case edits one file of `files/office` (or writes a new one) and lists every line of the error.
"""

# ruff: noqa: E501  (a message is one line, however long)

from __future__ import annotations

from dataclasses import dataclass

WALL = "framed/small.yaml"
BARE = "framed/bare.yaml"
BLOCK = "mass-direct-render/block.yaml"
MATERIALS = "materials/all.yaml"
INTERIOR = "fragments/interior.yaml"
CLOSING = "fragments/closing.yaml"
PROJECT = "project.yaml"

BARE_HEAD = """\
schema: 1
id: bare
title: A bare wall
construction: framed
revision: {number: 1, date: 2026-11-02, note: first issue}
datum: coat-0-exterior
"""


@dataclass(frozen=True)
class Broken:
    name: str
    file: str
    edits: list[tuple[str | None, str]]  # (what stands there, what is put in its place); None: the whole file
    says: list[str]

    def text(self, valid: str) -> str:
        """The broken file, made from the valid one."""
        for old, new in self.edits:
            if old is None:
                return new
            assert old in valid, f"{self.name}: {old!r} is not in {self.file} any more"
            valid = valid.replace(old, new, 1)
        return valid


BROKEN = [
    Broken(
        "tab",
        WALL,
        [("title: A small", "title:\tA small")],
        ["framed/small.yaml:4:7: L004 a tab stands here; expected spaces"],
    ),
    Broken(
        "nul",
        WALL,
        [("A small", "A\x00small")],
        ["framed/small.yaml:4:9: L004 a NUL character stands here; expected printable text only"],
    ),
    Broken(
        "invisible character",
        WALL,
        [("A small", "A\u202esmall")],
        ["framed/small.yaml:4:9: L004 the invisible character U+202E stands here; expected printable text only"],
    ),
    Broken(
        "byte-order mark",
        WALL,
        [("# yaml", "\ufeff# yaml")],
        ["framed/small.yaml:1:1: L004 a byte-order mark stands here; expected printable text only"],
    ),
    Broken(
        "two documents",
        WALL,
        [("variants:", "---\nvariants:")],
        ["framed/small.yaml:27:1: L011 a second document begins; expected one document in a file"],
    ),
    Broken(
        "anchor and alias",
        WALL,
        [
            (
                "suits: {zones: [2A, 3A], because: it drains}",
                "suits: &claim {zones: [2A], because: it drains}\nnote: *claim",
            )
        ],
        [
            'framed/small.yaml:34:8: L008 the anchor "&claim" is not read; expected none',
            'framed/small.yaml:35:7: L008 the alias "*claim" is not read; expected the value itself',
        ],
    ),
    Broken(
        "merge key",
        WALL,
        [("datum:", "<<: {note: x}\ndatum:")],
        ['framed/small.yaml:9:1: L008 the merge key "<<" is not read; expected each key written out'],
    ),
    Broken(
        "tag",
        WALL,
        [("title: A small", "title: !!str A small")],
        ['framed/small.yaml:4:8: L009 the tag "!!str" is not read; expected the value without a tag'],
    ),
    Broken(
        "duplicate key",
        WALL,
        [("thickness: 7/16 in", "thickness: 7/16 in, thickness: 1/2 in")],
        [
            'framed/small.yaml:21:56: L007 key "thickness" stands twice in one mapping, first on line 21; expected it once'
        ],
    ),
    Broken(
        "a list as key",
        WALL,
        [("note: membrane thickened", "[a]: b")],
        ["framed/small.yaml:7:41: L010 a list stands as a key; expected a word before the colon"],
    ),
    Broken(
        "no colon",
        WALL,
        [("datum: sheathing-exterior", "datum sheathing-exterior")],
        ["framed/small.yaml:10:1: L005 a line has no colon; expected key: value"],
    ),
    Broken(
        "unclosed brace",
        WALL,
        [("thickness: 7/16 in}", "thickness: 7/16 in")],
        ["framed/small.yaml:22:7: L005 a brace or comma is missing; expected {key: value, key: value}"],
    ),
    Broken(
        "unclosed quote",
        WALL,
        [("do: Hang the lath.", "do: 'Hang the lath.")],
        ["framed/small.yaml:46:1: L005 a quote is opened and never closed; expected a closing quote"],
    ),
    Broken(
        "colon in text",
        WALL,
        [("title: A small framed wall", "title: Small: framed")],
        [
            "framed/small.yaml:4:13: L005 a colon or hyphen stands where no key or list can begin; expected such text in quotes"
        ],
    ),
    Broken(
        "wrong indent",
        WALL,
        [("    fill: batt", "   fill: batt")],
        ["framed/small.yaml:24:4: L005 wrong indent; expected a list item, '- ', in line with those above"],
    ),
    Broken(
        "reserved sign",
        WALL,
        [("jamb: flange lapped", "jamb: @lapped")],
        ["framed/small.yaml:38:9: L005 a text begins with a sign that YAML reads otherwise; expected it in quotes"],
    ),
    Broken(
        "only a text",
        WALL,
        [(None, "nothing but words\n")],
        ['framed/small.yaml:1:1: L011 the file holds only the text "nothing but words"; expected keys'],
    ),
    Broken(
        "a list",
        WALL,
        [(None, "- schema: 1\n")],
        ["framed/small.yaml:1:1: L011 the file begins with a list; expected keys, beginning with schema"],
    ),
    Broken(
        "empty",
        WALL,
        [(None, "# later\n")],
        ["framed/small.yaml:1:1: L011 the file is empty; expected keys and values"],
    ),
    Broken(
        "no schema",
        WALL,
        [("schema: 1\n", "")],
        ['framed/small.yaml:2:1: L021 key "schema" is missing; expected schema: 1 as the first line'],
    ),
    Broken(
        "newer schema",
        WALL,
        [("schema: 1\n", "schema: 2\n")],
        ["framed/small.yaml:2:9: L021 schema is 2, which needs a newer specgen; expected schema: 1 at most"],
    ),
    Broken(
        "schema is no number",
        WALL,
        [("schema: 1\n", "schema: one\n")],
        ["framed/small.yaml:2:9: L021 schema is one; expected schema: 1"],
    ),
    Broken(
        "schema zero",
        WALL,
        [("schema: 1\n", "schema: 0\n")],
        ["framed/small.yaml:2:9: L021 schema is 0; expected schema: 1"],
    ),
    Broken(
        "unknown key of a layer",
        WALL,
        [("material: osb, thickness", "material: osb, thicknes")],
        ['framed/small.yaml:21:36: L014 layer "sheathing": unknown key "thicknes"; did you mean "thickness", "ties"?'],
    ),
    Broken(
        "unknown key of the wall",
        WALL,
        [("datum: s", "datums: s")],
        ['framed/small.yaml:9:1: L014 unknown key "datums"; did you mean "datum", "status"?'],
    ),
    Broken(
        "unknown key far from all",
        WALL,
        [("jamb: flange lapped", "jamb: flange lapped\n  weather: wet")],
        [
            'framed/small.yaml:39:3: L014 unknown key "weather" in openings; expected one of flange_plane, sill_pan, jamb, head_flashing, air_seal, sealant_joint, note'
        ],
    ),
    Broken(
        "comma in braces",
        WALL,
        [("because: it drains", "because: it drains, and dries")],
        ['framed/small.yaml:34:46: L014 "and dries" is read as a key; expected a text that holds a comma in quotes'],
    ),
    Broken(
        "missing keys",
        WALL,
        [("{id: sheathing, ", "{"), ("title: A small framed wall\n", "")],
        [
            'framed/small.yaml:2:1: L015 key "title" is missing; expected a text',
            'framed/small.yaml:20:5: L015 layer 5: key "id" is missing; expected an id of lower-case letters, digits and hyphens, for example drainage-mat',
        ],
    ),
    Broken(
        "missing key of a part",
        WALL,
        [("width: 1-1/2 in, ", "")],
        [
            'framed/small.yaml:25:14: L015 layer "studs": key "width" is missing in framing; expected a thickness, for example 1/2 in (face width of one member, dressed)'
        ],
    ),
    Broken(
        "key beside use",
        WALL,
        [("  - use: fragments/interior\n", "  - {use: fragments/interior, thickness: 1/2 in}\n")],
        ['framed/small.yaml:26:31: L014 layer 7: key "thickness" stands beside use; expected use alone'],
    ),
    Broken(
        "use of a wrong form",
        WALL,
        [("use: fragments/interior", "use: interior.yaml")],
        [
            'framed/small.yaml:26:10: L019 layer 7: use is "interior.yaml"; expected fragments/NAME, for example fragments/stucco-coats'
        ],
    ),
    Broken(
        "unknown construction",
        WALL,
        [("construction: framed", "construction: frame")],
        ['framed/small.yaml:5:15: L016 construction is "frame"; did you mean "framed"?'],
    ),
    Broken(
        "unknown control",
        WALL,
        [("[water, air]", "[water, wind]")],
        [
            'framed/small.yaml:20:72: L016 layer "wrb": controls[2] is "wind"; expected one of water, air, vapor, thermal'
        ],
    ),
    Broken(
        "unknown cavity kind",
        WALL,
        [("kind: drained", "kind: draned")],
        ['framed/small.yaml:19:49: L016 layer "gap": cavity.kind is "draned"; did you mean "drained"?'],
    ),
    Broken(
        "unknown zone",
        WALL,
        [("zones: [5A]", "zones: [9A]")],
        [
            'framed/small.yaml:33:21: L016 variant "exterior-insulated": suits.zones[1] is "9A"; expected one of 0A, 0B, 1A, 1B, 2A, 2B, 3A, 3B, 3C, 4A, 4B, 4C, 5A, 5B, 5C, 6A, 6B, 7, 8'
        ],
    ),
    Broken(
        "control twice",
        WALL,
        [("[water, air]", "[water, water]")],
        ['framed/small.yaml:20:72: L022 layer "wrb": controls has "water" twice; expected it once'],
    ),
    Broken(
        "zone twice",
        WALL,
        [("[2A, 3A]", "[2A, 2A]")],
        ['framed/small.yaml:34:21: L022 suits.zones has "2A" twice; expected it once'],
    ),
    Broken(
        "list for a text",
        WALL,
        [("title: A small framed wall", "title: [A small framed wall]")],
        ["framed/small.yaml:4:8: L017 title is a list; expected a text"],
    ),
    Broken(
        "text for a list",
        WALL,
        [("[water, air]", "water")],
        [
            'framed/small.yaml:20:64: L017 layer "wrb": controls is the text "water"; expected a list, each entry one of water, air, vapor, thermal'
        ],
    ),
    Broken(
        "text for a mapping",
        WALL,
        [("{kind: drained, open: [bottom]}", "drained")],
        ['framed/small.yaml:19:42: L017 layer "gap": cavity is the text "drained"; expected a mapping with kind'],
    ),
    Broken(
        "mapping for a length",
        WALL,
        [("thickness: 30 mil", "thickness: {value: 30 mil}")],
        ['framed/small.yaml:20:46: L017 layer "wrb": thickness is a mapping; expected a thickness, for example 1/2 in'],
    ),
    Broken(
        "empty value",
        WALL,
        [("title: A small framed wall", "title:")],
        ["framed/small.yaml:4:7: L017 title is empty; expected a text"],
    ),
    Broken(
        "empty list value",
        WALL,
        [("controls: [water, air]", "controls: ")],
        [
            'framed/small.yaml:20:64: L017 layer "wrb": controls is empty; expected a list, each entry one of water, air, vapor, thermal'
        ],
    ),
    Broken(
        "entry is a text",
        WALL,
        [("  - {id: sheathing, material: osb, thickness: 7/16 in}", "  - sheathing")],
        ['framed/small.yaml:21:5: L017 layer 5: this entry is the text "sheathing"; expected a mapping with id'],
    ),
    Broken(
        "no for a flag",
        WALL,
        [
            ("{kind: drained, open: [bottom]}", "{kind: drained}"),
            ("offset: 1/4 in", "offset: 1/4 in, fastening: {type: nail, by_engineer: no}"),
        ],
        [
            'framed/small.yaml:18:89: L020 layer "scratch", embedded "lath": fastening.by_engineer is no; expected true or false'
        ],
    ),
    Broken(
        "coats is a fraction",
        INTERIOR,
        [("coats: 2", "coats: 1.5")],
        ['fragments/interior.yaml:7:41: L020 layer "paint": coats is 1.5; expected a whole number, for example 2'],
    ),
    Broken(
        "date of another form",
        WALL,
        [("date: 2026-11-02", "date: 11/2/2026")],
        ["framed/small.yaml:7:29: L020 revision.date is 11/2/2026; expected a date as 2026-11-02"],
    ),
    Broken(
        "day that is none",
        WALL,
        [("date: 2026-11-02", "date: 2026-02-30")],
        ["framed/small.yaml:7:29: L020 revision.date is 2026-02-30; expected a date as 2026-11-02"],
    ),
    Broken(
        "malformed id",
        WALL,
        [("id: brown,", "id: Brown Coat,")],
        [
            'framed/small.yaml:11:10: L018 layer "Brown Coat": id is Brown Coat; expected an id of lower-case letters, digits and hyphens, for example drainage-mat'
        ],
    ),
    Broken(
        "text too long",
        WALL,
        [("title: A small framed wall", "title: " + "x" * 2100)],
        ["framed/small.yaml:4:8: L019 title has 2100 characters; expected a text of at most 2000"],
    ),
    Broken(
        "negative thickness",
        WALL,
        [("thickness: 7/16 in", "thickness: -1/2 in")],
        [
            'framed/small.yaml:21:47: L012 layer "sheathing": thickness is -1/2 in; expected a thickness greater than 0 and no more than 29-1/2 in (0.75 m), for example 1/2 in'
        ],
    ),
    Broken(
        "zero thickness",
        WALL,
        [("thickness: 7/16 in", "thickness: 0 in")],
        [
            'framed/small.yaml:21:47: L012 layer "sheathing": thickness is 0 in; expected a thickness greater than 0 and no more than 29-1/2 in (0.75 m), for example 1/2 in'
        ],
    ),
    Broken(
        "a thickness of 55 in",
        WALL,
        [("thickness: 5-1/2 in", "thickness: 55 in")],
        [
            "framed/small.yaml:10:1: L048 the layers add up to 57 in (1.45 m); expected no more than 47 in (1.2 m)",
            'framed/small.yaml:23:16: L012 layer "studs": thickness is 55 in; expected a thickness greater than 0 and no more than 29-1/2 in (0.75 m), for example 1/2 in',
        ],
    ),
    Broken(
        "no unit",
        WALL,
        [("thickness: 7/16 in", "thickness: 7/16")],
        [
            "framed/small.yaml:21:47: L013 layer \"sheathing\": thickness '7/16' has no unit; expected a length, for example 1/2 in"
        ],
    ),
    Broken(
        "unit of another kind",
        WALL,
        [("thickness: 30 mil", "thickness: 30 perm")],
        [
            "framed/small.yaml:20:46: L013 layer \"wrb\": thickness '30 perm' has the unit 'perm', which is no unit for a length; expected for example 1/2 in"
        ],
    ),
    Broken(
        "unknown unit",
        WALL,
        [("thickness: 30 mil", "thickness: 30 mils thick")],
        [
            "framed/small.yaml:20:46: L013 layer \"wrb\": thickness '30 mils thick' has the unit 'mils thick', which is no unit for a length; expected for example 1/2 in"
        ],
    ),
    Broken(
        "not a number",
        WALL,
        [("thickness: 7/16 in", "thickness: .nan")],
        [
            "framed/small.yaml:21:47: L013 layer \"sheathing\": thickness '.nan' is not a length; expected a number with its unit, for example 1/2 in"
        ],
    ),
    Broken(
        "infinity",
        WALL,
        [("thickness: 7/16 in", "thickness: inf in")],
        [
            "framed/small.yaml:21:47: L013 layer \"sheathing\": thickness 'inf in' is not a length; expected a number with its unit, for example 1/2 in"
        ],
    ),
    Broken(
        "a number beyond all",
        WALL,
        [("thickness: 7/16 in", "thickness: 1e999 in")],
        [
            "framed/small.yaml:21:47: L013 layer \"sheathing\": thickness '1e999' is not a finite number; expected a thickness, for example 1/2 in"
        ],
    ),
    Broken(
        "division by zero",
        WALL,
        [("thickness: 7/16 in", "thickness: 7/0 in")],
        [
            "framed/small.yaml:21:47: L013 layer \"sheathing\": thickness '7/0' divides by zero; expected a thickness, for example 1/2 in"
        ],
    ),
    Broken(
        "thousands of digits",
        WALL,
        [("thickness: 7/16 in", "thickness: " + "9" * 5000 + " in")],
        [
            "framed/small.yaml:21:47: L013 layer \"sheathing\": thickness '99999999999999999999...' has 5003 characters, too many for a number with its unit; expected a thickness, for example 1/2 in"
        ],
    ),
    Broken(
        "fraction above one",
        WALL,
        [("fraction: 0.25", "fraction: 25")],
        [
            'framed/small.yaml:25:78: L012 layer "studs": framing.fraction is 25; expected a share from 0 to 1, for example 0.25'
        ],
    ),
    Broken(
        "0 W/mK",
        MATERIALS,
        [("value: 0.72 W/(m*K)", "value: 0 W/(m*K)")],
        [
            'materials/all.yaml:10:27: L012 material "stucco": conductivity.value is 0 W/(m*K); expected a thermal conductivity from 0.005 to 450 W/(m*K), for example 0.036 W/(m*K)'
        ],
    ),
    Broken(
        "negative perm",
        MATERIALS,
        [("dry: 12 perm", "dry: -12 perm")],
        [
            'materials/all.yaml:23:22: L012 material "membrane": permeance.dry is -12 perm; expected a vapor permeance from 0 to 2000 perm, for example 10 perm'
        ],
    ),
    Broken(
        "no unit on density",
        MATERIALS,
        [("116 pcf", "116")],
        [
            "materials/all.yaml:11:22: L013 material \"stucco\": density.value '116' has no unit; expected a density, for example 20 kg/m3"
        ],
    ),
    Broken(
        "id is not the file name",
        WALL,
        [("id: small\n", "id: smal\n")],
        ['framed/small.yaml:3:5: L030 id is "smal"; expected the name of its file, "small"'],
    ),
    Broken(
        "folder of another construction",
        WALL,
        [("construction: framed", "construction: mass-direct-render")],
        ["framed/small.yaml:5:15: L050 construction is mass-direct-render; expected framed, the folder it lies in"],
    ),
    Broken(
        "no layers",
        BARE,
        [(None, BARE_HEAD + "layers: []\n")],
        ["framed/bare.yaml:7:9: L031 the wall has no layers; expected at least one"],
    ),
    Broken(
        "no key layers",
        BARE,
        [(None, BARE_HEAD)],
        ['framed/bare.yaml:1:1: L015 key "layers" is missing; expected a list, each entry a mapping with id'],
    ),
    Broken(
        "more layers than any wall",
        BARE,
        [(None, BARE_HEAD + "layers:\n" + "".join(f"  - {{id: coat-{n}, material: paint}}\n" for n in range(201)))],
        ["framed/bare.yaml:7:1: L006 layers has more than 200 entries; expected far fewer"],
    ),
    Broken(
        "layer id twice",
        WALL,
        [("id: gap", "id: wrb")],
        ['framed/small.yaml:20:10: L032 layer "wrb": this id stands already on line 19; expected another'],
    ),
    Broken(
        "embedded id of a layer",
        WALL,
        [("id: lath, material", "id: studs, material")],
        [
            'framed/small.yaml:22:9: L032 layer "studs": this id stands already on line 18; expected another',
            'framed/small.yaml:42:51: L041 step 2: layers names "lath", which does not exist; expected one of brown, scratch, gap, wrb, sheathing, studs, board, paint',
        ],
    ),
    Broken(
        "layer id twice by a fragment",
        WALL,
        [
            ("id: sheathing, material", "id: board, material"),
            ("datum: sheathing-exterior", "datum: board-exterior"),
            ("[studs, sheathing]", "[studs]"),
        ],
        [
            'fragments/interior.yaml:6:10: L032 layer "board": this id stands already on line 21 of framed/small.yaml; expected another'
        ],
    ),
    Broken(
        "unknown material",
        WALL,
        [("material: osb", "material: osbb")],
        ['framed/small.yaml:21:31: L033 layer "sheathing": material "osbb" does not exist; did you mean "osb"?'],
    ),
    Broken(
        "unknown material, nothing near",
        WALL,
        [("material: osb", "material: granite")],
        [
            'framed/small.yaml:21:31: L033 layer "sheathing": material "granite" does not exist; expected an id from the files in materials/'
        ],
    ),
    Broken(
        "unknown fill",
        WALL,
        [("fill: batt", "fill: bat")],
        ['framed/small.yaml:24:11: L033 layer "studs": fill "bat" does not exist; did you mean "batt"?'],
    ),
    Broken(
        "unknown framing material",
        WALL,
        [("{material: softwood", "{material: softwod")],
        [
            'framed/small.yaml:25:25: L033 layer "studs": framing.material "softwod" does not exist; did you mean "softwood"?'
        ],
    ),
    Broken(
        "unknown lath",
        WALL,
        [("material: lath, offset", "material: laths, offset")],
        [
            'framed/small.yaml:18:30: L033 layer "scratch", embedded "lath": material "laths" does not exist; did you mean "lath"?'
        ],
    ),
    Broken(
        "unknown grout",
        BLOCK,
        [("{material: grout", "{material: grouts")],
        [
            'mass-direct-render/block.yaml:16:26: L033 layer "cmu": unit.grout.material "grouts" does not exist; did you mean "grout"?'
        ],
    ),
    Broken(
        "a layer of nothing",
        WALL,
        [("{id: sheathing, material: osb, thickness", "{id: sheathing, thickness")],
        ['framed/small.yaml:21:5: L034 layer "sheathing": has no contents; expected material, framing or cavity'],
    ),
    Broken(
        "material and framing",
        WALL,
        [("    fill: batt", "    material: batt")],
        [
            'framed/small.yaml:24:5: L034 layer "studs": has material and framing; expected material for a solid layer, or framing with a fill between'
        ],
    ),
    Broken(
        "fill without framing",
        WALL,
        [("material: osb, thickness", "fill: osb, thickness")],
        [
            'framed/small.yaml:21:21: L035 layer "sheathing": has fill without framing or a hollow unit; expected material for a solid layer'
        ],
    ),
    Broken(
        "fill of a solid unit",
        BLOCK,
        [("{length: 15-5/8 in", "{hollow: false, length: 15-5/8 in")],
        [
            'mass-direct-render/block.yaml:13:5: L035 layer "cmu": has fill without framing or a hollow unit; expected framing in place of material'
        ],
    ),
    Broken(
        "fill and a whole cavity",
        WALL,
        [("    fill: batt", "    fill: batt\n    cavity: {kind: unventilated}")],
        [
            'framed/small.yaml:25:5: L034 layer "studs": has fill and a cavity without depth; expected cavity.depth, the part that stays open'
        ],
    ),
    Broken(
        "unit without material",
        BLOCK,
        [("    material: block\n", "")],
        [
            'mass-direct-render/block.yaml:13:5: L034 layer "cmu": has unit without material; expected the unit\'s material'
        ],
    ),
    Broken(
        "framing wider than its spacing",
        WALL,
        [("spacing: 16 in", "spacing: 1-1/2 in")],
        [
            'framed/small.yaml:25:42: L036 layer "studs": framing.width is 1-1/2 in; expected less than the spacing of 1-1/2 in'
        ],
    ),
    Broken(
        "fraction less than the studs",
        WALL,
        [("fraction: 0.25", "fraction: 0.05")],
        [
            'framed/small.yaml:25:78: L036 layer "studs": framing.fraction is 0.05; expected at least 0.094, which members of 1-1/2 in at 16 in already take'
        ],
    ),
    Broken(
        "cavity deeper than its layer",
        WALL,
        [("{kind: drained, open", "{kind: drained, depth: 1 in, open")],
        [
            'framed/small.yaml:19:65: L037 layer "gap": cavity.depth is 1 in; expected no more than the layer\'s thickness of 3/8 in'
        ],
    ),
    Broken(
        "shells thicker than the layer",
        BLOCK,
        [("face_shell: 1-1/4 in", "face_shell: 4 in")],
        [
            'mass-direct-render/block.yaml:15:72: L038 layer "cmu": unit.face_shell is 4 in; expected both to fit into the layer\'s thickness of 7-5/8 in'
        ],
    ),
    Broken(
        "webs longer than the unit",
        BLOCK,
        [("webs: 2", "webs: 20")],
        [
            'mass-direct-render/block.yaml:15:87: L038 layer "cmu": unit has 20 webs of 1 in; expected them to leave room in its length of 15-5/8 in'
        ],
    ),
    Broken(
        "hollow unit without webs",
        BLOCK,
        [(", web: 1 in, webs: 2", "")],
        [
            'mass-direct-render/block.yaml:14:5: L038 layer "cmu": unit is hollow without web, webs; expected all three, or hollow: false'
        ],
    ),
    Broken(
        "joint like a unit",
        BLOCK,
        [("joint: 3/8 in", "joint: 4 in")],
        [
            'mass-direct-render/block.yaml:15:52: L038 layer "cmu": unit.joint is 4 in; expected far less than the unit\'s length and height'
        ],
    ),
    Broken(
        "no thickness",
        WALL,
        [("material: osb, thickness: 7/16 in", "material: osb")],
        [
            'framed/small.yaml:21:5: L039 layer "sheathing": has no thickness, and its material is wood-panel; expected for example thickness: 1/2 in'
        ],
    ),
    Broken(
        "framing without thickness",
        WALL,
        [("    thickness: 5-1/2 in\n", "")],
        [
            'framed/small.yaml:22:5: L039 layer "studs": has no thickness, and it is framed; expected for example thickness: 1/2 in'
        ],
    ),
    Broken(
        "cavity without thickness",
        WALL,
        [("{id: gap, thickness: 3/8 in, ", "{id: gap, ")],
        [
            'framed/small.yaml:19:5: L039 layer "gap": has no thickness, and it is an open cavity; expected for example thickness: 1/2 in'
        ],
    ),
    Broken(
        "offset out of its layer",
        WALL,
        [("offset: 1/4 in", "offset: 1/2 in")],
        [
            'framed/small.yaml:18:44: L043 layer "scratch", embedded "lath": offset is 1/2 in; expected no more than the layer\'s thickness of 3/8 in'
        ],
    ),
    Broken(
        "datum without side",
        WALL,
        [("datum: sheathing-exterior", "datum: sheathing")],
        [
            'framed/small.yaml:9:8: L040 datum "sheathing" is no face of a layer; did you mean "sheathing-interior", "sheathing-exterior"?'
        ],
    ),
    Broken(
        "datum of no layer",
        WALL,
        [("datum: sheathing-exterior", "datum: sheeting-exterior")],
        [
            'framed/small.yaml:9:8: L040 datum "sheeting-exterior" is no face of a layer; did you mean "sheathing-exterior", "sheathing-interior", "studs-exterior"?'
        ],
    ),
    Broken(
        "flange on no layer",
        WALL,
        [("flange_plane: wrb", "flange_plane: wbr")],
        [
            'framed/small.yaml:36:17: L041 openings flange_plane names the layer "wbr", which does not exist; did you mean "wrb"?'
        ],
    ),
    Broken(
        "step names no layer",
        WALL,
        [("layers: [lath]", "layers: [laths]")],
        ['framed/small.yaml:42:51: L041 step 2: layers names "laths", which does not exist; did you mean "lath"?'],
    ),
    Broken(
        "group in two places",
        WALL,
        [("id: sheathing, material: osb,", "id: sheathing, material: osb, group: stucco,")],
        [
            'framed/small.yaml:21:43: L042 layer "sheathing": group "stucco" is taken up again after other layers; expected its layers side by side'
        ],
    ),
    Broken(
        "group title on a later layer",
        WALL,
        [("    mix: 1:4", "    group_title: Stucco")],
        [
            'framed/small.yaml:16:5: L042 layer "scratch": group_title stands on a later layer of group "stucco"; expected it on the first only'
        ],
    ),
    Broken(
        "group title without group",
        WALL,
        [("id: sheathing, material: osb,", "id: sheathing, material: osb, group_title: Boards,")],
        ['framed/small.yaml:21:36: L042 layer "sheathing": has group_title without group; expected both or neither'],
    ),
    Broken(
        "wall of 1.3 m",
        WALL,
        [("thickness: 5-1/2 in", "thickness: 29 in"), ("{id: gap, thickness: 3/8 in", "{id: gap, thickness: 20 in")],
        ["framed/small.yaml:10:1: L048 the layers add up to 51 in (1.29 m); expected no more than 47 in (1.2 m)"],
    ),
    Broken(
        "approved by nobody",
        WALL,
        [("approval: {by: The invented office, date: 2026-11-03}\n", "")],
        ["framed/small.yaml:6:9: L049 status is approved without approval; expected approval: {by, date}"],
    ),
    Broken(
        "approved before it was revised",
        WALL,
        [("date: 2026-11-03", "date: 2026-10-03")],
        [
            "framed/small.yaml:8:43: L049 approval.date is 2026-10-03; expected a day on or after the revision's, 2026-11-02"
        ],
    ),
    Broken(
        "variant id twice",
        WALL,
        [
            (
                "suits: {zones: [5A], because: the sheathing stays warm}",
                "suits: {zones: [5A], because: the sheathing stays warm}\n  - {id: exterior-insulated, title: Again, remove: gap}",
            )
        ],
        [
            'framed/small.yaml:34:10: L032 variant "exterior-insulated": this id stands already on line 28; expected another'
        ],
    ),
    Broken(
        "variant without action",
        WALL,
        [("    insert_after: wrb\n", "")],
        [
            'framed/small.yaml:28:5: L045 variant "exterior-insulated": gives no change; expected one of replace, insert_after, insert_before, remove'
        ],
    ),
    Broken(
        "variant with two actions",
        WALL,
        [("    insert_after: wrb\n", "    insert_after: wrb\n    remove: gap\n")],
        [
            'framed/small.yaml:28:5: L045 variant "exterior-insulated": gives insert_after and remove; expected one of replace, insert_after, insert_before, remove'
        ],
    ),
    Broken(
        "variant names no layer",
        WALL,
        [("insert_after: wrb", "insert_after: wrbs")],
        [
            'framed/small.yaml:30:19: L044 variant "exterior-insulated": insert_after names the layer "wrbs", which does not exist; did you mean "wrb"?'
        ],
    ),
    Broken(
        "insert without layers",
        WALL,
        [("    layers:\n      - {id: foam, material: foam, thickness: 1 in}\n", "")],
        [
            'framed/small.yaml:30:19: L045 variant "exterior-insulated": insert_after has no layers; expected layers with at least one'
        ],
    ),
    Broken(
        "remove with layers",
        WALL,
        [("insert_after: wrb", "remove: gap")],
        [
            'framed/small.yaml:32:7: L045 variant "exterior-insulated": gives layers to remove; expected replace, or remove alone'
        ],
    ),
    Broken(
        "change with no action",
        WALL,
        [("    suits: {zones: [5A]", "    also: [{layers: []}]\n    suits: {zones: [5A]")],
        [
            'framed/small.yaml:33:12: L045 variant "exterior-insulated", further change 1: gives no change; expected one of replace, insert_after, insert_before, remove'
        ],
    ),
    Broken(
        "variant takes a layer that a step names",
        WALL,
        [("    suits: {zones: [5A]", "    also: [{remove: sheathing}]\n    suits: {zones: [5A]")],
        [
            'framed/small.yaml:28:5: L040 variant "exterior-insulated": takes away the layer of the datum "sheathing-exterior"; expected a layer of the same id in its place',
            'framed/small.yaml:42:62: L041 step 1: layers names "sheathing", which variant "exterior-insulated" takes away; expected an installation of the variant\'s own, or a layer of the same id in its place',
        ],
    ),
    Broken(
        "variant with a bad layer",
        WALL,
        [("{id: foam, material: foam, thickness: 1 in}", "{id: foam, material: foam}")],
        [
            'framed/small.yaml:32:9: L039 variant "exterior-insulated", layer "foam": has no thickness, and its material is rigid-foam; expected for example thickness: 1/2 in'
        ],
    ),
    Broken(
        "variant repeats an id",
        WALL,
        [("{id: foam, material: foam,", "{id: gap, material: foam,")],
        [
            'framed/small.yaml:32:14: L032 variant "exterior-insulated", layer "gap": this id stands already on line 19; expected another'
        ],
    ),
    Broken(
        "no such fragment",
        WALL,
        [("use: fragments/interior", "use: fragments/interiors")],
        [
            'framed/small.yaml:26:10: L046 layer 7: fragments/interiors does not exist; did you mean "fragments/interior", "fragments/closing"?'
        ],
    ),
    Broken(
        "fragment of another kind",
        WALL,
        [("use: fragments/interior", "use: fragments/closing")],
        [
            "framed/small.yaml:26:10: L047 layer 7: fragments/closing holds installation; expected a fragment with layers"
        ],
    ),
    Broken(
        "fragment uses a fragment",
        INTERIOR,
        [("  - {id: board, material: gypsum-board, thickness: 1/2 in}", "  - use: fragments/closing")],
        [
            "fragments/interior.yaml:6:5: L047 layer 1: a fragment uses another fragment; expected its entries written out here"
        ],
    ),
    Broken(
        "fragment with two contents",
        INTERIOR,
        [("layers:", "cautions:\n  - {word: Dust, do: Wear a mask., detail: Silica.}\nlayers:")],
        [
            "fragments/interior.yaml:5:1: L047 the fragment holds layers and cautions; expected one of layers, installation, cautions"
        ],
    ),
    Broken(
        "fragment with none",
        CLOSING,
        [("installation:\n  - {trade: drywall, do: Hang and tape the board., layers: [board]}\n", "")],
        ["fragments/closing.yaml:2:1: L047 the fragment holds nothing; expected one of layers, installation, cautions"],
    ),
    Broken(
        "wrong value in a fragment",
        INTERIOR,
        [("thickness: 1/2 in", "thickness: 1/2")],
        [
            "fragments/interior.yaml:6:52: L013 layer \"board\": thickness '1/2' has no unit; expected a length, for example 1/2 in"
        ],
    ),
    Broken(
        "unknown material in a fragment",
        INTERIOR,
        [("material: gypsum-board", "material: gypsum-bord")],
        [
            'fragments/interior.yaml:6:27: L033 layer "board": material "gypsum-bord" does not exist; did you mean "gypsum-board"?'
        ],
    ),
    Broken(
        "fragment of another name",
        INTERIOR,
        [("id: interior\n", "id: inside\n")],
        ['fragments/interior.yaml:3:5: L030 id is "inside"; expected the name of its file, "interior"'],
    ),
    Broken(
        "material id twice",
        MATERIALS,
        [("id: grout", "id: block")],
        [
            'materials/all.yaml:69:9: L060 material "block": this id stands already at materials/all.yaml:63; expected another'
        ],
    ),
    Broken(
        "neither conductivity nor rated",
        MATERIALS,
        [("    conductivity: {value: 0.16 W/(m*K), source: common practice, status: from-memory}\n", "")],
        [
            'materials/all.yaml:49:11: L061 material "gypsum-board": kind gypsum-board has neither conductivity nor rated; expected one of them'
        ],
    ),
    Broken(
        "two vapor values",
        MATERIALS,
        [
            (
                "    permeability: {dry",
                "    permeance: {dry: 10 perm, source: common practice, status: from-memory}\n    permeability: {dry",
            )
        ],
        [
            'materials/all.yaml:12:5: L062 material "stucco": has permeability and permeance; expected permeance for a film or facing, else permeability'
        ],
    ),
    Broken(
        "wet cup below dry cup",
        MATERIALS,
        [("wet: 6 perm-in", "wet: 2 perm-in")],
        [
            'materials/all.yaml:12:43: L063 material "stucco": permeability.wet is 2 perm-in; expected no less than dry, 3.2 perm-in'
        ],
    ),
    Broken(
        "range that misses its value",
        MATERIALS,
        [("low: 0.10 W/(m*K)", "low: 0.12 W/(m*K)")],
        [
            'materials/all.yaml:30:27: L063 material "osb": conductivity.value is 0.11 W/(m*K); expected no less than low, 0.12 W/(m*K)'
        ],
    ),
    Broken(
        "two R for one thickness",
        MATERIALS,
        [("thickness: 3-1/2 in, resistance", "thickness: 5-1/2 in, resistance")],
        [
            'materials/all.yaml:45:21: L063 material "batt", rated value 2: thickness is 5-1/2 in, as an earlier one; expected one R for each thickness'
        ],
    ),
    Broken(
        "wood that does not burn",
        MATERIALS,
        [
            (
                "    label: OSB sheathing\n    kind: wood-panel\n    wood_based: true\n    combustible: true\n",
                "    label: OSB sheathing\n    kind: wood-panel\n    wood_based: true\n",
            )
        ],
        [
            'materials/all.yaml:28:17: L064 material "osb": wood_based is true and combustible is not; expected combustible: true as well'
        ],
    ),
    Broken(
        "label too long",
        MATERIALS,
        [("label: Grout", "label: Grout that is poured into the cells of the block")],
        ['materials/all.yaml:71:12: L019 material "grout": label has 48 characters; expected at most 40'],
    ),
    Broken(
        "unknown status",
        MATERIALS,
        [("status: from-memory}\n    density", "status: from memory}\n    density")],
        [
            'materials/all.yaml:10:74: L016 material "stucco": conductivity.status is "from memory"; did you mean "from-memory"?'
        ],
    ),
    Broken(
        "value without source",
        MATERIALS,
        [("{value: 0.72 W/(m*K), source: common practice, status: from-memory}", "{value: 0.72 W/(m*K)}")],
        [
            'materials/all.yaml:10:19: L015 material "stucco": key "source" is missing in conductivity; expected a text (id in data/sources.yaml, or \'common practice\')',
            'materials/all.yaml:10:19: L015 material "stucco": key "status" is missing in conductivity; expected one of confirmed, secondary, from-memory, common-practice',
        ],
    ),
    Broken(
        "no code",
        PROJECT,
        [
            (
                "code:\n  energy: IECC 2021\n  residential: IRC 2021\n  note: amendments to be confirmed with the building department\n",
                "",
            )
        ],
        ['project.yaml:2:1: L015 key "code" is missing; expected a mapping with energy, residential, note'],
    ),
    Broken(
        "unknown edition",
        PROJECT,
        [("IECC 2021", "IECC 2020")],
        ['project.yaml:12:11: L016 code.energy is "IECC 2020"; did you mean "IECC 2024", "IECC 2021", "IECC 2018"?'],
    ),
    Broken(
        "tag twice",
        PROJECT,
        [("tag: W1a", "tag: W1")],
        ['project.yaml:20:11: L070 wall type "W1": this tag stands already on line 19; expected another'],
    ),
    Broken(
        "tag of a wrong form",
        PROJECT,
        [("tag: W1a", "tag: wall 1")],
        ['project.yaml:20:11: L019 wall type "wall 1": tag is "wall 1"; expected a tag such as W1 or W1a'],
    ),
    Broken(
        "wall type at no site",
        PROJECT,
        [("site: south", "site: sout")],
        ['project.yaml:20:64: L071 wall type "W1a": site "sout" does not exist; did you mean "south"?'],
    ),
    Broken(
        "county and zone",
        PROJECT,
        [('county: "Harris, TX"', 'county: "Harris, TX", zone: 2A')],
        ['project.yaml:17:58: L072 site "south": has both county and zone; expected one of them'],
    ),
    Broken(
        "neither county nor zone",
        PROJECT,
        [(', county: "Harris, TX"', "")],
        ['project.yaml:17:5: L072 site "south": has neither county nor zone; expected one of them'],
    ),
    Broken(
        "site twice",
        PROJECT,
        [("id: south", "id: north"), ("site: south", "site: north")],
        ['project.yaml:17:10: L032 site "north": this id stands already on line 16; expected another'],
    ),
    Broken(
        "unknown wall",
        PROJECT,
        [("wall: small, site: north", "wall: smal, site: north")],
        ['project.yaml:19:21: L074 wall type "W1": wall "smal" does not exist; did you mean "small"?'],
    ),
    Broken(
        "unknown variant",
        PROJECT,
        [("variant: exterior-insulated", "variant: insulated")],
        [
            'project.yaml:20:38: L074 wall type "W1a": variant "insulated" of small does not exist; did you mean "exterior-insulated"?'
        ],
    ),
    Broken(
        "hazard of a wrong form",
        PROJECT,
        [("design_wind: 115 mph", "design_wind: 115")],
        [
            "project.yaml:16:99: L013 site \"north\": hazards.design_wind '115' has no unit; expected a wind speed, for example 115 mph, or not known"
        ],
    ),
    Broken(
        "flag or not known",
        PROJECT,
        [("wind_borne_debris: not known", "wind_borne_debris: maybe")],
        [
            'project.yaml:16:75: L020 site "north": hazards.wind_borne_debris is maybe; expected true or false, or not known'
        ],
    ),
    Broken(
        "no wall types",
        PROJECT,
        [
            (
                "wall_types:\n  - {tag: W1, wall: small, site: north, where: all exterior walls}\n  - {tag: W1a, wall: small, variant: exterior-insulated, site: south, where: north side}\n",
                "wall_types: []\n",
            )
        ],
        ["project.yaml:18:13: L073 wall_types is empty; expected at least one entry"],
    ),
    Broken(
        "several at once",
        WALL,
        [
            ("thickness: 7/16 in", "thickness: 7/16"),
            ("material: osb", "material: osbb"),
            ("jamb:", "jam:"),
            ("fraction: 0.25", "fraction: 0.05"),
            ("datum: sheathing-exterior", "datum: sheathing"),
        ],
        [
            'framed/small.yaml:9:8: L040 datum "sheathing" is no face of a layer; did you mean "sheathing-interior", "sheathing-exterior"?',
            'framed/small.yaml:21:31: L033 layer "sheathing": material "osbb" does not exist; did you mean "osb"?',
            "framed/small.yaml:21:48: L013 layer \"sheathing\": thickness '7/16' has no unit; expected a length, for example 1/2 in",
            'framed/small.yaml:25:78: L036 layer "studs": framing.fraction is 0.05; expected at least 0.094, which members of 1-1/2 in at 16 in already take',
            'framed/small.yaml:38:3: L014 unknown key "jam" in openings; did you mean "jamb"?',
        ],
    ),
    Broken(
        "two slips in one layer and its fragment",
        WALL,
        [("controls: [water, air]", "control: [water, air]"), ("insert_after: wrb", "insert_aftr: wrb")],
        [
            'framed/small.yaml:20:54: L014 layer "wrb": unknown key "control"; did you mean "controls", "condition"?',
            'framed/small.yaml:30:5: L014 variant "exterior-insulated": unknown key "insert_aftr"; did you mean "insert_after", "insert_before"?',
        ],
    ),
    Broken(
        "a variant that does not fit its own steps",
        WALL,
        [
            (
                "    suits: {zones: [5A]",
                "    installation: [{trade: insulation, do: Hang the foam., layers: [foams]}]\n    suits: {zones: [5A]",
            )
        ],
        [
            'framed/small.yaml:33:69: L041 variant "exterior-insulated", step 1: layers names "foams", which does not exist; did you mean "foam"?'
        ],
    ),
    Broken(
        "a fill beside a solid material",
        WALL,
        [("material: osb, thickness: 7/16 in", "material: osb, fill: batt, thickness: 7/16 in")],
        [
            'framed/small.yaml:21:36: L035 layer "sheathing": has fill without framing or a hollow unit; expected framing in place of material'
        ],
    ),
    Broken(
        "foil without permeance",
        MATERIALS,
        [("    kind: rigid-foam\n", "    kind: rigid-foam\n    facing: foil\n")],
        [
            'materials/all.yaml:60:13: L064 material "foam": facing is foil without permeance; expected the permeance of the faced board or sheet'
        ],
    ),
    Broken(
        "a barrier type that is no barrier",
        MATERIALS,
        [("    kind: coating\n", "    kind: coating\n    wrb_type: II\n")],
        [
            'materials/all.yaml:55:5: L064 material "paint": wrb_type is given and water_barrier is not; expected water_barrier: true as well'
        ],
    ),
    Broken(
        "a step without words",
        WALL,
        [("{trade: framing, do: Frame and sheathe., ", "{trade: framing, do: '', ")],
        ["framed/small.yaml:41:26: L019 step 1: do is empty; expected a text"],
    ),
    Broken(
        "an explained finding that does not exist",
        WALL,
        [("openings:\n", "explained: [{code: M999, because: it is so}]\nopenings:\n")],
        [
            'framed/small.yaml:35:20: L051 explained 1: code "M999" is no finding; expected a code that check prints, for example P01'
        ],
    ),
    Broken(
        "a step too long for the crew page",
        WALL,
        [("do: Hang the lath.", "do: Hang the lath with its cups up and its laps wired every nine inches")],
        ["framed/small.yaml:42:26: L019 step 2: do has 67 characters; expected at most 60"],
    ),
]
