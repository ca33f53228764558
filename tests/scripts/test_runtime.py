"""The files of the in-page Python: named by content, reproducible, nothing needless in them."""

import base64
import gzip
import hashlib
import io
import json
import re
import shutil
import subprocess
import zipfile

import pytest
from workshop import runtime as runtime_module
from workshop.node import find_node
from workshop.places import HERE, Places
from workshop.runtime import pack, prepare

NODE = find_node(HERE).node


def contents(folder):
    return {file.relative_to(folder).as_posix(): file.read_bytes() for file in folder.rglob("*") if file.is_file()}


def run_node(*arguments):
    return subprocess.run([NODE, *arguments], capture_output=True, text=True, timeout=120)


@pytest.fixture(scope="session")
def runtime(built):
    return contents(Places(built.root).runtime)


@pytest.fixture(scope="session")
def manifest(runtime):
    return json.loads(runtime["manifest.json"])


def test_the_manifest_names_every_file_and_each_name_tells_its_content(runtime, manifest):
    named = {manifest[kind] for kind in ("worker", "wasm", "snapshot", "stdlib")}
    assert runtime.keys() == named | {"manifest.json"} | {f"disk/{name}.js" for name in named}
    for name in named:
        assert hashlib.sha256(runtime[name]).hexdigest()[:16] in name


def test_the_site_holds_the_same_files(built, runtime, manifest):
    served = contents(built.root / "site/assets/runtime")
    compressed_copies = {name for name in served if name.removesuffix(".gz") in served and name.endswith(".gz")}
    wanted = {name: content for name, content in runtime.items() if name != "manifest.json" and not name.startswith("disk/")}
    assert {name: content for name, content in served.items() if name not in compressed_copies} == wanted


@pytest.mark.parametrize("kind", ["worker", "wasm", "snapshot", "stdlib"])
def test_each_file_is_a_script_for_pages_opened_from_disk_too(runtime, manifest, kind):
    name = manifest[kind]
    script = re.fullmatch(r'Handbook\.python\.take\("(.*)", "(.*)"\);\n', runtime[f"disk/{name}.js"].decode())
    assert script[1] == name
    packed = base64.b64decode(script[2], validate=True)
    assert packed == runtime[name] if name.endswith(".gz") else gzip.decompress(packed) == runtime[name]


def test_the_version_is_the_one_that_is_locked(manifest):
    locked = json.loads((HERE.root / "package-lock.json").read_text())["packages"]["node_modules/pyodide"]
    assert manifest["version"] == locked["version"]


def sections(wasm):
    """Number and content of each section, in order (WebAssembly Core Specification, 5.5)."""
    at, found = 8, []
    while at < len(wasm):
        size, start = number(wasm, at + 1)
        found.append((wasm[at], wasm[start : start + size]))
        at = start + size
    return found


def number(wasm, at):
    """A number of seven bits to the byte, and where it ends (the same, 5.2.2)."""
    last = next(place for place in range(at, at + 5) if wasm[place] < 0x80)
    return sum((wasm[place] & 0x7F) << 7 * (place - at) for place in range(at, last + 1)), last + 1


def exports_of(file):
    """Their names, as an engine reads the machine."""
    code = "console.log(JSON.stringify(WebAssembly.Module.exports(new WebAssembly.Module(fs.readFileSync(process.argv[1])))))"
    return {each["name"] for each in json.loads(run_node("-e", code, str(file)).stdout)}


def test_the_machine_is_the_locked_one_with_fewer_exports(runtime, manifest, tmp_path):
    original = HERE.node_modules / "pyodide/pyodide.asm.wasm"
    machine = tmp_path / "machine.wasm"
    machine.write_bytes(gzip.decompress(runtime[manifest["wasm"]]))
    ours, theirs = sections(machine.read_bytes()), sections(original.read_bytes())
    assert [number for number, _ in ours] == [number for number, _ in theirs]
    assert {number for (number, content), (_, whole) in zip(ours, theirs) if content != whole} == {7}
    assert exports_of(machine) < exports_of(original)
    assert len(exports_of(machine)) < 400


def test_no_export_is_missing_that_the_script_names(runtime, manifest):
    """The script as its makers wrote it, without the function that gives each export a name."""
    interpreter = HERE.node_modules / "pyodide"
    script = (interpreter / "pyodide.asm.mjs").read_text("utf-8")
    before, _, rest = script.partition("function assignWasmExports(wasmExports){")
    without = before[: before.rindex(";var ")] + rest[rest.index("}var wasmImports={") :]
    words = set(re.findall(r"[\w$]+", without))
    named = {name for name in exports_of(interpreter / "pyodide.asm.wasm") if {name, f"_{name}"} & words}
    worker = runtime[manifest["worker"]].decode()
    given = set(re.findall(r'=wasmExports\["([^"]+)"\]', worker))
    assert {"malloc", "free", "__main_argc_argv", "_pyproxy_apply_promising"} <= named
    assert named - given == {"__wasm_call_ctors"}, "it is called, and not given a name"


@pytest.mark.parametrize(
    "change, told",
    [
        (("function assignWasmExports(", "function nameExports("), "function assignWasmExports(wasmExports){ does not occur once"),
        (('_malloc=Module["_malloc"]=wasmExports["malloc"];', '_malloc=wasmExports["malloc"]||0;'), 'wasmExports["malloc"]||0 fills nothing'),
        ((";function assignWasmExports(", ",also=1;function assignWasmExports("), "stands no list of variables"),
    ],
    ids=["gone", "another-statement", "another-list"],
)
def test_another_interpreter_that_cannot_be_trimmed_is_told(tmp_path, change, told):
    folder = shutil.copytree(HERE.node_modules / "pyodide", tmp_path / "interpreter")
    script = folder / "pyodide.asm.mjs"
    text = script.read_text("utf-8")
    assert text.count(change[0]) == 1
    script.write_text(text.replace(*change), "utf-8")
    code = f"import({json.dumps((HERE.root / 'scripts/runtime/trimmed.mjs').as_uri())}).then(({{ copyTrimmed }}) => copyTrimmed(...process.argv.slice(1)))"
    done = run_node("-e", code, str(folder), str(tmp_path / "output"))
    assert done.returncode
    assert told in done.stderr


@pytest.fixture(scope="session")
def library(runtime, manifest):
    return zipfile.ZipFile(io.BytesIO(gzip.decompress(runtime[manifest["stdlib"]])))


def test_the_library_holds_compiled_modules_and_data_only(library):
    files = [name for name in library.namelist() if not name.endswith("/")]
    assert {"calc/browser.pyc", "pint/__init__.pyc", "markupsafe/_native.pyc", "traceback.pyc"} <= set(files)
    assert [name for name in files if not name.endswith(".pyc")] == ["calc/tables/units.txt"]


UNWANTED = ["calc/__main__.pyc", "argparse.pyc", "ssl.pyc", "lzma.pyc", "selectors.pyc", "platformdirs/api.pyc", "unittest/__init__.pyc", "sqlite3/__init__.pyc"]


@pytest.mark.parametrize("unwanted", UNWANTED)
def test_what_no_page_imports_stays_out(library, unwanted):
    assert unwanted not in library.namelist()


def test_of_what_others_insist_on_only_a_stand_in_is_there(library):
    """Each is a tenth of the real thing or less; those were 18 to 250 kB."""
    for name in ("socket.pyc", "subprocess.pyc", "asyncio/sslproto.pyc", "importlib/metadata/__init__.pyc"):
        assert library.getinfo(name).file_size < 1800, name


def test_docstrings_are_stripped(library):
    assert b"answer" in library.read("calc/browser.pyc")
    assert b"A docstring, which the page does not need" not in library.read("calc/browser.pyc")


def test_packing_again_gives_the_same_bytes(built, runtime, tmp_path):
    pack(Places(built.root), find_node(HERE), built.root / "calc", tmp_path / "again")
    assert contents(tmp_path / "again") == runtime


def test_compiling_the_library_again_gives_the_same_bytes(built, tmp_path, monkeypatch):
    places = Places(built.root)
    # The machine is only copied and compressed: the first is tested above, the second with what is packed.
    monkeypatch.setattr(runtime_module, "compress", lambda *_: None)
    prepare(places, find_node(HERE), tmp_path / "again")
    assert (tmp_path / "again/library.zip").read_bytes() == (places.prepared / "library.zip").read_bytes()


def test_the_worker_is_one_classic_script(runtime, manifest, tmp_path):
    script = runtime[manifest["worker"]].decode()
    assert script.startswith("self.importScripts = undefined;")
    assert "import.meta" not in script
    assert "sourceMappingURL" not in script
    assert not re.search(r"https?://[a-z]", script), "no address of another host"
    # Node.js takes a .cjs file for a classic script, in which `export` and `import.meta` are errors.
    file = tmp_path / "worker.cjs"
    file.write_text(script)
    done = run_node("--check", file)
    assert done.returncode == 0, done.stderr[:500]


def in_script_module(expression):
    module = (HERE.root / "scripts/runtime/script.mjs").as_uri()
    return run_node("--input-type=module", "--eval", f"import * as script from '{module}'; console.log({expression})")


def test_a_module_becomes_classic():
    source = "async function _createPyodideModule(x){return [import.meta.url,import.meta.url,import.meta.url]}export default _createPyodideModule;"
    done = in_script_module(f"script.classic({source!r})")
    assert done.stdout == (
        "const _createPyodideModule = (async function (x){return [self.location.href,self.location.href,self.location.href]});\n"
    )


@pytest.mark.parametrize(
    ("source", "complaint"),
    [
        ("async function _createPyodideModule(){}let a=import.meta.url;export default _createPyodideModule;", "import.meta.url occurs 1 times"),
        ("async function _createPyodideModule(){}", "export default _createPyodideModule; occurs 0 times"),
        ("function _createPyodideModule(){}", "async function _createPyodideModule( occurs 0 times"),
    ],
)
def test_an_interpreter_that_looks_different_stops_the_build(source, complaint):
    done = in_script_module(f"script.classic({source!r})")
    assert done.returncode != 0
    assert complaint in done.stderr
