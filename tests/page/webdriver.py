# SPDX-License-Identifier: GPL-3.0-or-later
"""A browser driven over the WebDriver protocol (W3C, 2018), with nothing but the standard library."""
import base64
import json
import shutil
import socket
import subprocess
import time
import urllib.error
import urllib.request

SWITCHES = ["--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--hide-scrollbars"]


def find():
    """The driver and the browser, or None where one is missing."""
    driver = shutil.which("chromedriver")
    browser = shutil.which("chromium") or shutil.which("chromium-browser")
    return (driver, browser) if driver and browser else None


def free_port():
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        return listener.getsockname()[1]


class Browser:
    def __init__(self, downloads=None, script=True):
        driver, browser = find()
        self.port = free_port()
        self.process = subprocess.Popen([driver, f"--port={self.port}"], stdout=subprocess.DEVNULL,
                                        stderr=subprocess.DEVNULL)
        preferences = {"profile.managed_default_content_settings.javascript": 1 if script else 2}
        if downloads:
            preferences["download.default_directory"] = str(downloads)
        options = {"binary": browser, "args": SWITCHES, "prefs": preferences}
        wanted = {"browserName": "chrome", "goog:chromeOptions": options,
                  "goog:loggingPrefs": {"browser": "ALL", "performance": "ALL"}}
        self.session = ""
        made = self._wait_for("POST", "/session", {"capabilities": {"alwaysMatch": wanted}})
        self.session = f"/session/{made['sessionId']}"

    def __enter__(self):
        return self

    def __exit__(self, *_):
        try:
            self._call("DELETE", "")
        finally:
            self.process.terminate()
            self.process.wait(10)

    def _wait_for(self, *request):
        for _ in range(100):
            try:
                return self._call(*request)
            except (urllib.error.URLError, ConnectionError):
                time.sleep(0.1)
        return self._call(*request)

    def _call(self, method, path, body=None):
        data = None if method in ("GET", "DELETE") else json.dumps(body or {}).encode()
        request = urllib.request.Request(f"http://127.0.0.1:{self.port}{self.session}{path}", data, method=method,
                                         headers={"Content-Type": "application/json"})
        try:
            with urllib.request.urlopen(request, timeout=60) as answer:
                return json.load(answer)["value"]
        except urllib.error.HTTPError as error:
            raise RuntimeError(json.load(error)["value"]["message"].splitlines()[0]) from None

    def open(self, path):
        self._call("POST", "/url", {"url": f"file://{path}"})

    def run(self, script, *arguments):
        return self._call("POST", "/execute/sync", {"script": script, "args": list(arguments)})

    def run_async(self, script, *arguments):
        return self._call("POST", "/execute/async", {"script": script, "args": list(arguments)})

    def size(self, width, height=900):
        """The viewport, to the pixel, also where a window may not be that narrow."""
        self.devtools("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=False)

    def scheme(self, name, media=""):
        """Light or dark; `media` "print" shows the page as on paper."""
        self.devtools("Emulation.setEmulatedMedia", media=media, features=[{"name": "prefers-color-scheme", "value": name}])

    def devtools(self, command, **parameters):
        return self._call("POST", "/goog/cdp/execute", {"cmd": command, "params": parameters})

    def picture(self, path, whole=True):
        got = self.devtools("Page.captureScreenshot", format="png", captureBeyondViewport=whole)
        path.write_bytes(base64.b64decode(got["data"]))

    def paper(self, path):
        got = self.devtools("Page.printToPDF", preferCSSPageSize=True, printBackground=True)
        path.write_bytes(base64.b64decode(got["data"]))

    def keys(self, *keys):
        """Each key pressed and let go where the focus is; a pair holds the first one down."""
        actions = []
        for key in keys:
            held = key if isinstance(key, tuple) else (key,)
            actions += [{"type": "keyDown", "value": one} for one in held]
            actions += [{"type": "keyUp", "value": one} for one in reversed(held)]
        self._call("POST", "/actions", {"actions": [{"type": "key", "id": "keys", "actions": actions}]})

    def point(self, x, y, kind="mouse"):
        moves = [{"type": "pointerMove", "duration": 0, "x": round(x), "y": round(y)}, {"type": "pointerDown", "button": 0},
                 {"type": "pointerUp", "button": 0}]
        self._call("POST", "/actions", {"actions": [
            {"type": "pointer", "id": kind, "parameters": {"pointerType": kind}, "actions": moves}]})

    def hover(self, x, y):
        self._call("POST", "/actions", {"actions": [
            {"type": "pointer", "id": "mouse", "parameters": {"pointerType": "mouse"},
             "actions": [{"type": "pointerMove", "duration": 0, "x": round(x), "y": round(y)}]}]})

    def log(self, kind):
        return self._call("POST", "/se/log", {"type": kind})

    def requests(self):
        """Addresses asked for since the last call."""
        messages = [json.loads(entry["message"])["message"] for entry in self.log("performance")]
        return [message["params"]["request"]["url"] for message in messages
                if message["method"] == "Network.requestWillBeSent"]
