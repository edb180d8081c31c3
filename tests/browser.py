"""A headless browser for tests, driven over the DevTools protocol through a pair of pipes (`--remote-debugging-pipe`).

The protocol is documented at https://chromedevtools.github.io/devtools-protocol/; messages are JSON, ended by a zero
byte. Only the standard library is used. Where no browser is installed, tests that need one are skipped and say so.
"""

from __future__ import annotations

import io
import json
import os
import select
import shutil
import subprocess
import tempfile
import time
from base64 import b64decode
from pathlib import Path

import numpy as np
from PIL import Image

CHROMIUM = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome", "chrome"))), None)
WHY_SKIPPED = "no chromium on this machine"


class Browser:
    """One window. Use it as a context."""

    def __init__(self, width=1280, height=900, mobile=False, density=1):
        self.size = (width, height, mobile, density)

    def __enter__(self):
        self.folder = tempfile.mkdtemp(prefix="browser-")
        to_read, self.write_end = os.pipe()
        self.read_end, to_write = os.pipe()

        def hand_over():
            # The browser reads commands from 3 and answers on 4. Copies first: 3 and 4 may be among the four.
            reading, writing = os.dup(to_read), os.dup(to_write)
            os.dup2(reading, 3)
            os.dup2(writing, 4)
            os.set_inheritable(3, True)
            os.set_inheritable(4, True)

        self.process = subprocess.Popen(
            [CHROMIUM, "--headless", "--no-sandbox", "--remote-debugging-pipe", f"--user-data-dir={self.folder}",
             "--enable-unsafe-swiftshader", "--force-color-profile=srgb", "--hide-scrollbars", "--no-first-run"],
            preexec_fn=hand_over,
            close_fds=False,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )  # fmt: skip
        os.close(to_read)
        os.close(to_write)
        self.buffer, self.number, self.events, self.session = b"", 0, [], None
        target = self.call("Target.createTarget", url="about:blank")["targetId"]
        self.session = self.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Network", "Log"):
            self.call(f"{domain}.enable")
        width, height, mobile, density = self.size
        self.call(
            "Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=density, mobile=mobile
        )
        if mobile:
            self.call("Emulation.setTouchEmulationEnabled", enabled=True)
        return self

    def __exit__(self, *_):
        self.process.terminate()
        self.process.wait(20)
        os.close(self.write_end)
        os.close(self.read_end)
        shutil.rmtree(self.folder, ignore_errors=True)

    def call(self, method, **params):
        """Send a command and wait for its answer."""
        self.number += 1
        message = {"id": self.number, "method": method, "params": params}
        if self.session:
            message["sessionId"] = self.session
        os.write(self.write_end, json.dumps(message).encode() + b"\0")
        deadline = time.monotonic() + 60
        while True:
            answer = self._next(deadline)
            if answer.get("id") == self.number:
                if "error" in answer:
                    raise RuntimeError(f"{method}: {answer['error']}")
                return answer["result"]
            self.events.append(answer)

    def _next(self, deadline):
        while b"\0" not in self.buffer:
            ready, _, _ = select.select([self.read_end], [], [], max(deadline - time.monotonic(), 0))
            if not ready:
                raise TimeoutError("the browser does not answer")
            chunk = os.read(self.read_end, 1 << 20)
            if not chunk:
                raise RuntimeError("the browser has gone")
            self.buffer += chunk
        message, self.buffer = self.buffer.split(b"\0", 1)
        return json.loads(message)

    def open(self, file: Path, hash_=""):
        """Open a file and wait until the proof on it has painted its first picture."""
        # A changed hash alone would not load the page again.
        self.call("Page.navigate", url="about:blank")
        self.events.clear()
        self.call("Page.navigate", url=file.as_uri() + hash_)
        self.wait("document.readyState === 'complete' && typeof start === 'function' && start.stage?.isReady")

    def run(self, script):
        """Run JavaScript; return its value, awaited."""
        answer = self.call("Runtime.evaluate", expression=script, awaitPromise=True, returnByValue=True)
        if "exceptionDetails" in answer:
            details = answer["exceptionDetails"]
            raise RuntimeError(details.get("exception", {}).get("description", details["text"]))
        return answer["result"].get("value")

    def wait(self, condition, seconds=30):
        """Wait until a JavaScript expression holds."""
        deadline = time.monotonic() + seconds
        while not self.run(f"Boolean({condition})"):
            if time.monotonic() > deadline:
                raise TimeoutError(f"never came true: {condition}")
            time.sleep(0.02)

    def settle(self):
        """Wait until everything asked for is painted."""
        self.wait("!start.stage.asked && start.stage.isReady")
        self.run("new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
        self.wait("!start.stage.asked && start.stage.isReady")

    def click(self, selector):
        """Press what a selector names, as a finger would: in its middle."""
        place = self.run(
            f"(() => {{ const it = document.querySelector({json.dumps(selector)});"
            " it.scrollIntoView({block: 'center'});"
            " const box = it.getBoundingClientRect(); return [box.x + box.width / 2, box.y + box.height / 2]; })()"
        )
        for kind in ("mousePressed", "mouseReleased"):
            self.call("Input.dispatchMouseEvent", type=kind, x=place[0], y=place[1], button="left", clickCount=1)
        self.settle()

    def key(self, key):
        """Press a key."""
        for kind in ("keyDown", "keyUp"):
            self.call("Input.dispatchKeyEvent", type=kind, key=key, text=key if len(key) == 1 else "")
        self.settle()

    def screenshot(self):
        """The window as pixels, (height, width, 3), once it has come to rest: a busy browser shows frames late."""
        before = None
        for _ in range(10):
            shot = self.call("Page.captureScreenshot", format="png", optimizeForSpeed=True)["data"]
            if shot == before:
                break
            before = shot
        return np.asarray(Image.open(io.BytesIO(b64decode(shot))).convert("RGB"))

    def troubles(self):
        """Whatever went wrong on the page so far: exceptions, errors in the log."""
        self.run("1")
        found = []
        for event in self.events:
            if event.get("method") == "Runtime.exceptionThrown":
                details = event["params"]["exceptionDetails"]
                found.append(details.get("exception", {}).get("description", details["text"]))
            if event.get("method") == "Log.entryAdded" and event["params"]["entry"]["level"] in ("error", "warning"):
                found.append(event["params"]["entry"]["text"])
            if event.get("method") == "Runtime.consoleAPICalled" and event["params"]["type"] in ("error", "warning"):
                found.append(str(event["params"]["args"]))
        return found

    def requests(self):
        """Every address the page asked for."""
        self.run("1")
        wanted = (e for e in self.events if e.get("method") == "Network.requestWillBeSent")
        return [event["params"]["request"]["url"] for event in wanted]
