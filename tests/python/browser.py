"""Pages as headless Chromium shows them from disk, with the network cut off."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit

import pytest

PHONE, DESKTOP = (390, 844), (1280, 900)
#: Hosts that Chromium itself asks for on every start, whatever the page (seen on a blank page).
_ITS_OWN = {"clients2.google.com", "update.googleapis.com", "accounts.google.com"}
#: Looks at the page from inside, and leaves what it saw in the page.
_LOOK = Path(__file__).with_name("look_at_page.js")


@dataclass
class Seen:
    """What a visit left: lines on the console, requests other than the file, a picture."""

    console: list[str]
    requests: list[str]
    picture: Path


def _chromium() -> str:
    found = shutil.which("chromium")
    if found is None:
        pytest.fail("no chromium: tools/test installs it")
    return found


def run_chromium(page: Path, work: Path, size: tuple[int, int], *options: str) -> str:
    command = [
        _chromium(),
        "--headless",
        # The tests may run as root, where Chromium's own sandbox refuses to start.
        "--no-sandbox",
        "--disable-gpu",
        "--disable-dev-shm-usage",
        "--hide-scrollbars",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
        "--disable-extensions",
        # No name resolves, and nothing listens at the proxy.
        "--host-resolver-rules=MAP * ~NOTFOUND",
        "--proxy-server=http://127.0.0.1:9",
        f"--user-data-dir={work / 'profile'}",
        f"--window-size={size[0]},{size[1]}",
        *options,
        page.as_uri(),
    ]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120)
    return done.stdout + done.stderr


def visit(page: Path, work: Path, size: tuple[int, int] = DESKTOP) -> Seen:
    """Open a page and say what it asked for and complained about."""
    work.mkdir(parents=True, exist_ok=True)
    log, picture = work / "net.json", work / f"{page.stem}-{size[0]}.png"
    said = run_chromium(
        page,
        work,
        size,
        f"--log-net-log={log}",
        "--enable-logging=stderr",
        f"--screenshot={picture}",
    )
    events = json.loads(log.read_text("utf-8"))["events"]
    urls = {
        one["params"]["url"]
        for one in events
        if isinstance(one.get("params"), dict) and one["params"].get("url")
    }
    asked = [url for url in urls if urlsplit(url).hostname not in _ITS_OWN]
    console = [line for line in said.splitlines() if ":CONSOLE" in line]
    return Seen(console, sorted(url for url in asked if not url.startswith("data:")), picture)


def look(page: Path, work: Path, size: tuple[int, int]) -> dict[str, object]:
    """What the page looks like from inside, from a copy that may run one script.

    The copy stands in a frame of the size asked for, since a window has a least width.
    """
    work.mkdir(parents=True, exist_ok=True)
    text = page.read_text("utf-8")
    text = re.sub(r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", text)
    script = _LOOK.read_text("utf-8")
    copy = work / "looked-at.html"
    copy.write_text(text.replace("</body>", f"<script>{script}</script></body>"), "utf-8")
    frame = work / "frame.html"
    frame.write_text(
        "<!doctype html><meta charset=utf-8><link rel=icon href='data:,'>"
        f"<iframe width={size[0]} height={size[1]} src='looked-at.html'></iframe>"
        "<pre id=said></pre>"
        "<script>addEventListener('message', e => { said.textContent = e.data; });</script>",
        "utf-8",
    )
    dom = run_chromium(frame, work, DESKTOP, "--virtual-time-budget=8000", "--dump-dom")
    found = re.search(r'<pre id="said">(.*?)</pre>', dom, re.S)
    assert found and found[1], dom[:2000]
    told: dict[str, object] = json.loads(
        found[1].replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&")
    )
    return told
