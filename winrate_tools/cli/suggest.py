"""One near miss, offered and never taken."""

from collections.abc import Iterable
from difflib import get_close_matches
from errno import ELOOP
from pathlib import Path, PurePath


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """Offer the nearest known word as the end of a message, "" where nothing is near.

    Examples
    --------
    >>> did_you_mean("marign", ["baseline", "margin"])
    "; did you mean 'margin'?"
    >>> did_you_mean("colour", ["baseline", "margin"])
    ''
    """
    near = get_close_matches(word, list(known), n=1)
    return f"; did you mean {near[0]!r}?" if near else ""


def did_you_mean_file(name: str, known: Iterable[str]) -> str:
    """Offer the nearest other file, near by more than the ending that many files share.

    Examples
    --------
    >>> did_you_mean_file("crads.csv", ["cards.csv", "ro2.csv"])
    "; did you mean 'cards.csv'?"
    >>> did_you_mean_file("broken.csv", ["ro2.csv"])
    ''
    """
    names = [each for each in known if each != name]
    stems = sorted({PurePath(each).stem for each in names})
    near = get_close_matches(PurePath(name).stem, stems, n=max(len(stems), 1))
    return did_you_mean(name, [each for each in names if PurePath(each).stem in near])


def astray(path: Path) -> str:
    """Say where a link leads that leads to no file, "" for anything else.

    Examples
    --------
    >>> astray(Path("cards.csv"))
    ''
    """
    if not path.is_symlink():
        return ""
    try:
        path.stat()
    except FileNotFoundError:
        return f"it is a link to {str(path.readlink())!r}, and nothing is there"
    except OSError as error:
        return "it is a link that leads to itself" if error.errno == ELOOP else ""
    return ""
