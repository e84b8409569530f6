"""Samples of keys in bounded memory."""

import numpy as np

from winrate_tools.ingest.logs.key_sample import KeySample, mixed


def test_mixing_keeps_numbers_apart_and_spreads_them_evenly():
    keys = mixed(np.arange(100_000))

    assert len(np.unique(keys)) == 100_000
    share = np.mean(keys < np.uint64(1 << 62))
    assert abs(share - 0.25) < 4 * (0.25 * 0.75 / 100_000) ** 0.5
    bits = [np.mean(keys >> np.uint64(bit) & np.uint64(1)) for bit in range(64)]
    assert np.abs(np.array(bits) - 0.5).max() < 5 * 0.5 / 100_000**0.5


def test_a_sample_that_holds_all_keys_counts_them_all():
    sample = KeySample(2)
    rng = np.random.default_rng(1)
    numbers, counts = rng.integers(0, 50, 1000), rng.integers(0, 9, (1000, 2))
    for start in range(0, 1000, 100):
        sample.add(mixed(numbers[start : start + 100]), counts[start : start + 100])

    wanted = [counts[numbers == number].sum(axis=0).tolist() for number in range(50)]
    assert sorted(sample.counts.tolist()) == sorted(wanted)
    assert sample.share == 1


def test_a_full_sample_keeps_whole_keys_and_forgets_evenly():
    sample = KeySample(1, most=500)
    numbers = np.repeat(np.arange(20_000), 3)
    for part in np.array_split(np.random.default_rng(2).permutation(numbers), 20):
        sample.add(mixed(part), np.ones((len(part), 1), dtype=np.int64))

    kept = len(sample.counts)
    assert 0 < kept <= 500
    assert (sample.counts == 3).all()
    assert abs(kept - 20_000 * sample.share) < 4 * (20_000 * sample.share) ** 0.5


def test_keys_of_earlier_calls_are_known():
    sample = KeySample(0)
    nothing = np.empty((2, 0), dtype=np.int64)
    first = sample.add(mixed(np.array([1, 2])), nothing)
    second = sample.add(mixed(np.array([2, 3])), nothing)

    assert first.tolist() == [False, False]
    assert second.tolist() == [True, False]
    assert sample.counts.shape == (3, 0)
