"""Contrast of the portfolio's colours by the formula of WCAG 2.2 (w3.org/TR/WCAG22, "relative luminance", "contrast ratio").

Every colour is a custom property of style.css, so that both schemes can be reckoned from the file alone.
"""

from __future__ import annotations

import re

import pytest

from flipbook.shipped import templates_folder

CSS = (templates_folder() / "portfolio" / "style.css").read_text("utf-8")
HEX = re.compile(r"--([a-z-]+): (#[0-9a-f]{6});")


def properties(block: str) -> dict[str, str]:
    return dict(HEX.findall(block))


def blocks() -> dict[str, dict[str, str]]:
    """The colours of each scheme."""
    light = properties(CSS.partition(":root {")[2].partition("}")[0])
    dark = properties(CSS.partition("(prefers-color-scheme: dark)")[2].partition("}")[0])
    return {"light": light, "dark": {**light, **dark}}


def luminance(colour: str) -> float:
    """Relative luminance; `colour` as #rrggbb."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


# Black on white is 21:1 by the definition; #767676 is the lightest grey that passes 4.5:1 on white, as #777777 does not
# (W3C, Understanding Success Criterion 1.4.3, from memory).
@pytest.mark.parametrize(("one", "other", "least", "most"), [
    ("#000000", "#ffffff", 21.0, 21.0),
    ("#ffffff", "#ffffff", 1.0, 1.0),
    ("#767676", "#ffffff", 4.5, 4.6),
    ("#777777", "#ffffff", 4.4, 4.4999),
])  # fmt: skip
def test_the_formula_is_as_published(one: str, other: str, least: float, most: float) -> None:
    assert least - 1e-9 <= contrast(one, other) <= most + 1e-9


# What is written on what; 1.4.3 asks 4.5:1 of text, 1.4.11 asks 3:1 of what a control is known by.
TEXT = [("ink", "paper"), ("ink", "mount"), ("soft", "paper"), ("soft", "mount"), ("link", "paper"), ("mark", "paper"),
        ("mark", "mount"), ("paper", "link"), ("paper", "ink")]  # fmt: skip
CONTROLS = [("link", "paper"), ("link", "mount"), ("mark", "paper")]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize(("ink", "ground"), TEXT)
def test_text_stands_out(scheme: str, ink: str, ground: str) -> None:
    colours = blocks()[scheme]
    assert contrast(colours[ink], colours[ground]) >= 4.5


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize(("line", "ground"), CONTROLS)
def test_what_a_control_is_known_by_stands_out(scheme: str, line: str, ground: str) -> None:
    colours = blocks()[scheme]
    assert contrast(colours[line], colours[ground]) >= 3


def test_the_mark_on_the_bar_stands_out_from_any_picture() -> None:
    """It is drawn of a light and a dark, side by side: on every ground one of the two has 3:1."""
    light, dark = re.findall(r"radial-gradient\(circle closest-side, (#[0-9a-f]{6}) [^#]*(#[0-9a-f]{6})", CSS)[0]
    grounds = [f"#{level:02x}{level:02x}{level:02x}" for level in range(256)]
    assert min(max(contrast(ground, light), contrast(ground, dark)) for ground in grounds) >= 3


def test_no_text_has_a_colour_of_its_own() -> None:
    """So that the pairs above are all that there are."""
    rules = re.findall(r"(?<![-\w])color: ([^;}]+)", CSS)
    assert set(rules) <= {f"var(--{name})" for name in ("ink", "soft", "paper", "link", "mark")} | {"inherit"}
