"""How many brews until dialled in: diallers on virtual coffees and people, all on the same ones.

Run: OMP_NUM_THREADS=1 PYTHONPATH=core:resources .venv/bin/python tests/benchmarks/dial_in.py
--worlds dev --count 140 --peers never,random,thumb,rules,learner --processes 2 --out DIR

Peers: clairvoyant (knows the hidden equations), never, random, thumb (rules of thumb), rules (the
rule set alone), tpe and gp (need optuna: see dial/samplers.py), learner (its function), door (the
learner as a program). `--bags N` plays five bags in a row for N people as well. Worlds are drawn
once and kept in a folder of the temporary directory, or that which DIAL_SHELF names.
"""

import argparse
import json
import multiprocessing
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from dial.learner import Door, Learner
from dial.peers import AtRandom, NeverChange, Peer
from dial.play import Played, play, play_bags, play_clairvoyant, time_at_most
from dial.population import SETS, pose, pose_bags
from dial.table import (
    bags_table,
    bands_table,
    confidence_table,
    kind_details,
    kinds_table,
    means_table,
    most_table,
    ratios_table,
    think_table,
)
from dial.thumb import Thumb


def _rules() -> Peer:
    from dial.ruleset import RuleSet

    return RuleSet()


def _sampler(kind: str) -> Peer:
    from dial.samplers import Sampler

    return Sampler(kind)


PEERS: dict[str, Callable[[], Peer]] = {
    "never": NeverChange,
    "random": AtRandom,
    "thumb": Thumb,
    "rules": _rules,
    "tpe": lambda: _sampler("tpe"),
    "gp": lambda: _sampler("gp"),
    "learner": Learner,
    "door": Door,
}
CLAIRVOYANT = "clairvoyant"
_made: dict[str, Peer] = {}


def main() -> None:
    """Play, and write what came of it."""
    args = _args()
    asked = args.peers.split(",")
    began = time.perf_counter()
    worlds = [(args.worlds, args.first + n, asked) for n in range(args.count)]
    people = [(args.worlds, args.first + n, asked) for n in range(args.bags)]
    with multiprocessing.get_context("spawn").Pool(args.processes) as pool:
        alone = _gathered(pool.imap(_one_world, worlds), "worlds", args.count)
        in_a_row = _gathered(pool.imap(_one_person, people), "people", args.bags)
    took_s = time.perf_counter() - began
    text = "\n".join(_report(args, alone, in_a_row, took_s))
    args.out.mkdir(parents=True, exist_ok=True)
    (args.out / "report.md").write_text(text + "\n", "utf-8")
    raw = {
        "worlds": {peer: [row.as_dict() for row in rows] for peer, rows in alone.items()},
        "bags": {
            peer: [[bag.as_dict() for bag in bags] for bags, _ in rows]
            for peer, rows in in_a_row.items()
        },
    }
    (args.out / "raw.json").write_text(json.dumps(raw), "utf-8")
    print(text)


def _args() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description="Diallers on virtual coffees and people.")
    parser.add_argument("--worlds", choices=sorted(SETS), default="dev")
    parser.add_argument("--first", type=int, default=0, help="the first world's number")
    parser.add_argument("--count", type=int, default=140)
    parser.add_argument("--bags", type=int, default=0, help="people with five bags each")
    parser.add_argument("--peers", default="clairvoyant,never,random,thumb,rules")
    parser.add_argument("--judged", default="learner", help="whose ratios are told")
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--out", type=Path, default=Path("dial-in"))
    return parser.parse_args()


def _one_world(task: tuple[str, int, list[str]]) -> dict[str, Played]:
    which, number, asked = task
    posed = pose(which, number)
    out = {}
    for name in asked:
        played = play_clairvoyant(posed) if name == CLAIRVOYANT else play(_peer(name), posed)[0]
        out[name] = played
    return out


def _one_person(task: tuple[str, int, list[str]]) -> dict[str, tuple[list[Played], float]]:
    which, number, asked = task
    bags = pose_bags(which, number)
    peers = {name: _peer(name) for name in asked if name != CLAIRVOYANT}
    return {name: (play_bags(peer, bags), time_at_most(peer, bags)) for name, peer in peers.items()}


def _peer(name: str) -> Peer:
    if name not in _made:
        _made[name] = PEERS[name]()
    return _made[name]


def _gathered(results: Any, what: str, count: int) -> dict[str, list[Any]]:
    out: dict[str, list[Any]] = {}
    for done, result in enumerate(results, start=1):
        for name, played in result.items():
            out.setdefault(name, []).append(played)
        if sys.stderr.isatty() or done % 20 == 0:
            print(f"{done} of {count} {what}", file=sys.stderr, flush=True)
    return out


def _report(
    args: argparse.Namespace,
    alone: dict[str, list[Played]],
    people: dict[str, list[tuple[list[Played], float]]],
    took_s: float,
) -> list[str]:
    one_change = {name: not _many(rows) for name, rows in alone.items()}
    last = args.first + args.count - 1
    lines = [f"# Dialling in: {args.worlds} worlds {args.first} to {last}", ""]
    lines += [f"Took {took_s:.0f} s on {args.processes} processes.", ""]
    if alone:
        lines += _part("All worlds", means_table(alone, one_change))
        if args.judged in alone:
            lines += _part("Paired ratios", ratios_table(alone, args.judged))
        lines += _part("Mean brews by kind of world", kinds_table(alone))
        lines += _part("80 % bands", bands_table(alone))
        lines += _part("Right by stated confidence", confidence_table(alone))
        lines += _part("Think time", think_table(alone))
        for name, rows in alone.items():
            if name != CLAIRVOYANT:
                lines += _part(f"By kind: {name}", kind_details(rows))
    if people:
        in_a_row = {name: [bags for bags, _ in rows] for name, rows in people.items()}
        against = "thumb" if "thumb" in in_a_row else next(iter(in_a_row))
        lines += _part("Five bags in a row", bags_table(in_a_row, against))
        flat = {name: [bag for bags in rows for bag in bags] for name, rows in in_a_row.items()}
        lines += _part("Five bags: 80 % bands", bands_table(flat))
        fifth = {name: [bags[-1] for bags in rows] for name, rows in in_a_row.items()}
        lines += _part("Five bags: think time on the fifth", think_table(fifth))
        most_s = {name: [time_s for _, time_s in rows] for name, rows in people.items()}
        lines += _part("Think time with 12 brews and five earlier coffees", most_table(most_s))
    return lines


def _many(rows: Sequence[Played]) -> int:
    return sum(row.many_changes for row in rows)


def _part(title: str, lines: Sequence[str]) -> list[str]:
    return [f"## {title}", "", *lines, ""]


if __name__ == "__main__":
    main()
