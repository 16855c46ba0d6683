"""Before and after in one frame: by keyboard, by pointer and by touch; side by side without script and in print."""

from __future__ import annotations

from typing import Any

import pytest

PAGE = "portfolio/walnut-sideboard/index.html"
STANDING = "portfolio/tall-bookcase/index.html"
# What is seen of the picture of before: the part of the frame's width that it is not cut off by.
SEEN = """() => {
    const was = document.querySelector(".was");
    const cut = getComputedStyle(was).clipPath.match(/inset\\(0px calc\\(100% - ([\\d.]+)%\\)|inset\\(0px ([\\d.]+)%/);
    return cut ? (cut[1] !== undefined ? Number(cut[1]) : 100 - Number(cut[2])) : 100;
}"""


def seen(page: Any) -> float:
    return float(page.evaluate(SEEN))


def test_the_bar_is_reached_and_moved_by_keyboard(site: Any) -> None:
    with site.visit(viewport={"width": 1280, "height": 900}) as visit:
        page = visit.go(PAGE)
        bar = page.get_by_role("slider")
        assert bar.count() == 1
        assert bar.get_attribute("aria-label")
        assert seen(page) == 50
        for _ in range(20):
            page.keyboard.press("Tab")
            if page.evaluate("document.activeElement.type") == "range":
                break
        assert page.evaluate("document.activeElement.type") == "range"
        for key, left in (
            ("ArrowRight", 51),
            ("ArrowLeft", 50),
            ("Home", 0),
            ("End", 100),
            ("PageDown", 90),
            ("ArrowLeft", 89),
        ):
            page.keyboard.press(key)
            assert seen(page) == left, key
            assert bar.get_attribute("aria-valuetext") == f"{left} percent before, {100 - left} percent after"
        assert visit.complaints == []


def test_the_bar_follows_the_pointer(folder_site: Any) -> None:
    with folder_site.visit(viewport={"width": 1280, "height": 900}) as visit:
        page = visit.go(PAGE)
        box = page.locator(".frame").bounding_box()
        page.mouse.move(box["x"] + box["width"] / 2, box["y"] + 60)
        page.mouse.down()
        for part in (0.3, 0.75, 0.25):
            page.mouse.move(box["x"] + box["width"] * part, box["y"] + 60)
            assert seen(page) == pytest.approx(part * 100, abs=2)
        page.mouse.up()
        page.mouse.click(box["x"] + box["width"] * 0.9, box["y"] + box["height"] - 20)
        assert seen(page) == pytest.approx(90, abs=2)


def test_the_bar_follows_a_finger(folder_site: Any) -> None:
    with folder_site.visit(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True) as visit:
        page = visit.go(PAGE)
        box = page.locator(".frame").bounding_box()
        page.touchscreen.tap(box["x"] + box["width"] * 0.8, box["y"] + 80)
        assert seen(page) == pytest.approx(80, abs=3)
        assert page.evaluate("getComputedStyle(document.querySelector('.bar')).touchAction") == "pan-y"


@pytest.mark.parametrize("name", [PAGE, STANDING])
@pytest.mark.parametrize("width", [390, 1280])
def test_the_two_pictures_lie_in_one_frame_whole(folder_site: Any, name: str, width: int) -> None:
    with folder_site.visit(viewport={"width": width, "height": 844}) as visit:
        page = visit.go(name)
        frame, was, now = (page.locator(words).bounding_box() for words in (".frame", ".was img", ".is img"))
        for side in ("x", "y", "width", "height"):
            assert was[side] == pytest.approx(now[side], abs=1)
            assert was[side] == pytest.approx(frame[side], abs=1)
        assert page.evaluate(
            "[...document.querySelectorAll('.frame img')].every((i) => getComputedStyle(i).objectFit === 'contain')"
        )
        # The mark on the bar stands where the pictures meet.
        bar = page.locator(".bar").bounding_box()
        assert bar["x"] + bar["width"] / 2 == pytest.approx(frame["x"] + frame["width"] / 2, abs=1)


@pytest.mark.parametrize("width", [390, 1280])
def test_without_script_the_two_stand_side_by_side(folder_site: Any, width: int) -> None:
    with folder_site.visit(java_script_enabled=False, viewport={"width": width, "height": 844}) as visit:
        page = visit.go(PAGE)
        assert page.get_by_role("slider").count() == 0
        was, now = (page.locator(words).bounding_box() for words in (".was img", ".is img"))
        assert was["x"] + was["width"] <= now["x"]
        assert was["y"] == pytest.approx(now["y"], abs=1)
        assert was["height"] == pytest.approx(now["height"], abs=1)
        assert now["x"] + now["width"] <= width


def test_on_paper_the_two_stand_side_by_side_and_the_bar_is_gone(folder_site: Any) -> None:
    with folder_site.visit(viewport={"width": 794, "height": 1123}) as visit:
        page = visit.go(PAGE)
        page.emulate_media(media="print")
        was, now = (page.locator(words).bounding_box() for words in (".was", ".is"))
        assert was["x"] + was["width"] <= now["x"]
        assert page.evaluate("getComputedStyle(document.querySelector('.was')).clipPath") == "none"
        assert not page.locator(".bar").is_visible()


def test_a_page_that_compares_nothing_has_no_script(folder_site: Any) -> None:
    with folder_site.visit() as visit:
        page = visit.go("portfolio/corner-cupboard/index.html")
        assert page.locator("script[src]").count() == 0
        assert "script-src" not in page.content()
