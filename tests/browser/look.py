#!/usr/bin/env python3
"""Pictures of a page as people meet it: look.py PAGE FOLDER writes desktop, phone, dark and paper."""

import pathlib
import sys

from chromium import Chromium


def main():
    page, folder = sys.argv[1], pathlib.Path(sys.argv[2])
    folder.mkdir(parents=True, exist_ok=True)
    stem = pathlib.Path(page).stem
    with Chromium() as browser:
        for name, width, dark in [("desktop", 1200, False), ("phone", 380, False), ("dark", 1200, True), ("phone-dark", 380, True)]:
            browser.look(width, dark=dark, phone=width < 500)
            browser.open(page)
            browser.picture(folder / f"{stem}-{name}.png")
        browser.look(1200)
        browser.open(page)
        browser.paper(folder / f"{stem}-a4.pdf", 8.27, 11.69)
        browser.paper(folder / f"{stem}-letter.pdf", 8.5, 11)


if __name__ == "__main__":
    main()
