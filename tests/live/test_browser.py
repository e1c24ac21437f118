"""The live page in a real browser: what people do with it, from the first look to saving."""

from __future__ import annotations

import re
import shutil
import signal
from pathlib import Path
from typing import Any

import pytest

from tests.live.conftest import EXAMPLES, WAIT, Served, begin
from tests.scale import large

pytestmark = pytest.mark.xdist_group("live")


def shown(tab: Any, served: Served, name: str = "press.hyc") -> Any:
    """Open a circuit of the folder and wait until it is drawn."""
    shutil.copy(EXAMPLES / name, served.folder)
    tab.goto(served.address)
    tab.wait_for_selector("#sheet svg")
    if name != "press.hyc":
        tab.locator("#file").select_option(name)
        tab.wait_for_function(f"() => document.title.includes('{name}')")
        tab.wait_for_selector("#sheet svg")
    return tab


def put(tab: Any, old: str, new: str) -> None:
    """Change the text as by hand: select a stretch and type over it."""
    assert old in text_of(tab)
    tab.evaluate(
        "old => { const from = window.editorOfPage.text.indexOf(old);"
        " window.editorOfPage.select({ from, to: from + old.length }); }", old,
    )  # fmt: skip
    tab.keyboard.type(new)


def figure(tab: Any, pin: str) -> str:
    """Give what stands in the drawing beside a port."""
    group = tab.evaluate("pin => window.sheetOfPage.drawn.values[pin]", pin)
    return str(tab.locator(f"#sheet #{group}").text_content())


def says(tab: Any, selector: str, words: str) -> None:
    """Wait until an element says something."""
    tab.wait_for_function(
        "([where, words]) => document.querySelector(where)?.textContent.includes(words)",
        arg=[selector, words],
    )


def test_the_first_look_shows_text_findings_drawing_and_figures(tab: Any, served: Served) -> None:
    shown(tab, served)
    assert "Pomace cake press" in tab.locator("h1").text_content()
    assert "1 warning" in tab.locator("#summary").text_content()
    steps = tab.get_by_role("radio").all_text_contents()
    assert steps == ["idle", "approach", "press", "squeeze", "back"]
    assert "R1" in tab.locator("#sheet").text_content()
    assert tab.locator(".t-heading").count() > 3
    assert "ISO VG" in tab.locator(".t-keyword").all_inner_texts()  # as the program has it
    tab.get_by_role("tab", name="Results").click()
    says(tab, "#results", "P1 pressure")


def test_an_error_is_shown_at_its_place_and_goes_when_it_is_put_right(
    tab: Any, served: Served
) -> None:
    shown(tab, served)
    put(tab, "set 210 bar", "set 210 barr")
    says(tab, "#summary", "1 error")
    says(tab, "#findings", "barr")
    assert "older" in tab.locator("#sheet-said").text_content() or tab.locator("#sheet.old").count()
    tab.wait_for_selector(".cm-lintRange-error")
    assert "barr" in tab.locator(".cm-lintRange-error").first.text_content()
    tab.locator(".finding").first.click()
    assert tab.evaluate("getSelection().toString()").startswith("barr")
    tab.keyboard.type("bar")
    says(tab, "#summary", "– 1 warning")
    tab.wait_for_selector("#sheet:not(.old)")
    tab.wait_for_selector(".cm-lintRange-error", state="detached")


def test_a_slider_tries_a_figure_and_writes_it_into_the_text(tab: Any, served: Served) -> None:
    shown(tab, served)
    tab.get_by_role("radio", name="squeeze").click()
    tab.wait_for_function(
        "() => window.sheetOfPage.drawn && !document.querySelector('#sheet[aria-busy]')"
    )
    before = figure(tab, "C1.cap")
    tab.get_by_role("tab", name="Turn figures").click()
    slider = tab.locator('.knob[data-name="R1 set"] input[type=range]')
    slider.focus()
    for _ in range(8):
        tab.keyboard.press("ArrowDown")
    assert tab.locator('.knob[data-name="R1 set"] input[type=number]').input_value() == "170"
    tab.wait_for_function(
        "before => document.getElementById(window.sheetOfPage.drawn.values['C1.cap'])"
        ".textContent !== before", arg=before,
    )  # fmt: skip
    # what the page itself does for a turn; the server's part is measured in turning.py
    written = tab.evaluate("performance.getEntriesByName('written').map((one) => one.duration)")
    assert min(written) < 50.0  # [ms]
    # the text is as it was until it is written
    assert "set 210 bar" in text_of(tab)
    tab.get_by_role("button", name="Write into the text").click()
    assert "set 170 bar" in text_of(tab)
    says(tab, "#findings", "C1 force: claimed 155 kN")
    says(tab, "#saved", "not saved")
    # a turned figure is a change like any other: it can be undone
    tab.locator("#undo").click()
    assert "set 210 bar" in text_of(tab)
    says(tab, "#saved", "saved")


def begin_with(tab: Any, word: str) -> None:
    """Put a line before the text."""
    tab.evaluate(
        "word => window.editorOfPage.replace(`# ${word}\\n` + window.editorOfPage.text)", word
    )


def text_of(tab: Any) -> str:
    return str(tab.evaluate("window.editorOfPage.text"))


def test_a_slider_is_dragged_by_a_pointer(tab: Any, served: Served) -> None:
    shown(tab, served)
    tab.get_by_role("tab", name="Turn figures").click()
    tab.locator("#turn input[type=search]").fill("P1 displacement")
    slider = tab.locator('.knob[data-name="P1 displacement"] input[type=range]')
    box = slider.bounding_box()
    y = box["y"] + box["height"] / 2
    tab.mouse.move(box["x"] + box["width"] / 2, y)
    tab.mouse.down()
    for share in (0.55, 0.6, 0.65, 0.7, 0.75):
        tab.mouse.move(box["x"] + box["width"] * share, y)
    tab.mouse.up()
    value = float(tab.locator(".knob input[type=number]").first.input_value())
    assert 22.0 < value < 26.0
    says(tab, "#sheet", f"{value:g} cc/rev")
    tab.get_by_role("button", name="Back to the text").click()
    says(tab, "#sheet", "16 cc/rev")
    assert "16 cc/rev" in text_of(tab)


def test_figures_that_are_tried_stay_where_they_are_while_the_text_is_edited(
    tab: Any, served: Served
) -> None:
    shown(tab, served)
    tab.get_by_role("tab", name="Turn figures").click()
    slider = tab.locator('.knob[data-name="R1 set"] input[type=range]')
    slider.focus()
    tab.keyboard.press("ArrowDown")
    put(tab, "circuit ", "# a line before it\ncircuit ")
    slider.focus()
    tab.keyboard.press("ArrowDown")
    tab.get_by_role("button", name="Write into the text").click()
    assert "relief, set 200 bar, 60 L/min" in text_of(tab)
    assert "# a line before it" in text_of(tab)
    says(tab, "#sheet", "200 bar")


def test_another_step_shows_its_figures(tab: Any, served: Served) -> None:
    shown(tab, served)
    tab.get_by_role("radio", name="idle").focus()
    tab.keyboard.press("ArrowRight")
    tab.keyboard.press("ArrowRight")
    assert tab.get_by_role("radio", name="press").get_attribute("aria-checked") == "true"
    says(tab, "#sheet", "175 bar")
    tab.get_by_role("tab", name="Results").click()
    says(tab, "#results", "Step press")
    says(tab, "#results", "46 mm/s")


def test_pointing_shows_figures_and_the_reason(tab: Any, served: Served) -> None:
    shown(tab, served)
    tab.get_by_role("radio", name="press").click()
    says(tab, "#sheet", "175 bar")
    tab.wait_for_function("() => !document.querySelector('#sheet[aria-busy]')")
    tab.locator("#sheet .thing[data-name=C1]").hover()
    says(tab, "#card", "46 mm/s")
    says(tab, "#card .reason", "gives all the oil it can")
    # a line, and everything of it in the panel, by a click
    line = tab.evaluate(
        "Object.values(window.sheetOfPage.drawn.nets)"
        ".find((net) => net.pins.some(([part, port]) => part === 'P1' && port === 'P')).group"
    )
    tab.locator(f"#sheet #{line} .reach").first.dispatch_event("click")
    says(tab, "#here", "pressure line")
    says(tab, "#here", "P1 P pressure")
    tab.locator("#here button", has_text="why?").first.click()
    says(tab, "#here .why", "How it comes about")


def test_a_curve_is_drawn_with_its_figures(tab: Any, served: Served) -> None:
    shown(tab, served)
    tab.get_by_role("tab", name="Curves").click()
    tab.get_by_label("Curve", exact=True).select_option("pump P1")
    picture = tab.locator("#curves img")
    picture.wait_for()
    tab.wait_for_function("() => document.querySelector('#curves img').naturalWidth > 100")
    assert "pump P1" in picture.get_attribute("alt")
    tab.locator("#curves summary").click()
    says(tab, "#curves pre", "curve,kind,pressure")


def test_the_drawing_is_walked_by_keys(tab: Any, served: Served) -> None:
    shown(tab, served)
    tab.locator("#sheet").focus()
    tab.keyboard.press("ArrowRight")
    tab.keyboard.press("Enter")
    ringed = tab.locator("#sheet .ringed").get_attribute("data-name")
    says(tab, "#here h3", ringed)
    says(tab, "#heard", ringed)


def test_a_finding_selects_its_part_and_its_line(tab: Any, served: Served) -> None:
    shown(tab, served)
    put(tab, "set 210 bar", "set 150 bar")
    says(tab, "#findings", "it stands still")
    tab.locator(".finding", has_text="it stands still").first.click()
    assert tab.locator("#sheet .ringed").get_attribute("data-name") == "C1"
    assert "C1" in tab.locator(".cm-activeLine").text_content()
    assert tab.get_by_role("radio", name="press").get_attribute("aria-checked") == "true"


def test_saving_writes_the_file_and_reloading_shows_it(tab: Any, served: Served) -> None:
    shown(tab, served)
    file = served.folder / "press.hyc"
    put(tab, "issue B", "issue C")
    says(tab, "#saved", "not saved")
    assert "issue C" not in file.read_text()
    tab.keyboard.press("Control+s")
    tab.wait_for_function("() => document.querySelector('#saved').textContent === 'saved'")
    assert "issue C" in file.read_text()
    tab.reload()
    tab.wait_for_selector("#sheet svg")
    assert "issue C" in text_of(tab)


def test_what_was_not_saved_is_offered_again(tab: Any, served: Served) -> None:
    shown(tab, served)
    put(tab, "issue B", "issue X")
    says(tab, "#saved", "not saved")
    tab.on("dialog", lambda dialog: dialog.accept())
    tab.reload()
    tab.get_by_role("button", name="Take them up again").click()
    assert "issue X" in text_of(tab)
    assert "issue X" not in (served.folder / "press.hyc").read_text()


def test_two_tabs_never_overwrite_each_other(tab: Any, served: Served) -> None:
    shown(tab, served, "lift.hyc")
    file = served.folder / "lift.hyc"
    before = file.read_text()
    other = shown(tab.context.new_page(), served)
    other.locator("#file").select_option("lift.hyc")
    other.wait_for_function("() => document.title.includes('lift.hyc')")
    for page, word in ((other, "theirs"), (tab, "mine")):
        page.bring_to_front()
        begin_with(page, word)
    other.evaluate("window.storeOfPage.save()")
    tab.evaluate("window.storeOfPage.save()")
    says(tab, "#notice", "changed by somebody else")
    assert file.read_text() == "# theirs\n" + before
    tab.get_by_role("button", name="Take theirs").click()
    assert text_of(tab).startswith("# theirs")
    tab.locator("#undo").click()
    assert text_of(tab).startswith("# mine")
    tab.locator("#save").click()
    tab.wait_for_function("() => document.querySelector('#saved').textContent === 'saved'")
    assert file.read_text().startswith("# mine")
    # the other tab, in which nothing was changed since, follows the file
    other.bring_to_front()
    other.wait_for_function("() => window.editorOfPage.text.startsWith('# mine')")


def test_a_server_that_is_killed_and_started_again_loses_nothing(tab: Any, tmp_path: Path) -> None:
    shutil.copy(EXAMPLES / "filter_loop.hyc", tmp_path / "loop.hyc")
    first = begin(tmp_path / "loop.hyc")
    tab.goto(first.address)
    tab.wait_for_selector("#sheet svg")
    first.end(signal.SIGKILL)
    begin_with(tab, "mine")
    says(tab, "#notice", "The server does not answer")
    second = begin(tmp_path / "loop.hyc", first.port)
    try:
        says(tab, "#notice", "Open the address that it printed")
        tab.on("dialog", lambda dialog: dialog.accept())
        tab.goto("about:blank")
        tab.goto(second.address)
        tab.get_by_role("button", name="Take them up again").click()
        assert text_of(tab).startswith("# mine")
        tab.wait_for_selector("#sheet svg")
    finally:
        assert second.end(signal.SIGINT) == 0


def test_a_circuit_of_500_parts_can_be_edited(tab: Any, served: Served) -> None:
    file = served.folder / "large.hyc"
    file.write_text(large.stations(500))
    tab.goto(served.address)
    tab.wait_for_selector("#sheet svg")
    tab.locator("#file").select_option("large.hyc")
    says(tab, "#sheets", "sheet 1 of 45")
    put(tab, "R45  relief, set 210 bar", "R45  relief, set 30 bar")
    says(tab, "#findings", "C45")
    tab.locator(".finding", has_text="C45").first.click()
    says(tab, "#sheets", "sheet 45 of 45")
    tab.wait_for_selector("#sheet .thing[data-name=C45]")


@pytest.mark.parametrize("light", ["light", "dark"])
@pytest.mark.parametrize("size", [(1280, 800), (820, 1180)], ids=["desk", "tablet"])
def test_nothing_is_cut_off_and_words_stand_out(
    browser: Any, served: Served, size: tuple[int, int], light: str
) -> None:
    context = browser.new_context(
        viewport={"width": size[0], "height": size[1]}, color_scheme=light,
        has_touch=size[0] < 1000,
    )  # fmt: skip
    context.set_default_timeout(WAIT)
    page = shown(context.new_page(), served)
    assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
    pairs = page.evaluate("""() => [...document.querySelectorAll(
        'h1, h2, button, label, .finding, .t-comment, .t-number, .t-name, .faint, #saved')]
        .filter((one) => one.offsetParent && !one.disabled && one.textContent.trim()).map((one) => {
          const its = (which) => getComputedStyle(which);
          let behind = one;
          while (its(behind).backgroundColor === 'rgba(0, 0, 0, 0)') behind = behind.parentElement;
          return [one.textContent.slice(0, 20), its(one).color, its(behind).backgroundColor];
        })""")
    assert len(pairs) > 30
    for text, ink, paper in pairs:
        assert contrast(ink, paper) >= 4.5, (text, ink, paper)  # WCAG 2.1, 1.4.3
    if size[0] < 1000:
        small = page.evaluate("""() => [...document.querySelectorAll('button')].filter((one) =>
            one.offsetParent && !one.classList.contains('finding')
            && Math.min(one.offsetHeight, one.offsetWidth) < 24).map((one) => one.textContent)""")
        assert small == []  # WCAG 2.2, 2.5.8
        page.locator("#sheet .thing[data-name=P1]").tap()
        says(page, "#here h3", "P1, pump")
    context.close()


def contrast(ink: str, paper: str) -> float:
    """Give the contrast of two colours (WCAG 2.1, relative luminance)."""
    high, low = sorted((luminance(ink), luminance(paper)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def luminance(colour: str) -> float:
    red, green, blue = (int(number) / 255 for number in re.findall(r"\d+", colour)[:3])
    parts = (
        c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in (red, green, blue)
    )
    return sum(share * part for share, part in zip((0.2126, 0.7152, 0.0722), parts, strict=True))


def test_every_control_has_a_name_and_every_room_a_heading(tab: Any, served: Served) -> None:
    shown(tab, served)
    tab.get_by_role("tab", name="Turn figures").click()
    nameless = tab.evaluate("""() => [...document.querySelectorAll('button, input, select')]
        .filter((one) => one.offsetParent && !one.textContent.trim() && !one.ariaLabel
          && !one.labels?.length).map((one) => one.outerHTML)""")
    assert nameless == []
    for room in tab.locator("main > section").all():
        assert (
            room.get_attribute("aria-labelledby")
            or room.get_attribute("aria-label")
            or (room.locator("h2").count())
        )
    assert tab.locator("[aria-live]").count() >= 1
