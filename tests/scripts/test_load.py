"""Many readers at once: every answer is a file of the site, byte for byte, and nothing is ever computed or written."""

import concurrent.futures
import gzip
import http.client
import time
from itertools import islice, product

from workshop.places import HERE
from workshop.stamps import inventory

READERS, EACH, SECONDS = 8, 60, 60
ODD = ["/?q=1", "/no-such-page.html", "/../pyproject.toml", "/calc/browser.py", "/index.html/x", "/cgi-bin/x?y"]


def read(port, paths):
    """One reader with one connection. What came, as (path, status, content)."""
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=20)
    came = []
    for path in paths:
        connection.request("GET", path, headers={"Accept-Encoding": "gzip"})
        answer = connection.getresponse()
        content = answer.read()
        came.append((path, answer.status, gzip.decompress(content) if answer.headers["Content-Encoding"] == "gzip" else content))
    connection.close()
    return came


def test_only_files_are_served_however_many_ask(serve_folder):
    before = inventory(HERE.site)
    files = {name: (HERE.site / name).read_bytes() for name in before}
    missing = files["404.html"]
    # The runtime is megabytes: many pages and a few of those, as readers ask.
    pages = ["/" + name for name in sorted(files) if not name.startswith("assets/runtime/")]
    asked = list(islice((path for _, path in product(range(READERS * EACH), pages + ODD)), READERS * EACH))
    started = time.monotonic()
    with serve_folder(HERE.site) as server, concurrent.futures.ThreadPoolExecutor(READERS) as readers:
        jobs = [readers.submit(read, server.server_port, asked[start::READERS]) for start in range(READERS)]
        came = [each for job in jobs for each in job.result(timeout=SECONDS)]
    assert time.monotonic() - started < SECONDS
    assert len(came) == READERS * EACH
    for path, status, content in came:
        name = path[1:].split("?")[0] or "index.html"
        assert (status, content) == ((200, files[name]) if name in files else (404, missing)), path
    assert inventory(HERE.site) == before
