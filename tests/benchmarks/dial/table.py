"""What was played, told as tables: means, intervals, paired ratios."""

from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise

import numpy as np

from dial.play import BAD, Played
from dial.world import CLOSE

RESAMPLED = 2000
Rows = Sequence[Played]


def means_table(by_peer: Mapping[str, Rows], changes: Mapping[str, bool]) -> list[str]:
    """Return one row a peer over all kinds of world."""
    lines = [
        "| peer | one change | mean brews [95 %] | median | by 1 | by 3 | by 5 | by 8 | best right"
        " after 5 | after 8 | regret of best after 8 | regret a brew | bad cups in 8 |"
        " false dialled in | said it |",
        "|---|---|---|---|---|---|---|---|---|---|---|---|---|---|---|",
    ]
    for peer, rows in by_peer.items():
        brews = np.array([row.brews for row in rows], dtype=float)
        low, high = interval(brews)
        cells = [
            peer,
            "yes" if changes.get(peer) else "no",
            f"{brews.mean():.2f} [{low:.2f}, {high:.2f}]",
            f"{np.median(brews):.0f}",
            *(f"{(brews <= count).mean():.0%}" for count in (1, 3, 5, 8)),
        ]
        lines.append(_line([*cells, *_further(rows)]))
    return lines


def _further(rows: Rows) -> list[str]:
    if not any(row.regrets for row in rows):
        return ["–"] * 7
    false, said = false_dialled_in(rows)
    return [
        _share(row.best_regrets[4] <= CLOSE for row in rows if len(row.best_regrets) > 4),
        _share(row.best_regrets[7] <= CLOSE for row in rows if len(row.best_regrets) > 7),
        f"{_mean(row.best_regrets[7] for row in rows if len(row.best_regrets) > 7):.2f}",
        f"{_mean(regret for row in rows for regret in row.regrets):.2f}",
        f"{_mean(bad_cups(row) for row in rows):.2f}",
        "–" if not said else f"{false / said:.0%} of {said}",
        _share(any(status == "dialled in" for status in row.statuses) for row in rows),
    ]


def kinds_table(by_peer: Mapping[str, Rows]) -> list[str]:
    """Return the mean brews of each peer on each kind of world."""
    peers = list(by_peer)
    kinds = sorted({row.kind for rows in by_peer.values() for row in rows})
    lines = [_line(["kind of world", "worlds", *peers]), _line(["---"] * (len(peers) + 2))]
    for kind in kinds:
        of_kind = {p: [row for row in by_peer[p] if row.kind == kind] for p in peers}
        cells = [f"{_mean(row.brews for row in of_kind[p]):.2f}" for p in peers]
        lines.append(_line([kind, str(max(len(r) for r in of_kind.values())), *cells]))
    return lines


def kind_details(rows: Rows) -> list[str]:
    """Return all figures of one peer on each kind of world."""
    lines = [
        "| kind of world | mean | median | by 3 | by 5 | by 8 | best right after 5 | after 8 |"
        " regret of best after 8 | regret a brew | bad cups in 8 | false dialled in | said it |",
        "|---|---|---|---|---|---|---|---|---|---|---|---|---|",
    ]
    for kind in sorted({row.kind for row in rows}):
        some = [row for row in rows if row.kind == kind]
        brews = np.array([row.brews for row in some], dtype=float)
        shares = [f"{(brews <= count).mean():.0%}" for count in (3, 5, 8)]
        cells = [kind, f"{brews.mean():.2f}", f"{np.median(brews):.0f}", *shares, *_further(some)]
        lines.append(_line(cells))
    return lines


def ratios_table(by_peer: Mapping[str, Rows], judged: str) -> list[str]:
    """Return mean brews of one peer over each other's on the same worlds, with 95 % intervals."""
    lines = [_line([f"{judged} over", "ratio of mean brews", "95 %"]), "|---|---|---|"]
    ours = {row.world: row.brews for row in by_peer[judged]}
    for peer, rows in by_peer.items():
        if peer == judged:
            continue
        pairs = [(ours[row.world], row.brews) for row in rows if row.world in ours]
        ratio, low, high = paired_ratio(np.array(pairs, dtype=float))
        lines.append(_line([peer, f"{ratio:.3f}", f"[{low:.3f}, {high:.3f}]"]))
    return lines


def bands_table(by_peer: Mapping[str, Rows]) -> list[str]:
    """Return how often 80 % bands held."""
    lines = [_line(["peer", "time", "strength", "liking", "marks"]), "|---|---|---|---|---|"]
    for peer, rows in by_peer.items():
        if not any(row.inside for row in rows):
            continue
        cells = [peer]
        for name in ("time_s", "strength_pct", "liking", "marks"):
            counts = [row.inside[name] for row in rows if name in row.inside]
            held, given = sum(one[0] for one in counts), sum(one[1] for one in counts)
            cells.append(f"{held / given:.1%} of {given}" if given else "–")
        lines.append(_line(cells))
    return lines


def confidence_table(by_peer: Mapping[str, Rows]) -> list[str]:
    """Return how often the own best was right at each stated confidence, over all brews."""
    edges = (0.0, 0.2, 0.4, 0.6, 0.8, 1.0001)
    lines = [_line(["peer", *(f"said {a:.0%} to {b:.0%}" for a, b in pairwise(edges))])]
    lines.append(_line(["---"] * len(edges)))
    for peer, rows in by_peer.items():
        told = [
            (said, regret <= CLOSE)
            for row in rows
            for said, regret in zip(row.confidences, row.best_regrets, strict=True)
            if said is not None
        ]
        if told:
            bins = [[right for said, right in told if a <= said < b] for a, b in pairwise(edges)]
            lines.append(_line([peer, *(f"{_share(one)} of {len(one)}" for one in bins)]))
    return lines


def most_table(times_s: Mapping[str, Sequence[float]]) -> list[str]:
    """Return how long each peer thinks with as much to read as it may be given, ms."""
    lines = [_line(["peer", "median ms", "longest ms"]), "|---|---|---|"]
    for peer, times in times_s.items():
        shown = f"{np.median(times) * 1e3:.0f}", f"{max(times) * 1e3:.0f}"
        lines.append(_line([peer, *shown]))
    return lines


def think_table(by_peer: Mapping[str, Rows]) -> list[str]:
    """Return how long each peer thought about an answer, ms."""
    lines = [
        _line(["peer", "median ms", "95 % ms", "longest ms", "at the last brew, longest ms"]),
        "|---|---|---|---|---|",
    ]
    for peer, rows in by_peer.items():
        times = np.array([one for row in rows for one in row.think_s]) * 1e3
        if len(times) == 0:
            continue
        last = max(row.think_s[-1] for row in rows) * 1e3
        cells = [np.median(times), np.quantile(times, 0.95), times.max(), last]
        lines.append(_line([peer, *(f"{one:.1f}" for one in cells)]))
    return lines


def bags_table(by_peer: Mapping[str, Sequence[Rows]], against: str) -> list[str]:
    """Return the mean brews on each of five bags, and bags 4 and 5 against another peer's."""
    lines = [
        _line(["peer", *(f"bag {n}" for n in range(1, 6)), "bags 4 and 5", "ratio [95 %]"]),
        _line(["---"] * 8),
    ]
    theirs = np.array([[bag.brews for bag in bags] for bags in by_peer[against]], dtype=float)
    for peer, people in by_peer.items():
        ours = np.array([[bag.brews for bag in bags] for bags in people], dtype=float)
        late = np.stack([ours[:, 3:].mean(axis=1), theirs[:, 3:].mean(axis=1)], axis=1)
        ratio, low, high = paired_ratio(late)
        cells = [peer, *(f"{one:.2f}" for one in ours.mean(axis=0))]
        told = f"{ratio:.3f} [{low:.3f}, {high:.3f}]"
        lines.append(_line([*cells, f"{late[:, 0].mean():.2f}", told]))
    return lines


def bad_cups(row: Played) -> int:
    """Return how many of the first 8 cups lay 2 points or more below the best."""
    return sum(regret >= BAD for regret in row.regrets[:8])


def false_dialled_in(rows: Rows) -> tuple[int, int]:
    """Return how often "dialled in" was said first while the own best was not, and how often said.

    The first saying of each world counts, since a person stops there.
    """
    false = said = 0
    for row in rows:
        at = next((i for i, one in enumerate(row.statuses) if one == "dialled in"), None)
        if at is not None:
            said += 1
            false += row.best_regrets[at] > CLOSE
    return false, said


def interval(values: np.ndarray) -> tuple[float, float]:
    """Return the bootstrap 95 % interval of a mean."""
    rng = np.random.default_rng(1)
    drawn = values[rng.integers(0, len(values), (RESAMPLED, len(values)))].mean(axis=1)
    return float(np.quantile(drawn, 0.025)), float(np.quantile(drawn, 0.975))


def paired_ratio(pairs: np.ndarray) -> tuple[float, float, float]:
    """Return the ratio of means of pairs, shape (n, 2), and its bootstrap 95 % interval."""
    rng = np.random.default_rng(2)
    drawn = pairs[rng.integers(0, len(pairs), (RESAMPLED, len(pairs)))].mean(axis=1)
    ratios = drawn[:, 0] / drawn[:, 1]
    ratio = pairs[:, 0].mean() / pairs[:, 1].mean()
    return float(ratio), float(np.quantile(ratios, 0.025)), float(np.quantile(ratios, 0.975))


def _mean(values: Iterable[float]) -> float:
    given = list(values)
    return float(np.mean(given)) if given else float("nan")


def _share(values: Iterable[bool]) -> str:
    given = list(values)
    return f"{np.mean(given):.0%}" if given else "–"


def _line(cells: Sequence[str]) -> str:
    return "| " + " | ".join(cells) + " |"
