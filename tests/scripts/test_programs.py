"""A failing program becomes one line that says what to do."""

import sys

import pytest
from workshop.console import Failure
from workshop.places import Places
from workshop.programs import download_cause, last_line, run

NO_NETWORK = "cannot be reached: check the network"
WRONG_FILE = "is not the one the lock file names"
DISK_FULL = "the disk is full"
NOT_ALLOWED = "may not be written"


@pytest.mark.parametrize(
    ("output", "cause"),
    [
        (
            "WARNING: Retrying (Retry(total=0)) after connection broken by 'NewConnectionError: Failed to establish "
            "a new connection: [Errno -3] Temporary failure in name resolution'\n"
            "ERROR: Could not find a version that satisfies the requirement pint==0.25.3 (from versions: none)",
            NO_NETWORK,
        ),
        ("npm error code ENOTFOUND\nnpm error network request failed", NO_NETWORK),
        ("npm error code EAI_AGAIN", NO_NETWORK),
        ("E: Failed to fetch a package  Could not connect", NO_NETWORK),
        ("ERROR: THESE PACKAGES DO NOT MATCH THE HASHES FROM THE REQUIREMENTS FILE.", WRONG_FILE),
        ("npm error code EINTEGRITY\nnpm error sha512-... integrity checksum failed", WRONG_FILE),
        ("ERROR: Could not install packages due to an OSError: [Errno 28] No space left on device", DISK_FULL),
        ("npm error code ENOSPC", DISK_FULL),
        ("npm error code EACCES\nnpm error syscall mkdir", NOT_ALLOWED),
        ("ERROR: [Errno 13] Permission denied: '/x'", NOT_ALLOWED),
    ],
)
def test_the_cause_of_a_failed_download(output, cause):
    assert cause in download_cause(output)


def test_an_unknown_cause_is_quoted():
    assert download_cause("first\n\nModuleNotFoundError: no module\n\n") == "ModuleNotFoundError: no module"


def test_a_last_line_is_never_a_flood():
    assert len(last_line("x" * 1_000_000)) == 300
    assert last_line(" \n") == "it printed nothing"


@pytest.fixture
def places(tmp_path):
    return Places(tmp_path)


def test_what_a_program_prints_is_kept_and_returned(places):
    program = "import os; print(os.getcwd(), os.environ['MARK'])"
    printed = run(places, [sys.executable, "-c", program], name="n", failure="f", env={"MARK": "x"})
    assert printed == f"{places.root} x\n"
    assert (places.log / "n.log").read_text() == printed


def test_a_failing_program_is_one_line_with_the_log(places):
    program = "import sys; print('much'); print('the reason', file=sys.stderr); sys.exit(3)"
    with pytest.raises(Failure) as failure:
        run(places, [sys.executable, "-c", program], name="thing", failure="It could not be done")
    assert str(failure.value) == "It could not be done: the reason (all it printed: build/log/thing.log)"
    assert "much" in (places.log / "thing.log").read_text()


def test_a_program_that_is_not_there(places):
    with pytest.raises(Failure, match=r"^It could not be done: /no/such cannot be started \(No such file"):
        run(places, ["/no/such"], name="n", failure="It could not be done")
