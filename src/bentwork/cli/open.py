"""``bentwork open``, which is also ``bentwork`` alone."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from bentwork.cli.edge import edge, put
from bentwork.cli.memory import folder_of, workshop_option

_LIST_SHOWN = 0.5  # seconds; a browser that runs already has its list of jobs by then
_TURN = 0.0001  # seconds; an answer lets go of its turn a thousand times, and each time waits for one
_LITTER = 10_000  # new things until litter is looked for: an answer makes that many, most of them gone by its end

SHORT = "Open the page in your browser."
HELP = """Open your jobs in the browser: see, change, plan, and print them. bentwork alone does the same.

WHAT is a folder with job files, or one job file; if left out it is the workshop's own folder. Only this machine can
reach the page, until you share the bench with your phone there. It runs until you press Ctrl-C here.

\b
Example: bentwork open crate-shelf.toml
"""


@click.command("open", help=HELP, short_help=SHORT)
@click.argument("what", type=click.Path(path_type=Path), required=False)
@click.option("--port", type=click.IntRange(0, 65535), help="Port of the page; 2368 if it is free and you name none.")
@click.option("--no-browser", is_flag=True, help="Show the address, and open no browser.")
@workshop_option
def open_page(what: Path | None, port: int | None, no_browser: bool, workshop: Path | None) -> None:
    """Open the page in the browser."""
    with edge():
        import gc

        gc.disable()  # while so much is loaded that stays: looking it through for litter takes a sixth of the time
        sys.setswitchinterval(_TURN)
        from bentwork.door.compiled import warm_up
        from bentwork.errors import Fault, InputError
        from bentwork.web.server import listening

        folder, job = _meant(what, folder_of(workshop))
        if not folder.is_dir():
            raise InputError("bentwork open", [Fault("WHAT", str(folder), "a folder with job files, or a job file")])
        door = listening(port)  # before anything is compiled: a port that is taken is told at once
        warm_up()
        from threading import Thread, Timer

        from bentwork.web.access import Access

        access = Access(door.getsockname()[1])
        inside = f"&to=/job/{job}" if job else ""
        address = f"http://127.0.0.1:{access.port}/enter?word={access.word}{inside}"
        if not no_browser:
            import webbrowser

            # A browser starts while the rest is loaded: what it asks meanwhile waits at the door.
            Thread(target=webbrowser.open, args=(address,), daemon=True).start()
        from bentwork.carry.touching_warm_up import warm_up as load_touching
        from bentwork.planning.order_warm_up import warm_up as load_order
        from bentwork.web.app import guarded, put_together
        from bentwork.web.desk import Desk
        from bentwork.web.place import Place
        from bentwork.web.server import serve

        desk = Desk(Place(folder.resolve(), folder_of(workshop)), access)
        app = guarded(desk)

        def load() -> None:
            put_together(app)
            load_order()
            load_touching()
            gc.freeze()  # what is there now stays: to look it through again would hold up an answer by 0.2 s
            gc.set_threshold(_LITTER)
            gc.enable()

        def started() -> None:
            # Compiled code is loaded once a browser that runs already has its list: the first job is there at once.
            later = Timer(_LIST_SHOWN, load)
            later.daemon = True
            later.start()
            put(f"Bentwork is open at\n\n  {address}\n\nKeep this address to yourself; it lets a browser in.")
            print("Ctrl-C closes it; nothing is lost.", file=sys.stderr)

        serve(app, [door], started, desk.sharing)


def _meant(what: Path | None, workshop: Path) -> tuple[Path, str]:
    """Return the folder of the jobs and, where one was named, the job."""
    from urllib.parse import quote

    from bentwork.cli.edge import job_path

    if what is None:
        workshop.mkdir(parents=True, exist_ok=True)
        return workshop, ""
    if what.is_dir():
        return what, ""
    path = job_path(what)
    return path.parent, quote(path.stem, safe="")
