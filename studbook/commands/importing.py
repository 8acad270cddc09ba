"""``studbook import``: a list of birds into a book, all or nothing."""

import argparse
import sys
from pathlib import Path

from studbook.book.changes.importing import ImportBirds
from studbook.book.importing.plan import ImportPlan
from studbook.book.importing.planning import read_list
from studbook.book.importing.written_dates import DateOrder
from studbook.commands.command import DONE, PROBLEMS, Command, add_book, add_json, opened, print_json
from studbook.words import _, later, plural


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_book(parser)
    parser.add_argument("file", metavar="FILE", type=Path, help=_("the list: .csv or .xlsx"))
    parser.add_argument("--dry-run", action="store_true", help=_("say what would happen and change nothing"))
    parser.add_argument(
        "--date-order",
        choices=[order.name for order in DateOrder],
        help=_("the order of dates in figures such as 12/04/2023, when the list does not decide"),
    )
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    order = DateOrder[arguments.date_order] if arguments.date_order else None
    with opened(arguments, read_only=arguments.dry_run) as book:
        plan = read_list(arguments.file, book.snapshot(), ids=book.new_id, today=book.today, date_order=order)
        if plan.is_accepted and not arguments.dry_run:
            book.apply(ImportBirds.of(plan))
    if arguments.json:
        print_json(_document(plan))
    else:
        _report(plan, dry_run=arguments.dry_run)
    return DONE if plan.is_accepted else PROBLEMS


def _document(plan: ImportPlan) -> dict[str, object]:
    return {
        "added": len(plan.added) if plan.is_accepted else 0,
        "updated": len(plan.updated) if plan.is_accepted else 0,
        "problems": [
            {
                "line": problem.line,
                "column": problem.column,
                "message": problem.message,
                "severity": problem.severity.value,
            }
            for problem in plan.problems
        ],
        "notes_from": list(plan.other_columns),
    }


def _report(plan: ImportPlan, *, dry_run: bool) -> None:
    for problem in plan.problems:
        kind = _("line {line}") if problem.is_error else _("line {line}, warning")
        print(f"{kind.format(line=problem.line)}: {problem.message}", file=sys.stderr)
    if plan.other_columns:
        print(_("Kept as notes: {columns}.").format(columns=", ".join(plan.other_columns)))
    if not plan.is_accepted:
        text = plural(
            "Nothing was imported: {count} problem.",
            "Nothing was imported: {count} problems.",
            len(plan.errors),
        )
        print(text.format(count=len(plan.errors)), file=sys.stderr)
        return
    counts = {"added": len(plan.added), "updated": len(plan.updated), "unchanged": plan.unchanged}
    if dry_run:
        text = _("Would add {added} birds, update {updated} and leave {unchanged} as they are.")
    else:
        text = _("Added {added} birds, updated {updated}, left {unchanged} as they were.")
    print(text.format(**counts))


COMMAND = Command("import", later("import a list of birds, all or nothing"), add_arguments, run)
