-- Version 3: limits, default, page and role of settings; trials with their settings, marks and peaks; steps of the
-- first run; names of photos and files. What older trials say in words stays as it was written.

ALTER TABLE settings ADD COLUMN role TEXT;
ALTER TABLE settings ADD COLUMN least REAL;
ALTER TABLE settings ADD COLUMN most REAL;
ALTER TABLE settings ADD COLUMN default_value TEXT NOT NULL DEFAULT '';
ALTER TABLE settings ADD COLUMN page TEXT NOT NULL DEFAULT '';

ALTER TABLE trials ADD COLUMN place TEXT NOT NULL DEFAULT '';
ALTER TABLE trials ADD COLUMN conditions TEXT NOT NULL DEFAULT '';
ALTER TABLE trials ADD COLUMN why TEXT NOT NULL DEFAULT '';
ALTER TABLE trials ADD COLUMN faults TEXT NOT NULL DEFAULT '';

-- A setting may have been removed since: no foreign key.
CREATE TABLE trial_settings (
  trial TEXT NOT NULL REFERENCES trials (id) DEFERRABLE INITIALLY DEFERRED,
  place INTEGER NOT NULL,
  setting TEXT NOT NULL,
  unit TEXT NOT NULL,
  label TEXT NOT NULL,
  value TEXT NOT NULL,
  measure TEXT NOT NULL,
  PRIMARY KEY (trial, place)
) STRICT, WITHOUT ROWID;

CREATE TABLE trial_marks (
  trial TEXT NOT NULL REFERENCES trials (id) DEFERRABLE INITIALLY DEFERRED,
  place INTEGER NOT NULL,
  name TEXT NOT NULL,
  mark INTEGER NOT NULL,
  PRIMARY KEY (trial, place)
) STRICT, WITHOUT ROWID;

CREATE TABLE trial_peaks (
  trial TEXT NOT NULL REFERENCES trials (id) DEFERRABLE INITIALLY DEFERRED,
  place INTEGER NOT NULL,
  name TEXT NOT NULL,
  value REAL NOT NULL,
  measure TEXT NOT NULL,
  PRIMARY KEY (trial, place)
) STRICT, WITHOUT ROWID;

CREATE TABLE first_runs (
  id TEXT PRIMARY KEY NOT NULL,
  step TEXT NOT NULL,
  at TEXT NOT NULL,
  who TEXT NOT NULL,
  revision TEXT NOT NULL,
  note TEXT NOT NULL
) STRICT, WITHOUT ROWID;

-- What it is about is a record of any kind, so that no foreign key can name its table; verifying checks it.
CREATE TABLE file_notes (
  id TEXT PRIMARY KEY NOT NULL,
  name TEXT NOT NULL,
  of_kind TEXT,
  of_id TEXT,
  note TEXT NOT NULL,
  at TEXT NOT NULL,
  who TEXT NOT NULL,
  CHECK ((of_kind IS NULL) = (of_id IS NULL))
) STRICT, WITHOUT ROWID;
