"""The commands from outside: usage, a busy port, a machine without Python."""

import os
import shutil
import socket
import subprocess

import pytest
from workshop import commands
from workshop.console import Failure
from workshop.places import HERE


def run(command, *arguments, **environment):
    return subprocess.run(
        [HERE.root / "scripts" / command, *arguments],
        cwd="/",
        env={**os.environ, **environment},
        capture_output=True,
        text=True,
        timeout=30,
    )


@pytest.mark.parametrize(
    ("command", "arguments", "word"),
    [
        ("serve", ["--port", "many"], "'many'"),
        ("serve", ["--port", "70000"], "from 0 to 65535"),
        ("serve", ["--port", "-1"], "--port"),
        ("serve", ["--colour", "red"], "--colour"),
        ("build", ["everything"], "everything"),
    ],
)
def test_bad_usage(command, arguments, word):
    done = run(command, *arguments)
    assert (done.returncode, done.stdout) == (2, "")
    assert word in done.stderr
    assert "Traceback" not in done.stderr


def test_an_unknown_command(capsys):
    assert commands.main(["bake"]) == 2
    assert capsys.readouterr().err == "Name one of these commands: serve, build, print, test, bench, lock\n"


def test_a_busy_port_is_told_before_anything_is_set_up(monkeypatch, capsys):
    """Nothing is set up: that would fail here, and be told instead."""
    monkeypatch.setattr(commands, "ensure_site", lambda places: pytest.fail("set up before looking at the port"))
    with socket.create_server(("127.0.0.1", 0)) as other:
        port = other.getsockname()[1]
        assert commands.main(["serve", "--port", str(port)]) == 1
    (line,) = capsys.readouterr().err.splitlines()
    assert f"Port {port} is in use" in line and "--port" in line


@pytest.mark.parametrize(
    ("trouble", "line"),
    [
        (Failure("Something is missing: do this"), "Something is missing: do this"),
        (OSError(28, "No space left on device", "/x/y"), "The disk is full (/x/y): free about 2 GB and run this again"),
        (
            PermissionError(13, "Permission denied", "/x/y"),
            "The machine refused: Permission denied (/x/y); mend that and run this again",
        ),
    ],
)
def test_trouble_is_one_line(monkeypatch, capsys, trouble, line):
    def fail(_):
        raise trouble

    monkeypatch.setattr(commands, "ensure_site", fail)
    assert commands.main(["build"]) == 1
    assert capsys.readouterr().err == f"{line}\n"


def test_an_interruption_is_quiet(monkeypatch, capsys):
    def interrupt(_):
        raise KeyboardInterrupt

    monkeypatch.setattr(commands, "ensure_site", interrupt)
    assert commands.main(["build"]) == 130
    assert capsys.readouterr().err == "\n"


@pytest.fixture
def bare_path(tmp_path):
    """A PATH with a shell and no Python."""
    for name in ("sh", "dirname"):
        (tmp_path / name).symlink_to(shutil.which(name))
    return tmp_path


@pytest.mark.parametrize("command", ["serve", "build", "print", "test", "lock"])
def test_a_machine_without_python(bare_path, command):
    done = run(command, PATH=str(bare_path))
    assert (done.returncode, done.stdout) == (1, "")
    (line,) = done.stderr.splitlines()
    assert line.startswith("Python 3.11 or newer is missing") and "apt install python3 python3-venv" in line


def test_an_old_python_is_passed_over(bare_path):
    """The first one refuses the question for its version; the second is taken."""
    old, new = bare_path / "python3", bare_path / "python3.12"
    old.write_text("#!/bin/sh\nexit 1\n")
    new.write_text('#!/bin/sh\n[ "$1" = -c ] || echo "given: $2 $3"\n')
    old.chmod(0o755)
    new.chmod(0o755)
    done = run("serve", "--port", PATH=str(bare_path))
    assert (done.returncode, done.stdout, done.stderr) == (0, "given: serve --port\n", "")


def test_ci_runs_the_same_tests():
    assert (HERE.root / ".ci/run").read_text() == "#!/usr/bin/env bash\nexec ./scripts/test\n"
    for name in (".ci/run", "scripts/serve", "scripts/build", "scripts/print", "scripts/test", "scripts/lock"):
        assert os.access(HERE.root / name, os.X_OK)
