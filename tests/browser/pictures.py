#!/usr/bin/env python3
"""Pictures of the README: pictures.py PROGRAM writes examples/pictures/*.png from what the program prints."""

import html
import os
import pathlib
import subprocess
import sys
import tempfile

from chromium import Chromium

RIG = "examples/coupon-soak-rig.toml"
HOLES = [
    ["--fuel", "propane", "--upstream", "1 barg", "--upstream-temperature", "15 degC"],
    ["--chamber", "5 mbar(g)", "--holes", "6", "--air", "40 g/s", "--equivalence-ratio", "0.7"],
    ["--tube-diameter", "8 mm", "--ring-diameter", "65 mm"],
]
FOLDER = pathlib.Path("examples/pictures")
LINES = 40

TERMINAL = """<!DOCTYPE html><meta charset="utf-8"><style>
body{margin:0;background:#15181c}
pre{margin:0;padding:18px 22px;color:#e6e8ea;font:14px/1.4 "DejaVu Sans Mono",monospace;display:inline-block}
</style><pre>%s</pre>"""


def main():
    program = sys.argv[1]
    environment = {**os.environ, "COLUMNS": "92"}
    with tempfile.TemporaryDirectory() as folder, Chromium() as browser:
        template = pathlib.Path(folder) / "template.svg"
        holes = [word for line in HOLES for word in line]
        subprocess.run([program, "injector", *holes, "--template", template], stdout=subprocess.DEVNULL)
        browser.look(1130)
        browser.open(template)
        browser.picture(FOLDER / "figures.png", {"x": 0, "y": 0, "width": 1000, "height": 350, "scale": 0.83})
        page = pathlib.Path(folder) / "report.html"
        subprocess.run([program, "report", RIG, "--out", page], stdout=subprocess.DEVNULL)
        browser.look(1040)
        browser.open(page)
        browser.picture(FOLDER / "report.png", {"x": 0, "y": 0, "width": 1040, "height": 900, "scale": 0.8})
        command = ["convert", RIG, "--to", "kerosene"]
        plan = subprocess.run(
            [program, *command], env=environment, capture_output=True, text=True
        ).stdout
        lines = plan.splitlines()[:LINES]
        text = "\n".join([" ".join(["$ fuelwright", *command]), *lines, "..."])
        terminal = pathlib.Path(folder) / "terminal.html"
        terminal.write_text(TERMINAL % html.escape(text))
        browser.look(860)
        browser.open(terminal)
        size = browser.evaluate(
            "(r => [r.width, r.height])(document.querySelector('pre').getBoundingClientRect())"
        )
        browser.picture(
            FOLDER / "terminal.png", {"x": 0, "y": 0, "width": size[0], "height": size[1]}
        )


if __name__ == "__main__":
    main()
