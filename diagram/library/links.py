"""What comes before and after an exercise: said on one side, known on both, and no circles."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from msgspec import Struct

from diagram.diagnostics import near
from diagram.library.entry import Entry


class LinkProblem(Struct, frozen=True):
    """A link that cannot be: in which exercise it is said, what is wrong, what to write."""

    stem: str
    message: str
    hint: str


class Links(Struct, frozen=True):
    """For every exercise, what to ride before it and after it, in the order of the library."""

    before: Mapping[str, tuple[str, ...]]
    after: Mapping[str, tuple[str, ...]]
    problems: tuple[LinkProblem, ...] = ()


def links_of(entries: Iterable[Entry]) -> Links:
    """The links between exercises, with those that name nothing or go round in a circle."""
    every = {entry.stem: entry for entry in entries}
    follows: dict[str, set[str]] = {stem: set() for stem in every}
    problems: list[LinkProblem] = []
    for stem, entry in every.items():
        for key, others in (("comes after", entry.after), ("comes before", entry.before)):
            for other in others:
                if other not in every:
                    message = f'{key}: no exercise of this library is in a file "{other}"'
                    problems.append(LinkProblem(stem, message, near(other, every)))
                elif key == "comes after":
                    follows[other].add(stem)
                else:
                    follows[stem].add(other)
    for circle in circles(follows):
        names = ", then ".join(circle)
        hint = "take one of the links out"
        problems.append(LinkProblem(circle[0], f"these come before each other: {names}", hint))
    order = {stem: n for n, stem in enumerate(every)}
    leads = {
        stem: tuple(sorted({s for s in follows if stem in follows[s]}, key=order.__getitem__))
        for stem in every
    }
    after = {stem: tuple(sorted(follows[stem], key=order.__getitem__)) for stem in every}
    return Links(leads, after, tuple(problems))


def circles(follows: Mapping[str, Iterable[str]]) -> Iterator[tuple[str, ...]]:
    """Each group of names that can be reached from one another, in name order (Tarjan 1972)."""
    index: dict[str, int] = {}
    low: dict[str, int] = {}
    stack: list[str] = []
    # Walked without recursion: a chain of a thousand exercises is no deeper than a list.
    for root in sorted(follows):
        if root in index:
            continue
        work = [(root, iter(sorted(follows[root])))]
        index[root] = low[root] = len(index)
        stack.append(root)
        while work:
            node, below = work[-1]
            step = next(below, None)
            if step is None:
                work.pop()
                if work:
                    low[work[-1][0]] = min(low[work[-1][0]], low[node])
                if low[node] == index[node]:
                    group = stack[stack.index(node) :]
                    del stack[stack.index(node) :]
                    if len(group) > 1 or node in set(follows[node]):
                        yield tuple(sorted(group))
            elif step not in index:
                index[step] = low[step] = len(index)
                stack.append(step)
                work.append((step, iter(sorted(follows[step]))))
            elif step in stack:
                low[node] = min(low[node], index[step])
