"""The order of work from the command line: what hits, what does not, what would help."""

from __future__ import annotations

import json
import signal
from collections.abc import Iterator
from importlib.resources import files
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from bentwork.cli.main import app
from bentwork.cli.searching import searching
from bentwork.files.job_file import parse_job
from bentwork.jobs.work import work

CONTRACT = (Path(__file__).parents[1] / "unit" / "files" / "contract.toml").read_text(encoding="utf-8")


@pytest.fixture(autouse=True)
def _in_a_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.chdir(tmp_path)
    yield


def run(*words: str) -> Result:
    return CliRunner().invoke(app, list(words))


def planned(text: str, status: int = 0) -> Any:  # noqa: ANN401  what JSON holds
    Path("job.toml").write_text(text, encoding="utf-8")
    done = run("plan", "job", "--json")
    assert done.exit_code == status, done.stderr
    return json.loads(done.stdout)


def codes(document: Any) -> list[str]:  # noqa: ANN401
    return [finding["code"] for finding in document["findings"]]


def test_the_example_of_the_contract_has_a_proven_order() -> None:
    document = planned(CONTRACT)
    piece = document["pieces"][0]
    assert piece["feasible"] is True
    assert piece["order_proven"] is True
    assert sorted(step["bend"] for step in piece["steps"]) == [1, 2, 3, 4]
    assert [step["step"] for step in piece["steps"]] == [1, 2, 3, 4]
    marks = {mark["bend"]: mark for mark in piece["marks"]}
    for step in piece["steps"]:
        mark = marks[step["bend"]]
        assert step["mark_mm"] == (mark["start_mm"] if step["held"] == "A" else mark["end_mm"])
        assert step["mounting"] == "vise"
        assert step["clearance_mm"] >= 2.0  # what the job asks for
        assert step["nearest"]
    held = [step["held"] for step in piece["steps"]]
    assert piece["reversals"] == sum(a != b for a, b in pairwise(held))
    assert (piece["blocked"], piece["remedies"]) == ([], [])


def test_in_the_demo_the_drawings_order_hits_and_the_plans_does_not() -> None:
    text = files("bentwork").joinpath("data", "crate-shelf.toml").read_text(encoding="utf-8")
    document = planned(text)
    (note,) = [finding for finding in document["findings"] if finding["code"] == "order-not-as-drawn"]
    assert note["piece"] == "loop"
    assert "too near to the" in note["why"]
    loop = document["pieces"][0]
    assert [step["bend"] for step in loop["steps"]] != list(range(1, 9))
    assert all(step["clearance_mm"] >= 2.0 for step in loop["steps"])


def test_where_there_is_no_order_it_says_what_is_in_the_way_and_what_helps() -> None:
    low = CONTRACT.replace("y = [20, 700], top = -150", "y = [-700, 700], top = -20")
    low = low.replace("[400, 300, 0], [0, 300, 0]]", "[400, 300, 0], [400, 300, 200], [200, 300, 200]]")
    document = planned(low.replace("closed = true", "closed = false").replace('seam = "auto"', ""), 1)
    piece = document["pieces"][0]
    assert (piece["feasible"], piece["steps"]) == (False, [])
    assert {one["body"] for one in piece["blocked"]} == {"bench", "wall"}
    assert all(one["depth_mm"] > 0.0 for one in piece["blocked"])
    kinds = {one["kind"]: one for one in piece["remedies"]}
    assert "riser" in kinds
    (stop,) = [finding for finding in document["findings"] if finding["code"] == "hits-tool"]
    assert (stop["level"], stop["piece"]) == ("stop", "loop")
    assert kinds["riser"]["says"] in stop["do"]
    # What is said to help does: everything below the bar lies that much lower.
    rise = kinds["riser"]["value_mm"]
    helped = low
    for name, value in (("top = -24, bottom = -150", (-24, -150)), ("gap_below_bar = 14", (14,))):
        new = name
        for one in value:
            new = new.replace(f"{one}", f"{one - rise if one < 0 else one + rise:g}")
        helped = helped.replace(name, new)
    helped = helped.replace("top = -20", f"top = {-20 - rise:g}").replace("floor = -1000", f"floor = {-1000 - rise:g}")
    helped = helped.replace("z = [-300, 800]", f"z = [{-300 - rise:g}, {800 - rise:g}]")
    again = planned(helped.replace("closed = true", "closed = false").replace('seam = "auto"', ""))
    assert again["pieces"][0]["feasible"] is True


def test_a_bare_bender_is_worked_in_the_order_of_the_drawing_and_says_so() -> None:
    bare = "\n".join(
        line
        for line in CONTRACT.splitlines()
        if not line.startswith(
            ("die =", "hook =", "follower =", "arm =", "plate =", "needs =", "vise =", "bench =", "floor", "bodies")
        )
        and not line.startswith(("[mounting", 'bender = "lever"'))
    )
    document = planned(bare.replace("closed = true", 'closed = true\nbender = "lever"'))
    piece = document["pieces"][0]
    assert [step["bend"] for step in piece["steps"]] == [1, 2, 3, 4]
    assert {step["held"] for step in piece["steps"]} == {"A"}
    assert all(step["clearance_mm"] is None for step in piece["steps"])
    assert "order-unchecked" in codes(document)


def test_a_piece_that_cannot_go_round_the_die_is_not_said_to_be_unchecked() -> None:
    document = planned(CONTRACT.replace("radius = 36", "radius = 5"), 1)
    assert "radius-inside-bar" in codes(document)
    assert "order-unchecked" not in codes(document), "the sizes of the bender are given"


def test_more_bends_than_can_be_weighed_up_end_with_the_best_found() -> None:
    points = [[0, 0, 0]]
    for number in range(23):
        x, y, z = points[-1]
        points.append([x + 150, y, z] if number % 2 == 0 else [x, y + (150 if number % 4 == 1 else -150), z])
    text = CONTRACT.split("[piece.loop]")[0].replace("bar_length = 3000", "bar_length = 30000")
    text += f'[piece.comb]\nstock = "rod"\nbender = "lever"\npoints = {points}\ntrim = 60\n'
    Path("job.toml").write_text(text, encoding="utf-8")
    done = run("plan", "job", "--json")
    piece = json.loads(done.stdout)["pieces"][0]
    assert len(piece["bends"]) == 22
    assert piece["order_proven"] is False
    if piece["feasible"]:
        assert sorted(step["bend"] for step in piece["steps"]) == list(range(1, 23))
        assert "order-unproven" in codes(json.loads(done.stdout))
    else:
        assert "hits-tool" in codes(json.loads(done.stdout))


def test_ctrl_c_asks_a_search_to_stop_and_the_second_ends_it() -> None:
    before = signal.getsignal(signal.SIGINT)
    with searching() as progress:
        assert progress(1, 10) is False
        signal.raise_signal(signal.SIGINT)
        assert progress(2, 10) is True
        with pytest.raises(KeyboardInterrupt):
            signal.raise_signal(signal.SIGINT)
    assert signal.getsignal(signal.SIGINT) is before


def test_a_search_that_is_stopped_gives_the_best_it_has() -> None:
    text = files("bentwork").joinpath("data", "crate-shelf.toml").read_text("utf-8")
    new = text.replace("trim = 15", "trim = 15.125")  # of a piece that was planned before the plan is known
    job = parse_job(new.encode(), "crate-shelf.toml")
    result = work(job, (), lambda done, of: True)
    order = result.pieces[0].order
    assert order is not None
    assert order.proven is False
    told = [finding.code for finding in result.findings if finding.piece == "loop"]
    assert "order-unproven" in told or "hits-tool" in told
