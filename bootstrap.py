"""One word for each daily task: python3 bootstrap.py run | test | lint | bench | lock.

run ARGS...       bentwork ARGS... in the folder you are in, with its exit status
test [ARGS]       lint, then all tests; with ARGS only pytest ARGS
lint [--fix]      ruff, its formatter and mypy; --fix lets ruff mend what it can
bench [NAME...]   benchmarks/NAME.py, or every benchmark there is
lock [--upgrade]  writes requirements/*.txt anew; pins stay where they can, unless --upgrade

Makes .venv beside this file, from pinned and hashed packages, whenever it is missing, half made or out of date.
Exit status 3: .venv or the locks could not be made.
"""

import sys

if sys.version_info < (3, 11):  # noqa: UP036 - the Python that starts this file may be any
    sys.stderr.write(f"Bentwork needs Python 3.11 or newer; this is {sys.version.split()[0]}.\n")
    sys.exit(3)

import hashlib
import json
import os
import platform
import subprocess
import tempfile
import tomllib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, NoReturn

from build_page import is_fresh

if os.name != "nt":  # on Windows two runs at once are not kept apart
    import fcntl

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
STAMP = VENV / "made-from.json"  # written last: a .venv without it is half made
BIN, EXE = ("Scripts", ".exe") if os.name == "nt" else ("bin", "")
PAGE = "python", "build_page.py"
LINT = ["ruff", "check"], ["ruff", "format", "--check"], ["mypy"], [*PAGE, "--check"]
MEND = ["ruff", "check", "--fix"], ["ruff", "format"], ["mypy"], [*PAGE, "--check"]
LOCKS = {"run": ROOT / "requirements/run.txt", "test": ROOT / "requirements/test.txt"}


def say(text: str) -> None:
    """Tell the user on standard error: standard output belongs to bentwork."""
    print(f"bootstrap: {text}", file=sys.stderr, flush=True)


def give_up(text: str) -> NoReturn:
    """End with a sentence that says what to do, and a status that bentwork itself (0, 1, 2) never has."""
    say(text)
    sys.exit(3)


def wanted(level: str) -> str:
    """Fingerprint of all that decides what an environment of this level ("run" or "test") holds."""
    said = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    installs = [said["build-system"], said["project"], said["tool"]["hatch"]]  # what the linters read does not count
    files = [path.read_text(encoding="utf-8") for path in (LOCKS[level], ROOT / "src/bentwork/__init__.py")]
    python = [sys.base_prefix, sys.version, platform.machine()]
    return hashlib.sha256(json.dumps([str(ROOT), files, installs, python], sort_keys=True).encode()).hexdigest()


def is_ready(level: str) -> bool:
    """Whether .venv and the page are whole and hold what this level needs."""
    return has_packages(level) and is_fresh()


def has_packages(level: str) -> bool:
    """Whether .venv is whole and holds what this level needs."""
    try:
        made = json.loads(STAMP.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return False
    # Its interpreter may be a dangling link since the system's Python was upgraded.
    return made.get(level) == wanted(level) and (VENV / BIN / f"python{EXE}").exists()


def pip_install(folder: Path, *args: str | Path) -> None:
    """Install into a virtual environment with its own pip, which speaks up only if it fails."""
    env = {**os.environ, "PIP_USER": "0", "PIP_DISABLE_PIP_VERSION_CHECK": "1", "PIP_NO_INPUT": "1"}
    env.pop("PYTHONPATH", None)
    if subprocess.call([folder / BIN / "python", "-m", "pip", "-qq", "install", *args], env=env, stdout=sys.stderr):
        give_up("the packages could not be installed (pip's own words are above). Is there a network?")


def make_environment(folder: Path) -> None:
    """Make an empty virtual environment with pip in it."""
    try:
        import venv
        from ensurepip import version  # noqa: F401 - Debian has it in a package of its own
    except ImportError:
        give_up("this Python makes no virtual environments; on Debian and Ubuntu: sudo apt-get install python3-venv")
    try:
        venv.create(folder, clear=True, with_pip=True, symlinks=os.name != "nt")
    except (OSError, subprocess.CalledProcessError) as error:
        give_up(f"{folder} could not be made a virtual environment: {error}")


def warm_up(folder: Path) -> None:
    """Compile the search for an order now; left undone, the first plan does it."""
    subprocess.call([folder / BIN / "python", "-m", "bentwork.door.compiled"])


def see_to_page() -> None:
    """Build the page anew when its sources have changed."""
    if not is_fresh():
        say("building the page ...")
        if subprocess.call([VENV / BIN / "python", ROOT / "build_page.py"], stdout=sys.stderr):
            give_up("the page could not be built (npm's own words are above). Is there a network?")


def make(level: str) -> None:
    """Bring .venv to this level; the caller holds the lock."""
    if has_packages(level):
        see_to_page()
        return
    made = {"run": wanted("run")} if has_packages("run") else {}
    if made:
        say("adding the test tools to .venv (once, half a minute or so) ...")
    else:
        say(f"making .venv with Python {platform.python_version()} (once, three quarters of a minute or more) ...")
        STAMP.unlink(missing_ok=True)
        make_environment(VENV)
    # Bytecode is left to the first import: compiling all of it would double the time.
    pip_install(VENV, "--no-compile", "--no-deps", "--only-binary", ":all:", "--require-hashes", "-r", LOCKS[level])
    if not made:
        pip_install(VENV, "--no-deps", "--no-build-isolation", "--editable", ROOT)  # builds the page
        warm_up(VENV)
    see_to_page()
    STAMP.write_text(json.dumps({"run": wanted("run"), level: wanted(level)}), encoding="utf-8")


def hold(lock_file: IO[str], *, alone: bool) -> None:
    """Lock .venv for use (shared) or for a change (alone), saying so if that means waiting."""
    if os.name != "nt":
        kind = fcntl.LOCK_EX if alone else fcntl.LOCK_SH
        try:
            fcntl.flock(lock_file, kind | fcntl.LOCK_NB)
        except BlockingIOError:
            say("waiting: another bootstrap.py or bentwork is using .venv ...")
            fcntl.flock(lock_file, kind)


@contextmanager
def environment(level: str) -> Iterator[IO[str]]:
    """A ready .venv, kept from being remade as long as the yielded lock file is open."""
    with (ROOT / ".venv.lock").open("a") as lock_file:
        hold(lock_file, alone=False)
        while not is_ready(level):
            hold(lock_file, alone=True)
            if not is_ready(level):  # another one may have been faster
                make(level)
            hold(lock_file, alone=False)
        yield lock_file


def run(args: list[str]) -> int:
    """Run bentwork, handing over this process, so that signals and exit status are its own."""
    with environment("run") as lock_file:
        command = [str(VENV / BIN / "bentwork"), *args]
        if os.name != "nt":  # Windows hands no process over
            os.set_inheritable(lock_file.fileno(), True)  # the lock lives as long as bentwork does
            os.execv(command[0], command)
        return subprocess.call(command)


def check(*commands: list[str]) -> int:
    """Run the commands in the checkout, all of them; the status of the first that failed."""
    first = 0
    with environment("test"):
        for name, *args in commands:
            say(" ".join([name, *args]))
            status = subprocess.call([VENV / BIN / name, *args], cwd=ROOT)
            first = first or status
            say(f"{name}: {'failed' if status else 'passed'}")
    return first


def bench(names: list[str]) -> int:
    """Run the named benchmarks, or all of them."""
    known = {path.stem: str(path) for path in sorted(ROOT.glob("benchmarks/[!_]*.py"))}
    if not known or not known.keys() >= set(names):
        say(f"no such benchmark; benchmarks/ has: {', '.join(known) or 'none yet'}")
        return 2
    # Numbers are reckoned in one thread, as the command line and the take-off's reader have it.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    return check(*(["python", known[name]] for name in names or known))


def lock(args: list[str]) -> int:
    """Write the hash locks; no setting of this machine, neither file nor variable, may reach them."""
    clean = {key: value for key, value in os.environ.items() if not key.startswith(("UV_", "PIP_"))}
    options = ["--universal", "--python-version", "3.11", "--fork-strategy", "fewest", "--only-binary", ":all:"]
    options += ["--generate-hashes", "--no-header", "--no-annotate", "--quiet", *args]
    with tempfile.TemporaryDirectory() as scratch:
        say("fetching uv, which finds the versions ...")
        make_environment(Path(scratch))
        pip_install(Path(scratch), "uv")
        uv = [str(Path(scratch, BIN, "uv")), "--no-config", "pip", "compile", *options, "../pyproject.toml", "run.in"]
        for more in (["-o", "run.txt"], ["test.in", "-c", "run.txt", "-o", "test.txt"]):
            if subprocess.call([*uv, *more], env=clean, cwd=ROOT / "requirements", stdout=subprocess.DEVNULL):
                give_up("the locks could not be written (uv's own words are above).")
    return 0


def main(argv: list[str]) -> int:
    """Do what the first word says with the words after it."""
    word, args = (argv[0], argv[1:]) if argv else ("", [])
    if word in ("test", "bench"):
        # They start hundreds of processes: what Python compiles is kept, or each would compile all of it anew.
        os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    if word == "test":
        return check(["pytest", *args]) if args else check(*LINT, ["pytest"])
    if word == "lint" and args in ([], ["--fix"]):
        return check(*(MEND if args else LINT))
    if word in ("run", "bench", "lock"):
        return {"run": run, "bench": bench, "lock": lock}[word](args)
    print((__doc__ or "").strip(), file=sys.stdout if word in ("-h", "--help") else sys.stderr)
    return 0 if word in ("-h", "--help") else 2


if __name__ == "__main__":
    try:
        sys.exit(main(sys.argv[1:]))
    except KeyboardInterrupt:
        say("stopped.")
        sys.exit(130)
