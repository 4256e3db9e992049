-- Version 5: sessions of fault finding with their outcome.

CREATE TABLE fault_findings (
  id TEXT PRIMARY KEY NOT NULL,
  at TEXT NOT NULL,
  who TEXT NOT NULL,
  battery_v REAL,
  suspects TEXT NOT NULL,
  found INTEGER NOT NULL,
  outcome TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE fault_finding_said (
  fault_finding TEXT NOT NULL REFERENCES fault_findings (id) DEFERRABLE INITIALLY DEFERRED,
  place INTEGER NOT NULL,
  state TEXT NOT NULL,
  words TEXT NOT NULL,
  PRIMARY KEY (fault_finding, place)
) STRICT, WITHOUT ROWID;
