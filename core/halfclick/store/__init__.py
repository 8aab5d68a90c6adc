"""The journal: tables, rows to records, migrations, opening and backup."""
