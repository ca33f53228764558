"""Where everything lies."""

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Places:
    root: Path

    @property
    def venv(self) -> Path:
        return self.root / ".venv"

    @property
    def python(self) -> Path:
        """The interpreter with the locked packages."""
        return self.venv / "bin" / "python"

    @property
    def node_modules(self) -> Path:
        return self.root / "node_modules"

    @property
    def build(self) -> Path:
        """Everything made on the way to the site; it can be deleted at any time."""
        return self.root / "build"

    @property
    def prepared(self) -> Path:
        """What the in-page Python consists of, apart from `calc`."""
        return self.build / "prepared"

    @property
    def runtime(self) -> Path:
        """The files of the in-page Python, and their manifest."""
        return self.build / "runtime"

    @property
    def log(self) -> Path:
        return self.build / "log"

    @property
    def site(self) -> Path:
        return self.root / "site"


HERE = Places(Path(__file__).resolve().parents[2])
