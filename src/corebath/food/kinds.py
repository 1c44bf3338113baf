"""The classes a food belongs to. Members are strings, so rooms that know only the words can read them."""

from __future__ import annotations

from enum import StrEnum


class Kind(StrEnum):
    """The animal or plant, as food rules sort it; `GAME` is farmed, `WILD_GAME` was hunted."""

    BEEF = "beef"
    VEAL = "veal"
    PORK = "pork"
    LAMB = "lamb"
    GAME = "game"
    WILD_GAME = "wild-game"
    CHICKEN = "chicken"
    TURKEY = "turkey"
    DUCK = "duck"
    FISH = "fish"
    SHELLFISH = "shellfish"
    EGG = "egg"
    VEGETABLE = "vegetable"


class Texture(StrEnum):
    """How a food changes with heat: foods of one class share their results and texture figures."""

    TENDER_RED = "tender-red"
    MEDIUM_TOUGH_RED = "medium-tough-red"
    TOUGH_RED = "tough-red"
    VERY_TOUGH_RED = "very-tough-red"
    LAMB_ROAST = "lamb-roast"
    PORK_TENDER = "pork-tender"
    PORK_SHOULDER = "pork-shoulder"
    PORK_BELLY = "pork-belly"
    PORK_RIBS = "pork-ribs"
    POULTRY_BREAST = "poultry-breast"
    POULTRY_LEG = "poultry-leg"
    DUCK_BREAST = "duck-breast"
    DUCK_LEG = "duck-leg"
    OILY_FISH = "oily-fish"
    WHITE_FISH = "white-fish"
    CRUSTACEAN = "crustacean"
    CEPHALOPOD = "cephalopod"
    EGG_IN_SHELL = "egg-in-shell"
    ROOT_VEGETABLE = "root-vegetable"
    POTATO = "potato"
    GREEN_VEGETABLE = "green-vegetable"
    BULB_VEGETABLE = "bulb-vegetable"


class Handling(StrEnum):
    """What was done to the piece; anything but `INTACT` may carry what was outside to the core."""

    INTACT = "intact"
    TENDERISED = "tenderised"
    ROLLED = "rolled"
    MINCED = "minced"
    STUFFED = "stuffed"
