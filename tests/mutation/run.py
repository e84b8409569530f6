"""Change one thing in a module and see whether its own tests notice.

    nice -n 19 python tests/mutation/run.py MINUTES [PART ...]

Mutants are made by cosmic-ray, in a copy of the tree, and judged by the test file of the
module's name and by its own examples. A survivor is a line that no test holds.
Only rooms that touch no files are mutated: elsewhere a mutant might write anywhere.
"""

import argparse
import ast
import os
import random
import re
import resource
import shutil
import signal
import sys
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple

ROOT = Path(__file__).parents[2]
ROOMS = ("stats", "decide")
KEPT_OUT = ("VariableReplacer", "VariableInserter", "RemoveDecorator")
NEAREST = {
    "Lt_LtE", "LtE_Lt", "Gt_GtE", "GtE_Gt", "Eq_GtE", "Eq_LtE", "NotEq_Gt", "NotEq_Lt",
    "Add_Sub", "Sub_Add", "Mul_Div", "Div_Mul", "Pow_Mul", "USub_UAdd",
}  # fmt: skip
OPTIONS = ["-p", "no:cacheprovider", "-W", "ignore:Module already imported"]
LONGEST, MOST_MEMORY = 40.0, 6 << 30
KILLED, SURVIVED, TIMED_OUT = "killed", "survived", "timed out"


class Mutant(NamedTuple):
    """One change of one place."""

    operator: str
    occurrence: int
    start: tuple[int, int]
    end: tuple[int, int]


def main() -> int:
    """Mutate until the time is over and print a table of what was noticed."""
    asked = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    asked.add_argument("minutes", type=float)
    asked.add_argument("parts", nargs="*", default=[""], metavar="PART")
    asked.add_argument("--seed", type=int, default=0)
    given = asked.parse_intermixed_args()
    end = time.monotonic() + 60 * given.minutes
    with TemporaryDirectory() as folder:
        stand_in_a_copy(Path(folder))
        tested = tested_modules()
        modules = [path for part in given.parts for path in tested if part in str(path)]
        print("| module | mutants | tried | killed | survived | timed out |")
        print("|---|---|---|---|---|---|")
        survivors = []
        for left, module in zip(range(len(modules), 0, -1), modules, strict=True):
            seconds = (end - time.monotonic()) / left
            survivors += judged(module, given.seed, seconds)
        print("\n".join(["", *survivors]))
    return 1 if survivors else 0


def stand_in_a_copy(folder: Path) -> None:
    """Copy the tree, go there, and import what every test needs, once for all mutants."""
    for name in ("winrate_tools", "tests", "sample_data", "reports"):
        shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("*.pyc"))
    for name in ("README.md", "DEVELOPERS.md", "pyproject.toml"):
        shutil.copy(ROOT / name, folder)
    os.chdir(folder)
    sys.path.insert(0, str(folder))
    sys.dont_write_bytecode = True
    os.environ |= {"OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}
    for library in ("numpy", "pandas", "pyarrow", "pytest", "scipy.optimize", "scipy.stats"):
        __import__(library)
    import hypothesis

    once = (hypothesis.Phase.explicit, hypothesis.Phase.generate)  # a failure needs no smaller
    hypothesis.settings.register_profile("once", phases=once)
    hypothesis.settings.load_profile("once")


def tested_modules() -> list[Path]:
    found = (path for room in ROOMS for path in Path("winrate_tools", room).rglob("*.py"))
    return sorted(path for path in found if tests_for(path).exists())


def tests_for(module: Path) -> Path:
    return Path("tests", *module.parts[1:-1], f"test_{module.name}")


def judged(module: Path, seed: int, seconds: float) -> list[str]:
    """Try mutants of a module, at least one, in an order by chance until the time is over."""
    whole = module.read_text(encoding="utf-8")
    mutants = mutants_of(whole)
    random.Random(f"{seed} {module}").shuffle(mutants)
    began = time.monotonic()
    if outcome_of(module, LONGEST * 4) != SURVIVED:
        print(f"| {module} | its own tests fail |", flush=True)
        return [f"{module}: its own tests fail as it stands"]
    limit = min(LONGEST, 5 + 4 * (time.monotonic() - began))
    counts: Counter[str] = Counter()
    survivors = []
    for mutant in mutants:
        if counts and time.monotonic() - began > seconds:
            break
        changed = mutated(whole, mutant)
        module.write_text(changed, encoding="utf-8")
        outcome = outcome_of(module, limit)
        counts[outcome] += 1
        if outcome == SURVIVED:
            survivors.append(f"{module}:{mutant.start[0]}: {difference(whole, changed)}")
    module.write_text(whole, encoding="utf-8")
    told = [
        len(mutants),
        counts.total(),
        *(counts[one] for one in (KILLED, SURVIVED, TIMED_OUT)),
    ]
    print(
        f"| {module.relative_to('winrate_tools')} | {' | '.join(map(str, told))} |", flush=True
    )
    return survivors


def mutants_of(code: str) -> list[Mutant]:
    """List one mutant for every place and kind of change, the nearest where there is one."""
    import cosmic_ray.plugins

    idle = list(idle_places(code))
    chosen: dict[tuple[object, ...], Mutant] = {}
    for operator in sorted(cosmic_ray.plugins.operator_names()):
        kind, _, change = operator.partition("/")[2].partition("_")
        if kind in KEPT_OUT:
            continue
        for mutant in places(code, operator):
            key = (kind, change == "" and mutant.occurrence, mutant.start, mutant.end)
            if not within(mutant, idle) and (key not in chosen or change in NEAREST):
                chosen[key] = mutant
    return list(chosen.values())


def places(code: str, operator: str) -> Iterator[Mutant]:
    import cosmic_ray.plugins
    from cosmic_ray.ast import ast_nodes, get_ast

    change = cosmic_ray.plugins.get_operator(operator)()
    found = (at for node in ast_nodes(get_ast(code)) for at in change.mutation_positions(node))
    for occurrence, (start, end) in enumerate(found):
        yield Mutant(operator, occurrence, start, end)


def idle_places(code: str) -> Iterator[tuple[tuple[int, int], tuple[int, int]]]:
    """Find what only a type checker reads, decorators, and stars that end an argument list."""
    for node in ast.walk(ast.parse(code)):
        kinds = [getattr(node, "annotation", None), getattr(node, "returns", None)]
        is_guard = isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING"
        wrappers = getattr(node, "decorator_list", [])
        for kind in [*kinds, *wrappers, node if is_guard else None]:
            if kind is not None:
                yield (kind.lineno, kind.col_offset), (kind.end_lineno, kind.end_col_offset)
    for line, text in enumerate(code.splitlines(), 1):
        for star in re.finditer(r"\*(?=,)", text):
            yield (line, star.start()), (line, star.end())


def within(mutant: Mutant, spans: list[tuple[tuple[int, int], tuple[int, int]]]) -> bool:
    return any(start <= mutant.start and mutant.end <= end for start, end in spans)


def mutated(code: str, mutant: Mutant) -> str:
    import cosmic_ray.plugins
    from cosmic_ray.mutating import mutate_code

    operator = cosmic_ray.plugins.get_operator(mutant.operator)()
    return mutate_code(code, operator, mutant.occurrence)


def difference(whole: str, changed: str) -> str:
    pairs = zip(whole.splitlines(), changed.splitlines(), strict=False)
    before, after = next(((a, b) for a, b in pairs if a != b), ("", "?"))
    return f"{before.strip()}  ->  {re.sub(' +', ' ', after.strip())}"


def outcome_of(module: Path, limit: float) -> str:
    """Run the tests of a module in a process of their own."""
    child = os.fork()
    if child == 0:
        tested_and_gone(module, limit)
    end = time.monotonic() + 4 * limit
    while time.monotonic() < end:
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            return outcome(os.waitstatus_to_exitcode(status))
        time.sleep(0.02)
    os.killpg(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return TIMED_OUT


def outcome(code: int) -> str:
    if code == -signal.SIGXCPU:
        return TIMED_OUT
    return SURVIVED if code == 0 else KILLED


def tested_and_gone(module: Path, limit: float) -> None:
    """Run the tests of a module, at most so many seconds of the processor, and leave."""
    import pytest

    code = 1
    try:
        os.setsid()
        silence = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1, 2):
            os.dup2(silence, stream)
        resource.setrlimit(resource.RLIMIT_CPU, (int(limit), int(limit) + 2))
        resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))
        files = [str(module), str(tests_for(module))]  # examples are quick, and notice much
        code = int(pytest.main(["-x", *OPTIONS, *files]))
    finally:
        os._exit(code)


if __name__ == "__main__":
    sys.exit(main())
