"""The handbook's icon as PNG, which some systems want for an installed site: `docs/assets/icon.svg` drawn anew.

Each pixel is a shade between the ground and the wave, so an image with a palette of 256 shades holds it.
"""

import math
import struct
import zlib
from pathlib import Path

GROUND = (0x0B, 0x3D, 0x4F)
WAVE = (0xFF, 0xFF, 0xFF)
# As in the SVG, in parts of the whole width: a full wave from one edge to the other, and its stroke.
AMPLITUDE, MARGIN, STROKE = 0.31, 0.13, 0.09

# A mask may cut off everything outside the middle four fifths.
ICONS = {"icon-192.png": (192, 1.0), "icon-512.png": (512, 1.0), "icon-512-full.png": (512, 0.75)}


def write_icons(folder: Path) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    for name, (size, scale) in ICONS.items():
        (folder / name).write_bytes(_png(size, _rows(size, scale)))


def _rows(size: int, scale: float) -> list[bytes]:
    rows = [bytearray(size) for _ in range(size)]
    left, width = size * (0.5 - (0.5 - MARGIN) * scale), size * (1 - 2 * MARGIN) * scale
    height, half = size * AMPLITUDE * scale, size * STROKE * scale / 2
    for x in range(size):
        phase = (x + 0.5 - left) / width * 2 * math.pi
        if not 0 <= phase <= 2 * math.pi:
            continue
        middle = size / 2 - height * math.sin(phase)
        # What is above or below a slope by some distance is nearer to it than that.
        nearness = 1 / math.hypot(1, height * math.cos(phase) * 2 * math.pi / width)
        reach = (half + 1) / nearness
        for y in range(max(0, int(middle - reach)), min(size, int(middle + reach) + 1)):
            distance = abs(y + 0.5 - middle) * nearness
            rows[y][x] = round(255 * min(1, max(0, half - distance + 0.5)))
    return [bytes(row) for row in rows]


def _png(size: int, rows: list[bytes]) -> bytes:
    palette = bytes(
        round(ground + (wave - ground) * shade / 255) for shade in range(256) for ground, wave in zip(GROUND, WAVE, strict=True)
    )
    header = struct.pack(">IIBBBBB", size, size, 8, 3, 0, 0, 0)
    pixels = zlib.compress(b"".join(b"\0" + row for row in rows), 9)
    chunks = ((b"IHDR", header), (b"PLTE", palette), (b"IDAT", pixels), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(_chunk(kind, content) for kind, content in chunks)


def _chunk(kind: bytes, content: bytes) -> bytes:
    return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", zlib.crc32(kind + content))
