"""A fair sample of keys in bounded memory, the same one on every run: kept by their hash."""

import numpy as np
import numpy.typing as npt

Keys = npt.NDArray[np.uint64]
MOST = 1 << 16
"""Keys that are kept."""
ALL = 1 << 64


def mixed(keys: npt.NDArray[np.int64] | Keys) -> Keys:
    """Scatter whole numbers evenly over 64 bits, each to a number of its own.

    References
    ----------
    Steele, G. L., Lea, D. and Flood, C. H. (2014). Fast splittable pseudorandom number
    generators. *OOPSLA '14*, 453-472; the finaliser's constants from memory.

    Examples
    --------
    >>> len(set(mixed(np.arange(1000)).tolist()))
    1000
    """
    x = np.asarray(keys).astype(np.uint64) + np.uint64(0x9E3779B97F4A7C15)
    x = (x ^ (x >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
    x = (x ^ (x >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    return x ^ (x >> np.uint64(31))


class KeySample:
    """Counts by key for a share of all keys, which halves whenever there are too many.

    A key is kept if its hash is small, so a key that is kept is kept with all that it ever
    counts, and what several files hold of it comes together.

    Parameters
    ----------
    width : int
        Counts a key.
    most : int, optional
        Keys to keep.

    Attributes
    ----------
    counts : ndarray of int, shape (keys, width)
        Counts, one row a key that is kept.

    Examples
    --------
    >>> sample = KeySample(1)
    >>> sample.add(mixed(np.array([7, 7, 8])), np.ones((3, 1), dtype=np.int64)).tolist()
    [False, False, False]
    >>> sample.add(mixed(np.array([8])), np.ones((1, 1), dtype=np.int64)).tolist()
    [True]
    >>> sorted(sample.counts[:, 0].tolist())
    [2, 2]
    """

    def __init__(self, width: int, most: int = MOST) -> None:
        self.counts: npt.NDArray[np.int64] = np.zeros((0, width), dtype=np.int64)
        self._keys: Keys = np.zeros(0, dtype=np.uint64)
        self._most, self._limit = most, ALL

    @property
    def share(self) -> float:
        """Share of all keys that is kept."""
        return self._limit / ALL

    def add(self, keys: Keys, counts: npt.NDArray[np.int64]) -> npt.NDArray[np.bool_]:
        """Add counts to their keys, and tell which keys an earlier call had added to."""
        chosen = np.flatnonzero(keys <= np.uint64(self._limit - 1))
        once, place = np.unique(keys[chosen], return_inverse=True)
        sums = np.zeros((len(once), self.counts.shape[1]), dtype=np.int64)
        np.add.at(sums, place, counts[chosen])
        at = np.searchsorted(self._keys, once)
        had = np.searchsorted(self._keys, once, side="right") > at
        self.counts[at[had]] += sums[had]
        self._keys = np.insert(self._keys, at[~had], once[~had])
        if self.counts.shape[1]:
            self.counts = np.insert(self.counts, at[~had], sums[~had], axis=0)
        else:
            self.counts = np.zeros((len(self._keys), 0), dtype=np.int64)
        self._shrink()
        known = np.zeros(len(keys), dtype=bool)
        known[chosen] = had[place]
        return known

    def _shrink(self) -> None:
        while len(self._keys) > self._most:
            self._limit //= 2
            kept = int(np.searchsorted(self._keys, np.uint64(self._limit)))
            self._keys, self.counts = self._keys[:kept], self.counts[:kept]
