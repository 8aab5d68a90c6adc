"""`export`: the whole journal as one document, or as tables for a spreadsheet."""

import argparse
from pathlib import Path

from halfclick.commands.answer import Answer
from halfclick.commands.bench import Bench
from halfclick.service.export import export_json, export_tables
from halfclick.store.exchange.csv_out import CsvForm
from halfclick.store.exchange.progress import Progress


def run(bench: Bench, options: argparse.Namespace) -> Answer:
    """Write the journal out; what lies at the place stays until the new file is whole."""
    words, place = bench.words, Path(options.file).expanduser().absolute()
    with bench.reading() as store:
        if options.tables:
            form = CsvForm(decimal_comma=options.decimal_comma, with_bom=options.with_bom)
            written = export_tables(
                store, place, form, words.sentences, clock=bench.clock, progress=Progress()
            )
            count = None
            line = words("commands.exported_tables", path=str(written))
        else:
            count = export_json(store, place, clock=bench.clock, progress=Progress())
            written = place
            line = words("commands.exported", path=str(written), count=count)
    facts: dict[str, object] = {
        "journal": str(bench.path),
        "written": str(written),
        "records": count,
    }
    return Answer(facts=facts, lines=(line,))
