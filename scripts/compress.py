"""python compress.py FOLDER NAME...: lays NAME.gz beside each file in FOLDER that becomes smaller by it.

A program of its own, because the encoder is one of the packages in `.venv` and the commands
themselves run without any. It packs a twentieth tighter than zlib, and any browser unpacks it.
"""

import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import deflate

# The tightest and slowest: what is packed once is loaded often.
LEVEL = 12


def compress(file: Path) -> None:
    content = file.read_bytes()
    # Neither a time nor a name is in it: the same content gives the same bytes.
    small = deflate.gzip_compress(content, LEVEL)
    if len(small) < len(content):
        file.with_name(f"{file.name}.gz").write_bytes(small)


def main(folder: str, *names: str) -> None:
    with ThreadPoolExecutor() as pool:
        # Asked for, so that a failure of one ends it.
        list(pool.map(compress, [Path(folder, name) for name in names]))


main(*sys.argv[1:])
