"""What is laid beside the pages: the list of what a device keeps, compressed copies, icons."""

import base64
import gzip
import hashlib
import json
import shutil
import struct
import zlib

import pytest
from workshop.icons import GROUND, WAVE, write_icons
from workshop.places import HERE
from workshop.publish import LIST, compress, finish, is_compressed_copy
from workshop.stamps import inventory

FILES = {
    "index.html": b"<p>words</p>" * 100,
    "deep/page.html": b"<p>other words</p>" * 100,
    "sw.js": b"// serves\n" * 100,
    "assets/icon.png": bytes(range(256)) * 4,
    "assets/runtime/python-0123456789abcdef.wasm.gz": gzip.compress(b"machine" * 100, mtime=0),
    "tiny.txt": b"a",
}


@pytest.fixture
def site(tmp_path):
    for name, content in FILES.items():
        file = tmp_path / "site" / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(content)
    return tmp_path / "site"


def listed(site):
    finish(HERE, site)
    return json.loads((site / LIST).read_text("utf-8"))


def test_the_list_names_all_but_itself_and_the_script_that_serves(site):
    told = listed(site)
    assert [name for name, *_ in told["files"]] == sorted(set(FILES) - {"sw.js"})
    for name, length, digest, *inner in told["files"]:
        assert length == len(FILES[name])
        assert base64.b64decode(digest) == hashlib.sha256(FILES[name]).digest()
        if name.endswith(".gz"):
            assert (inner[0], base64.b64decode(inner[1])) == (700, hashlib.sha256(b"machine" * 100).digest())
        else:
            assert inner == []
    assert told["bytes"] == sum(len(content) for name, content in FILES.items() if name != "sw.js")
    assert told["download"] < told["bytes"]


def test_the_version_stands_for_the_contents(site):
    first = listed(site)
    assert listed(site) == first, "again, with the list itself and the copies now there"
    (site / "index.html").write_bytes(b"<p>Words</p>" * 100)
    assert listed(site)["version"] != first["version"]
    (site / "index.html").write_bytes(FILES["index.html"])
    assert listed(site)["version"] == first["version"]
    (site / "tiny.txt").rename(site / "renamed.txt")
    assert listed(site)["version"] != first["version"]


def test_compressed_copies_hold_the_same_and_are_smaller(site):
    finish(HERE, site)
    copies = {name for name in inventory(site) if is_compressed_copy(site / name)}
    assert copies == {"index.html.gz", "deep/page.html.gz", "sw.js.gz", f"{LIST}.gz"}
    for name in copies:
        plain = (site / name.removesuffix(".gz")).read_bytes()
        assert gzip.decompress((site / name).read_bytes()) == plain
        assert (site / name).stat().st_size < len(plain)


def test_they_are_tighter_than_those_of_the_standard_library(tmp_path):
    content = (HERE.root / "docs/assets/js/forms.js").read_bytes() * 3
    (tmp_path / "forms.js").write_bytes(content)
    compress(HERE, tmp_path, ["forms.js"])
    assert (tmp_path / "forms.js.gz").stat().st_size < len(gzip.compress(content, 9))


def test_doing_it_again_gives_the_same_bytes(site, tmp_path):
    other = tmp_path / "other"
    shutil.copytree(site, other, copy_function=shutil.copyfile)
    for folder in (site, other):
        finish(HERE, folder)
    assert {name: (site / name).read_bytes() for name in inventory(site)} == {name: (other / name).read_bytes() for name in inventory(other)}


def pixels(file):
    """Rows of colours of an image with a palette, no filters and no interlace."""
    content, at, chunks = file.read_bytes(), 8, {}
    while at < len(content):
        length, kind = struct.unpack(">I4s", content[at : at + 8])
        chunks[kind] = content[at + 8 : at + 8 + length]
        assert zlib.crc32(kind + chunks[kind]) == struct.unpack(">I", content[at + 8 + length : at + 12 + length])[0]
        at += 12 + length
    width, height, *rest = struct.unpack(">IIBBBBB", chunks[b"IHDR"])
    assert rest == [8, 3, 0, 0, 0]
    raw, palette = zlib.decompress(chunks[b"IDAT"]), chunks[b"PLTE"]
    colours = [tuple(palette[at : at + 3]) for at in range(0, len(palette), 3)]
    rows = [raw[y * (width + 1) : (y + 1) * (width + 1)] for y in range(height)]
    assert {row[0] for row in rows} == {0}
    return [[colours[shade] for shade in row[1:]] for row in rows]


def test_icons_show_one_whole_wave(tmp_path):
    write_icons(tmp_path)
    for name, size in (("icon-192.png", 192), ("icon-512.png", 512), ("icon-512-full.png", 512)):
        rows = pixels(tmp_path / name)
        assert (len(rows), len(rows[0])) == (size, size)
        assert rows[0][0] == GROUND and rows[size // 2][size // 2] == WAVE
        upper = [x for row in rows[: size // 3] for x, colour in enumerate(row) if colour == WAVE]
        lower = [x for row in rows[-size // 3 :] for x, colour in enumerate(row) if colour == WAVE]
        assert max(upper) < size / 2 < min(lower)


def test_the_masked_icon_keeps_to_the_middle(tmp_path):
    write_icons(tmp_path)
    rows = pixels(tmp_path / "icon-512-full.png")
    for y, row in enumerate(rows):
        for x, colour in enumerate(row):
            if colour != GROUND:
                assert (x - 255.5) ** 2 + (y - 255.5) ** 2 < (0.4 * 512) ** 2
