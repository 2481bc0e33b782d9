#!/usr/bin/env python3
"""Reports of the example rigs in a real browser: check.py PROGRAM RIG...

Renders each report, opens it as people do (desk and phone, light and dark, paper) and asks the page what
is wrong with it (checks.js, figure.js) with its appendix folded and open; then its sheets (sheets.py), and the line
diagram in a file of its own. Exit code 1 if anything is.
"""

import pathlib
import subprocess
import sys
import tempfile

import sheets
from chromium import Chromium

# width, phone, dark, media
WAYS = [
    (1200, False, False, "screen"),
    (1200, False, True, "screen"),
    (380, True, False, "screen"),
    (380, True, True, "screen"),
    # what A4 and Letter leave between the margins of the page, in CSS pixels
    (703, False, False, "print"),
    (725, False, True, "print"),
]


# A page spoilt on purpose: what is replaced, by what, and a word of the complaint that must follow on a desk.
SPOILT = [
    ("--faint:#555d66", "--faint:#b0b0b0", "contrast"),
    ("<main id=\"main\">", "<main id=\"main\"><div style=\"width:1900px\">wide</div>", "px wide"),
    ("<h2 ", "<h4 ", "a heading of level"),
    ("href=\"#main\"", "href=\"#nowhere\"", "a link to nothing"),
    ("</main>", "<script>console.error(1)</script></main>", "console"),
    ("font-size:10px}", "font-size:6px}", "px tall, less than 9"),
    ("<title id=\"figure-1-t\">", "<title id=\"figure-1-x\">", "no words for"),
    (" class=\"plot\"", " class=\"plot\" style=\"width:20px\"", "a figure of"),
    (
        "</svg>",
        "<text class=\"t\" x=\"20\" y=\"20\">one label</text><text class=\"t\" x=\"24\" y=\"22\">another</text></svg>",
        "stands on",
    ),
]
# Of a file of its own the same is asked, and that it is ink on white whatever the screen.
OF_FILE = """(() => {
  const wrong = [];
  const svg = document.documentElement;
  figure(svg, (text) => wrong.push(text));
  const style = (e, what) => getComputedStyle(e)[what].match(/[\\d.]+/g).slice(0, 3).map(Number);
  if (style(svg, "backgroundColor").some((v) => v < 255)) wrong.push("no white ground");
  for (const text of svg.querySelectorAll("text.t, text.m")) {
    if (style(text, "fill").some((v) => v > 90)) wrong.push(`"${text.textContent}" is pale`);
  }
  return wrong;
})()"""
FILE_WAYS = [(380, False), (380, True), (1200, True)]

# The same on a phone, whose window grows with what is too wide for it.
SPOILT_PHONE = [
    ("<main id=\"main\">", "<main id=\"main\"><div style=\"width:420px\">wide</div>", "px wide on a screen of 380 px"),
    ("<main id=\"main\">", "<main id=\"main\"><p style=\"white-space:nowrap\">" + "rule, " * 40 + "</p>", "of 380"),
]


OPEN = "document.querySelectorAll('details').forEach((d) => { d.open = true; })"


def asked(browser, checks, width):
    """What the page says of itself on a screen of this width, as it comes and with all of it open."""
    folded = browser.evaluate(f"({checks})({width})")
    browser.evaluate(OPEN)
    found = browser.evaluate(f"({checks})({width})")
    found["wrong"] = list(dict.fromkeys(folded["wrong"] + found["wrong"]))
    return found


def drawn(browser, figure, program, rig, folder):
    """What is wrong with the line diagram of a rig in a file of its own."""
    file = folder / (pathlib.Path(rig).stem + ".svg")
    run = subprocess.run(
        [program, "train", rig, "--diagram", str(file)], capture_output=True, text=True
    )
    if run.returncode == 2:
        return [run.stderr.strip()]
    wrong = []
    for width, dark in FILE_WAYS:
        browser.look(width, dark=dark)
        found = browser.open(file) + browser.evaluate(figure + OF_FILE)
        wrong += [f"at {width} px, {'dark' if dark else 'light'}: {w}" for w in found]
    return wrong


def blind(browser, checks, page):
    """Complaints that the checks do not make of a spoilt page."""
    good = page.read_text()
    missed = []
    on_desk = [(1200, False, *spoilt) for spoilt in SPOILT]
    on_phone = [(380, True, *spoilt) for spoilt in SPOILT_PHONE]
    for width, phone, old, new, word in on_desk + on_phone:
        bad = page.with_name("spoilt.html")
        bad.write_text(good.replace(old, new))
        browser.look(width, phone=phone)
        wrong = browser.open(bad) + asked(browser, checks, width)["wrong"]
        if old not in good or not any(word in w for w in wrong):
            missed.append(f"a page with {new} is not found wrong: {wrong[:2]}")
    return missed


def main():
    program, rigs = sys.argv[1], sys.argv[2:]
    here = pathlib.Path(__file__).parent
    figure = (here / "figure.js").read_text()
    checks = "(() => {" + figure + "return (\n" + (here / "checks.js").read_text() + "\n)})()"
    failed = 0
    passed = 0
    with tempfile.TemporaryDirectory() as folder, Chromium() as browser:
        for rig in rigs:
            page = pathlib.Path(folder) / (pathlib.Path(rig).stem + ".html")
            run = subprocess.run(
                [program, "report", rig, "--out", str(page)], capture_output=True, text=True
            )
            if run.returncode == 2:
                print(f"browser: {rig}: {run.stderr.strip()}")
                failed += 1
                continue
            for width, phone, dark, media in WAYS:
                browser.look(width, phone=phone, dark=dark, media=media)
                wrong = browser.open(page)
                found = asked(browser, checks, width)
                wrong += found["wrong"]
                if found["figures"] < 3:
                    wrong.append(f"only {found['figures']} figures")
                way = f"{page.stem} at {width} px, {'dark' if dark else 'light'}, {media}"
                if wrong:
                    failed += 1
                    for line in wrong[:20]:
                        print(f"browser: {way}: {line}")
                else:
                    passed += 1
                    print(f"browser: {way}: {found['texts']} texts, {found['figures']} figures")
            wrong = drawn(browser, figure, program, rig, pathlib.Path(folder))
            failed += bool(wrong)
            passed += not wrong
            for line in wrong[:20]:
                print(f"browser: diagram of {page.stem} {line}")
            said = sheets.cautions(program, rig)
            wrong = sheets.wrong(browser, page, said)
            if rig == rigs[0]:
                wrong += sheets.appendix(browser, program, rig, pathlib.Path(folder))
            failed += bool(wrong)
            passed += not wrong
            for line in wrong[:20]:
                print(f"browser: sheets of {page.stem}: {line}")
            if rig == rigs[0]:
                missed = blind(browser, checks, page) + sheets.blind(browser, page, said)
                failed += len(missed)
                passed += len(SPOILT) + len(SPOILT_PHONE) + len(sheets.SPOILT) - len(missed)
                for line in missed:
                    print(f"browser: {line}")
    print(f"browser: {passed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
