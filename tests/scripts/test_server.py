"""The server: right types, right caching, nothing but the site."""

import gzip
import http.client
import socket
import time

import pytest
from workshop.console import Failure
from workshop.server import SiteServer, check_free


@pytest.fixture(scope="module")
def server(tmp_path_factory, serve_folder):
    site = tmp_path_factory.mktemp("outside") / "site"
    for name, content in {
        "index.html": "<h1>Home</h1>",
        "404.html": "<h1>No such page</h1>",
        "deep/index.html": "<h1>Deep</h1>",
        "deep/wörter.html": "<h1>Words</h1>",
        "empty/keep.txt": "kept",
        "app.js": "1",
        "app.css": "a{}",
        "data.json": "{}",
        "drawing.svg": "<svg/>",
        "site.webmanifest": "{}",
        "plain.wasm": "\0asm",
        "python-0123456789abcdef.wasm.gz": "not really",
        "main.57a0d79d.min.css": "b{}",
        "facade.txt": "a word of hexadecimal letters is not a hash",
    }.items():
        file = site / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(content, encoding="utf-8")
    (site.parent / "secret.txt").write_text("secret")
    (site / "way-out").symlink_to(site.parent / "secret.txt")
    with serve_folder(site) as server:
        yield server


@pytest.fixture
def ask(server):
    def ask(path, method="GET", **headers):
        connection = http.client.HTTPConnection("127.0.0.1", server.server_port, timeout=10)
        headers = {name.replace("_", "-"): value for name, value in headers.items()}
        connection.request(method, path, headers=headers)
        answer = connection.getresponse()
        body = answer.read()
        connection.close()
        return answer.status, answer.headers, body

    return ask


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("/", "text/html; charset=utf-8"),
        ("/app.js", "text/javascript; charset=utf-8"),
        ("/app.css", "text/css; charset=utf-8"),
        ("/data.json", "application/json"),
        ("/drawing.svg", "image/svg+xml"),
        ("/site.webmanifest", "application/manifest+json"),
        ("/plain.wasm", "application/wasm"),
        ("/python-0123456789abcdef.wasm.gz", "application/octet-stream"),
    ],
)
def test_types(ask, path, kind):
    status, headers, body = ask(path)
    assert (status, headers["Content-Type"], int(headers["Content-Length"])) == (200, kind, len(body))
    assert headers["Content-Encoding"] is None
    assert headers["X-Content-Type-Options"] == "nosniff"


@pytest.mark.parametrize(
    ("path", "lasting"),
    [
        ("/python-0123456789abcdef.wasm.gz", True),
        ("/main.57a0d79d.min.css", True),
        ("/app.js", False),
        ("/index.html", False),
        ("/facade.txt", False),
    ],
)
def test_only_names_that_change_with_their_content_are_kept_for_long(ask, path, lasting):
    _, headers, _ = ask(path)
    assert headers["Cache-Control"] == ("public, max-age=31536000, immutable" if lasting else "no-cache")


@pytest.fixture
def compressed(server):
    """A page with its compressed copy, and the copy's bytes."""
    (server.site / "long.html").write_text("<p>words</p>" * 50)
    copy = gzip.compress(b"<p>words</p>" * 50, mtime=0)
    (server.site / "long.html.gz").write_bytes(copy)
    return copy


@pytest.mark.parametrize("accepted", ["gzip", "gzip, deflate, br", "br;q=1.0, GZIP;q=0.5", "gzip;q=0.001"])
def test_a_browser_that_takes_the_compressed_copy_gets_it(ask, compressed, accepted):
    status, headers, body = ask("/long.html", Accept_Encoding=accepted)
    assert (status, body, headers["Content-Encoding"]) == (200, compressed, "gzip")
    assert headers["Content-Type"] == "text/html; charset=utf-8"
    assert int(headers["Content-Length"]) == len(compressed)


@pytest.mark.parametrize("accepted", ["", "identity", "br", "gzip;q=0", "gzip; q=0.0, br", "xgzipped"])
def test_another_browser_gets_the_file(ask, compressed, accepted):
    _, headers, body = ask("/long.html", Accept_Encoding=accepted)
    assert (headers["Content-Encoding"], body) == (None, b"<p>words</p>" * 50)


def test_both_say_that_they_differ_and_are_otherwise_alike(ask, compressed):
    _, plain, _ = ask("/long.html")
    _, small, _ = ask("/long.html", Accept_Encoding="gzip")
    assert plain["Vary"] == small["Vary"] == "Accept-Encoding"
    assert plain["ETag"] != small["ETag"]
    for name in ("Content-Type", "Cache-Control", "X-Content-Type-Options"):
        assert plain[name] == small[name]
    assert ask("/long.html", If_None_Match=small["ETag"], Accept_Encoding="gzip")[0] == 304


def test_an_unchanged_page_is_not_sent_again(ask, server):
    _, first, _ = ask("/app.js")
    status, headers, body = ask("/app.js", If_None_Match=first["ETag"])
    assert (status, body, headers["ETag"]) == (304, b"", first["ETag"])


def test_a_changed_page_is_sent_again(ask, server):
    _, first, _ = ask("/data.json")
    (server.site / "data.json").write_text('{"new": 1}')
    status, _, body = ask("/data.json", If_None_Match=first["ETag"])
    assert (status, body) == (200, b'{"new": 1}')


def test_head_says_the_same_without_the_content(ask):
    _, full, content = ask("/index.html")
    status, headers, body = ask("/index.html", "HEAD")
    assert (status, body) == (200, b"")
    for name in ("Content-Length", "Content-Type", "ETag", "Cache-Control"):
        assert headers[name] == full[name]
    assert int(headers["Content-Length"]) == len(content)


@pytest.mark.parametrize("method", ["POST", "PUT", "PATCH", "DELETE", "OPTIONS"])
def test_nothing_but_reading(ask, method):
    status, headers, _ = ask("/index.html", method)
    assert (status, headers["Allow"]) == (405, "GET, HEAD")


@pytest.mark.parametrize("method", ["GET", "HEAD"])
def test_a_missing_page(ask, method):
    status, headers, body = ask("/nowhere.html", method)
    assert (status, headers["Content-Type"]) == (404, "text/html; charset=utf-8")
    assert body == (b"<h1>No such page</h1>" if method == "GET" else b"")
    assert headers["Cache-Control"] == "no-cache"


def test_a_missing_page_is_never_answered_as_unchanged(ask):
    _, first, _ = ask("/nowhere.html")
    status, _, _ = ask("/nowhere.html", If_None_Match=first["ETag"])
    assert status == 404


def test_a_site_without_a_page_for_it_still_says_404(tmp_path, serve_folder):
    with serve_folder(tmp_path) as server:
        connection = http.client.HTTPConnection("127.0.0.1", server.server_port, timeout=10)
        connection.request("GET", "/x")
        assert connection.getresponse().status == 404
        connection.close()


@pytest.mark.parametrize(
    "path",
    [
        "/../secret.txt",
        "/%2e%2e/secret.txt",
        "/deep/../../secret.txt",
        "/..%2fsecret.txt",
        "/..%5csecret.txt",
        "//secret.txt",
        "/way-out",
        "/%00",
        "/index.html%00.txt",
        "/" + "a" * 5000,
    ],
)
def test_no_way_out_of_the_site(ask, path):
    status, _, body = ask(path)
    assert status == 404
    assert b"secret" not in body


def test_a_folder_shows_its_page_or_nothing(ask):
    assert ask("/deep/")[2] == b"<h1>Deep</h1>"
    status, _, body = ask("/empty/")
    assert status == 404 and b"keep" not in body
    assert ask("/empty")[0] == 404


def test_a_folder_without_its_slash_is_sent_on_within_the_site(ask):
    status, headers, _ = ask("/deep")
    assert (status, headers["Location"]) == (301, "/deep/")
    # Two slashes at the start would name another host.
    for path in ("//deep", "/%2Fdeep"):
        status, headers, _ = ask(path)
        assert (status, headers["Location"]) == (301, "/deep/")


def test_names_and_questions(ask):
    assert ask("/deep/w%C3%B6rter.html?current_dc=12%20A#x")[2] == b"<h1>Words</h1>"


def test_a_reader_who_goes_away_is_no_trouble(server, capfd, ask):
    with socket.create_connection(("127.0.0.1", server.server_port)) as connection:
        # Zero linger: the connection is reset, not closed.
        connection.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, b"\1\0\0\0\0\0\0\0")
        connection.sendall(b"GET /index.html HT")
    time.sleep(0.1)
    assert ask("/")[0] == 200
    assert capfd.readouterr() == ("", "")


def test_a_busy_port_is_named_with_the_way_out(server):
    for attempt in (
        lambda: check_free("127.0.0.1", server.server_port),
        lambda: SiteServer(server.site, "127.0.0.1", server.server_port),
    ):
        with pytest.raises(Failure, match=rf"^Port {server.server_port} is in use.*with --port$"):
            attempt()


def test_a_free_port_is_left_free():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    check_free("127.0.0.1", port)
    check_free("127.0.0.1", port)


@pytest.mark.parametrize("host", ["no.such.host.invalid", "192.0.2.1"])
def test_a_foreign_host_is_named(host):
    with pytest.raises(Failure, match=rf"--host {host} is not an address of this machine"):
        check_free(host, 0)


def test_the_address_can_be_typed_as_it_is_printed(tmp_path):
    with SiteServer(tmp_path, "::1", 0) as server:
        assert server.address == f"http://[::1]:{server.server_port}/"
