"""What goes over the wire between page and server: shapes only. Lengths in mm, angles in degrees; keys say the unit."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

from bentwork.web.on_the_page import on_the_page

__all__ = [
    "Change",
    "Changes",
    "FaultOut",
    "Faults",
    "FindingOut",
    "JobOut",
    "JobRow",
    "MeshOut",
    "NewText",
    "PieceOut",
    "ReadoutOut",
    "RunOut",
    "SceneBodyOut",
    "StepOut",
    "UnitOut",
]

Vec = Annotated[list[float], Field(min_length=3, max_length=3)]


class Wire(BaseModel):
    """Keys are fixed, so that the page's types are."""

    model_config = ConfigDict(extra="forbid")


class FaultOut(Wire):
    """What is wrong in a file or a request."""

    says: str
    line: int | None = None
    key: str | None = None
    found: str | None = None
    wanted: str | None = None
    do: str | None = None


class FindingOut(Wire):
    """One thing there is to say about a job."""

    level: Literal["stop", "watch", "note"]
    code: str
    piece: str | None
    bend: int | None
    says: str
    why: str
    do: Annotated[str, AfterValidator(on_the_page)]
    corner: int | None = None
    at_mm: Vec | None = None


class Faults(Wire):
    """The answer where something is wrong.

    ``stale``: the file is another one by now, or a place of it; or a newer state is being worked out.
    """

    errors: list[FaultOut]
    findings: list[FindingOut] = []
    stale: Literal["file", "place", "overtaken"] | None = None


class BendOut(Wire):
    """One bend of a bend table."""

    number: int
    radius_mm: float
    angle_deg: float
    rotation_deg: float


class MarkOut(Wire):
    """The marks of one bend, on the straight bar from end A."""

    bend: int
    start_mm: float
    end_mm: float
    centre_mm: float
    from_last_mm: float | None
    direction_deg: float
    round_bar_mm: float | None


class StepOut(Wire):
    """One step at the bender."""

    step: int
    bend: int
    held: Literal["A", "B"]
    mounting: str | None
    mark_mm: float
    turn_deg: float
    bend_to_deg: float
    springback_deg: float
    bend_to_least_deg: float | None
    bend_to_most_deg: float | None
    lever_force_n: float | None
    moment_nm: float | None
    push_n: float | None
    stroke_mm: float | None
    clearance_mm: float | None
    nearest: str | None
    nearest_moving: str | None
    moving_clearance_mm: float | None


class BlockedOut(Wire):
    """Why a bend cannot be made in one way."""

    bend: int
    held: Literal["A", "B"]
    mounting: str | None
    body: str
    depth_mm: float
    when: str | None


class RemedyOut(Wire):
    """A change that gives an order."""

    kind: str
    value_mm: float | None
    says: str
    value_deg: float | None = None
    straight: int | None = None


class SourceOut(Wire):
    """Where the pull is known from."""

    source: str
    test_bends: int
    last_made_on: str | None
    says: str


class PieceOut(Wire):
    """What is known of one hand of a piece: the contract's ``pieces``."""

    name: str
    stock: str
    bender: str | None
    closed: bool
    count: int
    straights_mm: list[float]
    bends: list[BendOut]
    centreline_length_mm: float
    cut_length_mm: float
    mass_kg: float
    marks: list[MarkOut]
    feasible: bool
    reversals: int
    order_proven: bool | None
    steps: list[StepOut]
    blocked: list[BlockedOut]
    remedies: list[RemedyOut]
    springback_from: SourceOut | None
    opposite: PieceOut | None


class RunOut(Wire):
    """One straight (from 0) or bend (from 1) of a body, with the points of its middle."""

    kind: Literal["straight", "bend"]
    number: int
    points_mm: list[Vec]
    text: str


class CopyOut(Wire):
    """One of the equal bodies that stand in the frame."""

    name: str
    shift_mm: Vec


class SceneBodyOut(Wire):
    """One hand of one piece where it stands; ``mesh`` is the name of its triangles, empty where it has none."""

    name: str
    piece: str
    as_drawn: bool
    mesh: str
    runs: list[RunOut]
    copies: list[CopyOut]


class TrianglesOut(Wire):
    """Triangles: points and normals as 32-bit floats, three a point; indices as 32-bit whole numbers; base64.

    Of each point a byte: 1 on the inside of a bore or a hole, where little light comes.
    """

    points: str
    normals: str
    triangles: str
    inside: str


class MeshOut(TrianglesOut):
    """A body as it is seen at rest, and with fewer triangles, for pictures of what moves."""

    coarse: TrianglesOut


class JobRow(Wire):
    """One job in the list; ``faults`` where its file is wrong."""

    name: str
    title: str
    sum: str
    changed: float = Field(description="when the file was last written, seconds since 1970")
    pieces: int
    faults: int


class ReadoutOut(Wire):
    """What is told of a piece beside what is typed, in the maker's units; None where its corners do not fit."""

    piece: str
    cut_length: str | None
    mass: str | None
    bends: int
    points: list[int] = Field(description="number of the corner point of each bend; none for a bend table")


class UnitOut(Wire):
    """A unit that the job's masses or forces are shown in; ``size`` of one in kg or N."""

    name: str
    size: float


class JobOut(Wire):
    """Everything about a job at one moment.

    ``onto`` is the text that a change was made to, where that was not the one that the page saw.
    """

    name: str
    sum: str
    text: str
    title: str
    version: str
    units: Literal["mm", "in"]
    fraction: int
    mass: UnitOut
    force: UnitOut
    data: dict[str, Any] = Field(description="the tables of the file, as written")
    findings: list[FindingOut]
    pieces: list[PieceOut]
    scene: list[SceneBodyOut]
    left_out: list[str] = Field(description="what of the pieces the scene does not show, and what to do about it")
    readouts: list[ReadoutOut]
    took_ms: float
    finished: bool = Field(description="false: what the frame carries is still to be reckoned; ask for the job again")
    onto: str | None = None


class Change(Wire):
    """One thing to change: where, as keys and indices from the top of the file, and what shall stand there.

    ``remove`` takes out what stands there; ``insert`` puts the value before it, into a list; ``move`` gives it another
    index, the value. ``seen`` is the sum of the state that it was thought of in, where that is an older one.
    """

    path: list[str | int] = Field(min_length=1, max_length=12)
    value: Any = None
    how: Literal["insert", "move", "remove"] | None = None
    seen: str | None = None


class Changes(Wire):
    """Changes to the state of the file that the page saw; ``states`` are the texts of all that they were thought of in.

    With their texts a change goes through where another place was changed meanwhile; without, it is refused.
    """

    sum: str
    states: dict[str, str] = Field(default_factory=dict, max_length=40)
    changes: list[Change] = Field(min_length=1, max_length=200)


class NewText(Wire):
    """The whole text of a file; ``sum`` is that of the state it replaces, ``seen`` its text.

    With ``seen`` what another program wrote elsewhere stays; at the same place it is refused, unless ``mine_counts``.
    """

    sum: str
    text: str
    seen: str | None = None
    mine_counts: bool = False
