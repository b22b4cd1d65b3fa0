"""The codes of input errors. Each has an entry in `data/input_errors.yaml`: what was found, what is expected."""

from __future__ import annotations

from enum import StrEnum


class Code(StrEnum):
    """Stable: a code is never given a second meaning, and a retired one is never used again."""

    # the file as text
    CANNOT_OPEN = "L001"
    TOO_LARGE = "L002"
    NOT_UTF8 = "L003"
    CHARACTER = "L004"
    SYNTAX = "L005"
    TOO_DEEP = "L006"
    DUPLICATE_KEY = "L007"
    ANCHOR = "L008"
    TAG = "L009"
    KEY_NOT_TEXT = "L010"
    DOCUMENT = "L011"
    # the format: keys, words, values
    OUT_OF_RANGE = "L012"
    NOT_A_QUANTITY = "L013"
    UNKNOWN_KEY = "L014"
    MISSING_KEY = "L015"
    UNKNOWN_WORD = "L016"
    WRONG_TYPE = "L017"
    MALFORMED_ID = "L018"
    MALFORMED_TEXT = "L019"
    MALFORMED_VALUE = "L020"
    SCHEMA_NUMBER = "L021"
    REPEATED_WORD = "L022"
    # a wall
    ID_IS_NOT_FILE_NAME = "L030"
    NO_LAYERS = "L031"
    DUPLICATE_ID = "L032"
    UNKNOWN_MATERIAL = "L033"
    LAYER_CONTENTS = "L034"
    FILL_WITHOUT_CAVITY = "L035"
    FRAMING_GEOMETRY = "L036"
    CAVITY_TOO_DEEP = "L037"
    UNIT_GEOMETRY = "L038"
    NO_THICKNESS = "L039"
    DATUM = "L040"
    UNKNOWN_LAYER = "L041"
    GROUP = "L042"
    EMBEDDED_OFFSET = "L043"
    VARIANT_LAYER = "L044"
    VARIANT_ACTION = "L045"
    UNKNOWN_FRAGMENT = "L046"
    FRAGMENT_CONTENTS = "L047"
    TOTAL_THICKNESS = "L048"
    APPROVAL = "L049"
    CONSTRUCTION_FOLDER = "L050"
    UNKNOWN_FINDING = "L051"
    # materials
    DUPLICATE_MATERIAL = "L060"
    NO_HEAT_DATA = "L061"
    TWO_VAPOR_VALUES = "L062"
    VALUE_ORDER = "L063"
    CONTRADICTION = "L064"
    # a project
    DUPLICATE_TAG = "L070"
    UNKNOWN_SITE = "L071"
    COUNTY_OR_ZONE = "L072"
    EMPTY_PROJECT = "L073"
    UNKNOWN_WALL = "L074"
    # an hourly weather file
    WEATHER_UNREADABLE = "L080"
    WEATHER_LAYOUT = "L081"
