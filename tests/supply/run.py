"""What users get: the archives that are built, a clean install, and the oldest requirements.

    python tests/supply/run.py [archives] [install] [floors]

Needs Python 3.11, the oldest that is supported, and a network; works in temporary folders.
"""

import os
import re
import shutil
import subprocess
import sys
import tomllib
import venv
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
BUILDERS = PROJECT["build-system"]["requires"]
SOURCE = (
    *PROJECT["tool"]["hatch"]["build"]["targets"]["sdist"]["only-include"],
    "pyproject.toml",
)
TESTERS = ("duckdb", "hypothesis", "markdown-it-py", "polars", "pytest", "pytest-xdist",
           "python-calamine", "statsmodels")  # fmt: skip
TESTED = (
    "tests/stats/records", "tests/stats/crossed", "tests/stats/cards", "tests/ingest/cells",
    "tests/ingest/tables", "tests/ingest/text", "tests/report/cards", "tests/test_kept.py",
    "tests/test_ranking.py", "winrate_tools",
)  # fmt: skip
"""The tests to run with the oldest requirements, the kept reports to the byte among them."""
TREES = (("one", 0o022), ("two", 0o077))
"""Folders to build in, and which permissions their files lack."""
OTHER_DAY = 1_000_000_000
QUIET = {"PIP_DISABLE_PIP_VERSION_CHECK": "1", "PIP_ROOT_USER_ACTION": "ignore"}


def main() -> None:
    """Carry out the steps that are asked for, all of them if none is."""
    asked = sys.argv[1:] or ["archives", "install", "floors"]
    if sys.version_info[:2] != (3, 11):
        sys.exit(f"Python 3.11 is wanted, this is {sys.version.split()[0]}")
    with TemporaryDirectory() as folder:
        wheel = built_twice(Path(folder))
        if "install" in asked:
            install(Path(folder), wheel)
        if "floors" in asked:
            floors(Path(folder), wheel)


def run(*command: object, at: Path, modules: Path | None = None) -> None:
    """Run a program in a folder, its words shown; what it cannot do ends everything."""
    print("$", *command, flush=True)
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    found = {} if modules is None else {"PYTHONPATH": str(modules)}
    words = [str(one) for one in command]
    if subprocess.run(words, cwd=at, env=kept | QUIET | found, check=False).returncode:
        sys.exit(f"failed: {' '.join(words)}")


def environment(folder: Path, *wanted: str) -> Path:
    """Make a virtual environment with some packages, and return its programs."""
    venv.create(folder, symlinks=True)
    pip = (sys.executable, "-m", "pip", "--python", folder / "bin" / "python")
    run(*pip, "install", "-q", *wanted, at=folder)
    return folder / "bin"


def built_twice(folder: Path) -> Path:
    """Build the archives in two places on two days, and once more from the source archive."""
    tools = folder / "tools"
    run(sys.executable, "-m", "pip", "install", "-q", "--target", tools, *BUILDERS, at=folder)
    first, second = (tree_built(folder / name, tools, masked=masked) for name, masked in TREES)
    demand_same(first, second)
    source = next(first.glob("*.tar.gz"))
    shutil.unpack_archive(source, folder / "unpacked")
    again = folder / "unpacked" / source.name.removesuffix(".tar.gz")
    wheel = next(first.glob("*.whl"))
    if (built(again, tools, "-t", "wheel") / wheel.name).read_bytes() != wheel.read_bytes():
        sys.exit(f"{source.name} builds another wheel than the tree that it was built from")
    return wheel


def tree_built(place: Path, tools: Path, *, masked: int) -> Path:
    """Build both archives from a copy of the tree, of other days and other permissions."""
    for name in SOURCE:
        copied(ROOT / name, place / name)
    for path in place.rglob("*"):
        path.chmod(path.stat().st_mode & ~masked)
        os.utime(path, (OTHER_DAY - masked, OTHER_DAY - masked))
    return built(place, tools)


def built(place: Path, tools: Path, *options: str) -> Path:
    command = (sys.executable, "-m", "hatchling", "build", "-d", "dist", *options)
    run(*command, at=place, modules=tools)
    return place / "dist"


def copied(source: Path, target: Path) -> None:
    target.parent.mkdir(parents=True, exist_ok=True)
    if source.is_dir():
        shutil.copytree(source, target, ignore=shutil.ignore_patterns("__pycache__", "found"))
    else:
        shutil.copy(source, target)


def demand_same(first: Path, second: Path) -> None:
    """Two folders hold the same files, to the byte."""
    contents = [
        {path.name: path.read_bytes() for path in at.iterdir()} for at in (first, second)
    ]
    differing = sorted(
        name for name in contents[0].keys() | contents[1].keys()
        if contents[0].get(name) != contents[1].get(name)
    )  # fmt: skip
    if differing or len(contents[0]) != 2:
        sys.exit(f"built twice, {', '.join(differing) or 'not two archives'} differ")
    for name, data in sorted(contents[0].items()):
        print(f"{name}: {len(data)} bytes, the same twice", flush=True)


def install(folder: Path, wheel: Path) -> None:
    """Install the wheel where nothing of the tree is, and do the first job there."""
    use(environment(folder / "user", str(wheel)), folder / "elsewhere")


def floors(folder: Path, wheel: Path) -> None:
    """Install the oldest of everything that is required, do the job, and run tests with it."""
    oldest = folder / "oldest.txt"
    oldest.write_text("\n".join(oldest_versions()), encoding="utf-8")
    wanted = ("-c", str(oldest), f"{wheel}[{','.join(extras())}]", *TESTERS)
    programs = environment(folder / "oldest", *wanted)
    use(programs, folder / "long_ago")
    options = ("-n", "2", "-p", "no:cacheprovider")
    run(programs / "python", "-m", "pytest", *options, *TESTED, at=ROOT)


def extras() -> list[str]:
    return sorted(PROJECT["project"]["optional-dependencies"])


def oldest_versions() -> Iterator[str]:
    """Pin what is required, and what the extras require, to the oldest version allowed."""
    optional = PROJECT["project"]["optional-dependencies"].values()
    required = PROJECT["project"]["dependencies"]
    for requirement in [*required, *(one for extra in optional for one in extra)]:
        name, floor = re.fullmatch(r"([\w.-]+)>=([\d.]+)", requirement).groups()
        yield f"{name}=={floor}"


def use(programs: Path, place: Path) -> None:
    """Write the demo and a report on it in a folder of its own."""
    place.mkdir()
    program = programs / "winrate-tools"
    run(program, "demo", "fair", at=place)
    run(program, "report", "fair/cards.csv", "-o", "cuts.md", "--html", "cuts.html", at=place)
    if (place / "cuts.md").read_bytes() != (ROOT / "reports" / "cuts.md").read_bytes():
        sys.exit("the report on the demo is another than the one that is kept")
    if not (place / "cuts.html").read_bytes().rstrip().endswith(b"</html>"):
        sys.exit("the page of the demo does not end as a page does")


if __name__ == "__main__":
    main()
