"""The sheets that a report prints: how many, with all cautions, a ruler that is true, and an appendix that folds."""

import json
import pathlib
import re
import subprocess

# Most sheets of a report without its appendix, and the papers that they are counted on, in inches.
MOST = 5
PAPERS = {"A4": (8.27, 11.69), "Letter": (8.5, 11.0)}

# A page spoilt on purpose: what is replaced, by what, and a word of the complaint that must follow.
SPOILT = [
    (",.folds{display:none}", "{display:none}", "sheets of"),
    ("<li>Rules look only", "<li style=\"display:none\">Rules look only", "a caution is not shown"),
    ("<li>Rules look only", "<li>Nobody looks", "a caution is on no sheet"),
    ("<details class=\"chapter\">", "<details class=\"chapter\" open>", "is shown"),
    ("class=\"place\" x=\"", "class=\"place\" x=\"1", "the ruler draws"),
    ("class=\"bar f0\" x=\"10\"", "class=\"bar f0\" x=\"20\"", "the ruler draws"),
]


def source():
    return (pathlib.Path(__file__).parent / "sheets.js").read_text()


def cautions(program, rig):
    """Those that the program gives with the report."""
    run = subprocess.run([program, "report", rig, "--format", "json"], capture_output=True, text=True)
    return json.loads(run.stdout)["cautions"]


def counted(browser, page, paper):
    """Sheets of a page on a paper."""
    file = page.with_suffix(".pdf")
    browser.look(1200)
    browser.open(page)
    browser.paper(file, *PAPERS[paper])
    return len(re.findall(rb"/Type\s*/Page[^s]", file.read_bytes()))


def wrong(browser, page, said):
    """What is wrong with the sheets of a page that has these cautions."""
    found = []
    for width, media in [(1200, "screen"), (380, "screen"), (703, "print")]:
        browser.look(width, phone=width < 500, media=media)
        browser.open(page)
        complaints = browser.evaluate(f"({source()})({json.dumps(said)})")
        found += [f"at {width} px, {media}: {c}" for c in complaints]
    for paper in PAPERS:
        n = counted(browser, page, paper)
        if not 2 <= n <= MOST:
            found.append(f"{n} sheets of {paper}")
    return found


def appendix(browser, program, rig, folder):
    """What is wrong with a page that prints its appendix."""
    page = folder / "appendix.html"
    subprocess.run([program, "report", rig, "--appendix", "--out", str(page)], capture_output=True)
    found = []
    for media in ["screen", "print"]:
        browser.look(703, media=media)
        browser.open(page)
        found += browser.evaluate(f"({source()})({json.dumps(cautions(program, rig))})")
    n = counted(browser, page, "A4")
    if n <= 2 * MOST:
        found.append(f"an appendix on {n} sheets")
    return found


def blind(browser, page, said):
    """Complaints that the checks do not make of spoilt sheets."""
    good = page.read_text()
    missed = []
    for old, new, word in SPOILT:
        bad = page.with_name("spoilt-sheets.html")
        bad.write_text(good.replace(old, new))
        complaints = wrong(browser, bad, said)
        if old not in good or not any(word in c for c in complaints):
            missed.append(f"sheets with {new} are not found wrong: {complaints[:2]}")
    return missed
