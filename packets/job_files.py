"""A job and the files it names, read from inside the shop's folder and nowhere else."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from packets import sources, validation
from packets.building import build
from packets.findings import Findings, Place, suggest
from packets.model.equipment import Equipment
from packets.model.job import Job
from packets.model.kit import Kit
from packets.sources import Document

SHOP_FILE = "packets.yaml"


@dataclass(frozen=True)
class JobFiles:
    """A job with its equipment record and kit, and the documents they came from."""

    job: Job
    equipment: Equipment
    kit: Kit
    documents: dict[str, Document]
    root: Path
    texts: dict[str, bytes]
    paths: frozenset[Path]
    procedures: Path | None = None

    def place(self, kind: str, *path: str | int) -> Place:
        """Place of something in one of the three files."""
        return self.documents[kind].place(*path)


def shop_root(start: Path) -> Path:
    """The nearest parent folder with a packets.yaml, else the job's own folder."""
    for folder in (start, *start.parents):
        if is_file(folder / SHOP_FILE):
            return folder
    return start


def load(path: Path, findings: Findings) -> JobFiles | None:
    """Read a job and what it names. None when a file cannot be used; all problems are found."""
    shown = str(path)
    if not is_file(path):
        jobs = _is_folder(path) and path / "job.yaml"
        findings.error(
            "file-missing",
            Place(shown),
            "this is a folder, not a job's file" if jobs else "no such file",
            (f"name {jobs}" if is_file(jobs) else "name the job's file in it, such as job.yaml")
            if jobs
            else _near(path),
        )
        return None
    folder = path.resolve().parent
    reader = _Reader(shop_root(folder), folder, Path(shown).parent, findings)
    job_data = reader.read(path.resolve(), shown, "job")
    procedures = reader.shop()
    raw = reader.raw.get("job")
    equipment_data = reader.named(raw, "equipment")
    kit_data = reader.named(raw, "kit")
    if job_data is None or equipment_data is None or kit_data is None or findings.stop:
        return None
    files = JobFiles(
        build(Job, job_data),
        build(Equipment, equipment_data),
        build(Kit, kit_data),
        reader.documents,
        reader.root,
        reader.texts,
        frozenset(reader.paths),
        procedures,
    )
    _circuits(files, findings)
    return None if findings.stop else files


def shop_procedures(start: Path, findings: Findings) -> Path | None:
    """The procedures folder that the packets.yaml over `start` names, if there is one."""
    return _Reader(shop_root(start), start, start, findings).shop()


def is_file(path: Path) -> bool:
    """Whether a path names a file that may be looked at; a path nobody can have is none."""
    try:
        return path.is_file()
    except (OSError, ValueError):
        return False


def _is_folder(path: Path) -> bool:
    try:
        return path.is_dir()
    except (OSError, ValueError):
        return False


def _near(path: Path) -> str:
    folder = path.parent
    try:
        if not folder.is_dir():
            return f"there is no folder {folder}"
        return suggest(path.name, [item.name for item in folder.glob("*.yaml")])
    except (OSError, ValueError):
        return "check the name and rights"


@dataclass
class _Reader:
    root: Path
    folder: Path
    shown: Path
    findings: Findings

    def __post_init__(self) -> None:
        self.documents: dict[str, Document] = {}
        self.raw: dict[str, Any] = {}
        self.texts: dict[str, bytes] = {}
        self.paths: set[Path] = set()

    def read(self, path: Path, shown: str, kind: str) -> Any:
        document = sources.read(path, shown, self.findings)
        if document is None:
            return None
        self.documents[kind] = document
        self.paths.add(path.resolve())
        self.raw[kind] = document.data
        data = validation.validate(document, kind, self.findings)
        if data is None:
            return None
        name = path.name if path.name not in self.texts else f"{kind}-{path.name}"
        self.texts[name] = path.read_bytes()
        data.pop("format")
        return data

    def named(self, job: Any, kind: str) -> Any:
        """The file that the job names under `kind`; read even when the job itself is wrong."""
        name = job.get(kind) if isinstance(job, dict) else None
        if not isinstance(name, str):
            return None
        place = self.documents["job"].place(kind)
        if not name.endswith(".yaml"):
            self.findings.error(
                "reference", place, f"{name!r} is no file name", "name a file that ends in .yaml"
            )
            return None
        path = inside(self.root, self.folder, name)
        if path is None:
            self.findings.error(
                "reference-outside",
                place,
                f"{name!r} leads out of the shop's folder",
                f"keep the file below the folder with {SHOP_FILE}, or beside the job",
            )
            return None
        if not is_file(path):
            self.findings.error(
                "file-missing", place, f"{name!r} is not there", _near(self.folder / name)
            )
            return None
        return self.read(path, str(self.shown / name), kind)

    def shop(self) -> Path | None:
        """The shop's own procedures folder, if its packets.yaml names one."""
        path = self.root / SHOP_FILE
        if not path.is_file():
            return None
        data = self.read(path, SHOP_FILE, "shop")
        if data is None or "procedures" not in data:
            return None
        folder = inside(self.root, self.root, data["procedures"])
        if folder is None or not folder.is_dir():
            self.findings.error(
                "reference",
                self.documents["shop"].place("procedures"),
                f"{data['procedures']!r} is no folder of the shop",
                "name a folder below this file",
            )
            return None
        return folder


def inside(root: Path, folder: Path, name: str) -> Path | None:
    """`name` seen from `folder`, links followed; None when that leads out of `root`."""
    if "\0" in name:
        return None
    try:
        path = (folder / name).resolve()
        return path if path.is_relative_to(root.resolve()) else None
    except (OSError, RuntimeError):
        return None


def _circuits(files: JobFiles, findings: Findings) -> None:
    """The circuits that the job speaks of are those of the machine, with a state for each."""
    known = files.equipment.circuits
    named: list[tuple[str, Iterable[str], tuple[str, ...]]] = [
        ("work", files.job.work, ("work",)),
        ("now", files.job.now.circuits, ("now", "circuits")),
        ("joints", files.job.joints, ("joints",)),
        ("parts", files.job.parts, ("parts",)),
    ]
    for _, circuits, path in named:
        for circuit in circuits:
            if circuit not in known:
                findings.error(
                    "unknown-circuit",
                    files.documents["job"].key_place(*path, circuit),
                    f"the machine has no circuit {circuit!r}",
                    suggest(circuit, known),
                )
    for circuit in files.job.work:
        if circuit in known and circuit not in files.job.now.circuits:
            findings.error(
                "missing-key",
                files.place("job", "now", "circuits"),
                f"the state of circuit {circuit!r} is missing",
                f"add now.circuits.{circuit}",
            )
