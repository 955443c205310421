"""Rows of a list that name one site: the same in all of them, or refused."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace

from service.intake.imports.said import of_the_row
from service.intake.site_lists.read_site import ListedSite


def hold_apart(rows: Sequence[ListedSite]) -> tuple[list[ListedSite], dict[int, int]]:
    """Return the rows with those refused that contradict one another.

    Returns
    -------
    tuple
        The rows, and for each row that only repeats a row before it, the number of that row.
    """
    by_code: defaultdict[str, list[ListedSite]] = defaultdict(list)
    by_name: defaultdict[tuple[str, str], list[ListedSite]] = defaultdict(list)
    for row in rows:
        if row.code:
            by_code[row.code].append(row)
        if row.body:
            by_name[row.body.school, row.body.name].append(row)
    repeats: dict[int, int] = {}
    said: dict[int, ListedSite] = {}
    for same in by_code.values():
        first, *others = same
        if not others:
            continue
        if first.body and all(row.body == first.body for row in others):
            repeats |= {row.number: first.number for row in others}
        else:
            said |= {row.number: row for row in _contradicting(same)}
    for namesakes in by_name.values():
        if len({row.code for row in namesakes}) > 1:
            said |= {
                row.number: _also_called(said.get(row.number, row), namesakes)
                for row in namesakes
                if row.number not in repeats
            }
    return [said.get(row.number, row) for row in rows], repeats


def _contradicting(same: Sequence[ListedSite]) -> Iterator[ListedSite]:
    for row in same:
        others = " and ".join(str(one.number) for one in same if one is not row)
        reason = f"the code {row.code} is also in row {others}, with other content; keep the right one"
        yield replace(row, body=None, problems=(*row.problems, of_the_row(reason)))


def _also_called(row: ListedSite, namesakes: Sequence[ListedSite]) -> ListedSite:
    others = " and ".join(one.code for one in namesakes if one.code != row.code)
    remark = of_the_row(f"{others} has the same name; files of visits must name these sites by their codes")
    return replace(row, remarks=(*row.remarks, remark))
