"""Let the database itself refuse to edit a saved version, and compare search words byte by byte.

A later migration that rebuilds the table on SQLite drops the trigger: make it again there. A test
looks for it.
"""

from typing import Any

from django.db import migrations

SQLITE = """
CREATE TRIGGER version_never_edited BEFORE UPDATE ON records_jobversion
BEGIN SELECT RAISE(ABORT, 'a saved version is never edited'); END
"""
POSTGRESQL = """
CREATE FUNCTION version_never_edited() RETURNS trigger LANGUAGE plpgsql AS
$$ BEGIN RAISE EXCEPTION 'a saved version is never edited'; END $$;
CREATE TRIGGER version_never_edited BEFORE UPDATE ON records_jobversion
FOR EACH ROW EXECUTE FUNCTION version_never_edited();
ALTER TABLE records_searchword ALTER COLUMN word TYPE varchar(40) COLLATE "C";
"""


def protect(apps: Any, schema_editor: Any) -> None:
    schema_editor.execute(SQLITE if schema_editor.connection.vendor == "sqlite" else POSTGRESQL)


class Migration(migrations.Migration):
    dependencies = [("records", "0001_initial")]
    operations = [migrations.RunPython(protect, migrations.RunPython.noop)]
