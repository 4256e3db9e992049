-- Version 4: drums of wire, parts in stock, colours of the house, terminal numbers of DIN 72552.

CREATE TABLE drums (
  id TEXT PRIMARY KEY NOT NULL,
  label TEXT NOT NULL,
  area_mm2 REAL NOT NULL,
  size_written TEXT NOT NULL,
  insulation_class_c REAL,
  colour TEXT,
  stock_m REAL NOT NULL,
  note TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE stock_lines (
  id TEXT PRIMARY KEY NOT NULL,
  label TEXT NOT NULL,
  have REAL NOT NULL,
  ordered REAL NOT NULL,
  here REAL NOT NULL,
  note TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE colour_uses (
  id TEXT PRIMARY KEY NOT NULL,
  purpose TEXT NOT NULL,
  colour TEXT,
  note TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE terminal_numbers (
  id TEXT PRIMARY KEY NOT NULL,
  at_cavity TEXT REFERENCES cavities (id) DEFERRABLE INITIALLY DEFERRED,
  at_junction TEXT REFERENCES junctions (id) DEFERRABLE INITIALLY DEFERRED,
  at_inner_unit TEXT REFERENCES units (id) DEFERRABLE INITIALLY DEFERRED,
  at_inner_node TEXT,
  number TEXT NOT NULL,
  note TEXT NOT NULL,
  CHECK ((at_cavity IS NOT NULL) + (at_junction IS NOT NULL) + (at_inner_unit IS NOT NULL) = 1),
  CHECK ((at_inner_unit IS NULL) = (at_inner_node IS NULL))
) STRICT, WITHOUT ROWID;
