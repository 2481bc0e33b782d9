"""Chromium without a window, driven over the pipe of its DevTools protocol; standard library only."""

import json
import os
import select
import shutil
import subprocess
import tempfile
import time

FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--disable-dev-shm-usage",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--hide-scrollbars",
    "--remote-debugging-pipe",
]


def program():
    """Path of Chromium, or None."""
    return shutil.which("chromium") or shutil.which("chromium-browser")


class Chromium:
    """One browser with one page."""

    def __init__(self, patience_s=30.0):
        self.patience_s = patience_s
        self.profile = tempfile.mkdtemp(prefix="fuelwright-browser-")
        to_read, self.out = os.pipe()
        self.incoming, to_write = os.pipe()

        def ends():
            # the browser reads from 3 and writes to 4; both may be taken, so by way of high numbers
            os.dup2(to_read, 103)
            os.dup2(to_write, 104)
            os.dup2(103, 3)
            os.dup2(104, 4)

        self.process = subprocess.Popen(
            [program(), *FLAGS, f"--user-data-dir={self.profile}", "about:blank"],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            close_fds=False,
            preexec_fn=ends,
        )
        os.close(to_read)
        os.close(to_write)
        self.buffer = b""
        self.last_id = 0
        self.session = None
        self.events = []
        target = self.call("Target.createTarget", url="about:blank")["targetId"]
        self.session = self.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ["Page", "Runtime", "Log", "Network"]:
            self.call(f"{domain}.enable")

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.process.terminate()
        try:
            self.process.wait(10)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
        os.close(self.out)
        os.close(self.incoming)
        shutil.rmtree(self.profile, ignore_errors=True)

    def _message(self, until):
        while b"\0" not in self.buffer:
            left = until - time.monotonic()
            if left <= 0 or not select.select([self.incoming], [], [], left)[0]:
                raise TimeoutError("the browser does not answer")
            part = os.read(self.incoming, 1 << 16)
            if not part:
                raise ConnectionError("the browser has gone")
            self.buffer += part
        text, self.buffer = self.buffer.split(b"\0", 1)
        return json.loads(text)

    def call(self, method, **params):
        """Asks for something and waits for the answer."""
        self.last_id += 1
        message = {"id": self.last_id, "method": method, "params": params}
        if self.session:
            message["sessionId"] = self.session
        os.write(self.out, json.dumps(message).encode() + b"\0")
        until = time.monotonic() + self.patience_s
        while True:
            answer = self._message(until)
            if answer.get("id") == self.last_id:
                if "error" in answer:
                    raise RuntimeError(f"{method}: {answer['error']}")
                return answer["result"]
            self.events.append(answer)

    def wait_for(self, method):
        """Waits for an event."""
        until = time.monotonic() + self.patience_s
        while not any(e.get("method") == method for e in self.events):
            self.events.append(self._message(until))

    def look(self, width, height=900, dark=False, phone=False, media=""):
        """Sets the size of the page, its colours, and screen or print."""
        self.call(
            "Emulation.setDeviceMetricsOverride",
            width=width,
            height=height,
            deviceScaleFactor=1,
            mobile=phone,
        )
        scheme = {"name": "prefers-color-scheme", "value": "dark" if dark else "light"}
        self.call("Emulation.setEmulatedMedia", media=media, features=[scheme])

    def open(self, path):
        """Opens a file; returns what went wrong on the way: messages of the console, failed loads."""
        self.events.clear()
        self.call("Page.navigate", url="file://" + os.path.abspath(path))
        self.wait_for("Page.loadEventFired")
        self.evaluate("document.fonts.ready.then(() => true)")
        wrong = []
        for event in self.events:
            params = event.get("params", {})
            if event.get("method") == "Runtime.exceptionThrown":
                wrong.append(f"exception: {params['exceptionDetails'].get('text')}")
            elif event.get("method") == "Log.entryAdded":
                wrong.append(f"log: {params['entry'].get('text')}")
            elif event.get("method") == "Runtime.consoleAPICalled":
                wrong.append(f"console: {params.get('type')}")
            elif event.get("method") == "Network.requestWillBeSent":
                url = params["request"]["url"]
                if not url.startswith("file://"):
                    wrong.append(f"asks for {url}")
        return wrong

    def evaluate(self, expression):
        """Value of an expression on the page."""
        answer = self.call(
            "Runtime.evaluate", expression=expression, returnByValue=True, awaitPromise=True
        )
        if "exceptionDetails" in answer:
            raise RuntimeError(answer["exceptionDetails"])
        return answer["result"].get("value")

    def picture(self, path, clip=None):
        """Writes the whole page, or a part of it, as PNG."""
        import base64

        size = self.call("Page.getLayoutMetrics")["cssContentSize"]
        clip = clip or {"x": 0, "y": 0, "width": size["width"], "height": size["height"]}
        clip["scale"] = clip.get("scale", 1)
        answer = self.call(
            "Page.captureScreenshot", format="png", captureBeyondViewport=True, clip=clip
        )
        with open(path, "wb") as file:
            file.write(base64.b64decode(answer["data"]))

    def paper(self, path, width_in, height_in):
        """Writes the page as PDF on a paper."""
        import base64

        answer = self.call(
            "Page.printToPDF",
            paperWidth=width_in,
            paperHeight=height_in,
            preferCSSPageSize=False,
            printBackground=True,
        )
        with open(path, "wb") as file:
            file.write(base64.b64decode(answer["data"]))
