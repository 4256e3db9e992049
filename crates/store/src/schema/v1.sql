-- The tables of a workbook, version 1.
--
-- One table a kind of record. Columns are named as the fields of the interchange JSON; the parts of a nested field are
-- joined by underscores (supply.least_v is supply_least_v). NULL: not stated. Ids are text. References are checked when
-- a transaction ends. Once released this file is never edited: what changes is a step of its own.

CREATE TABLE about (
  id TEXT PRIMARY KEY NOT NULL,
  vehicle TEXT NOT NULL,
  purpose TEXT NOT NULL,
  supply_least_v REAL NOT NULL,
  supply_nominal_v REAL NOT NULL,
  supply_most_v REAL NOT NULL,
  reference TEXT REFERENCES junctions (id) DEFERRABLE INITIALLY DEFERRED,
  size_table TEXT NOT NULL,
  insulation_class_c REAL,
  insulation TEXT NOT NULL,
  colour_custom TEXT NOT NULL,
  service_note TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE zones (
  id TEXT PRIMARY KEY NOT NULL,
  label TEXT NOT NULL,
  ambient_c REAL,
  wet INTEGER NOT NULL CHECK (wet IN (0, 1)),
  note TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE bundles (
  id TEXT PRIMARY KEY NOT NULL,
  label TEXT NOT NULL,
  factor REAL,
  note TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE contact_families (
  id TEXT PRIMARY KEY NOT NULL,
  label TEXT NOT NULL,
  least_mm2 REAL,
  most_mm2 REAL,
  seal_least_mm REAL,
  seal_most_mm REAL,
  resistance_ohm REAL,
  strip_mm REAL,
  note TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE units (
  id TEXT PRIMARY KEY NOT NULL,
  label TEXT NOT NULL,
  name TEXT NOT NULL,
  zone TEXT REFERENCES zones (id) DEFERRABLE INITIALLY DEFERRED,
  manual_title TEXT,
  manual_revision TEXT,
  serial TEXT NOT NULL,
  firmware TEXT NOT NULL,
  supply_note TEXT NOT NULL,
  note TEXT NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX units_zone ON units (zone) WHERE zone IS NOT NULL;

CREATE TABLE connectors (
  id TEXT PRIMARY KEY NOT NULL,
  unit TEXT NOT NULL REFERENCES units (id) DEFERRABLE INITIALLY DEFERRED,
  label TEXT NOT NULL,
  name TEXT NOT NULL,
  sealed INTEGER CHECK (sealed IN (0, 1)),
  face TEXT NOT NULL,
  couples_to TEXT REFERENCES connectors (id) DEFERRABLE INITIALLY DEFERRED,
  single_steps INTEGER NOT NULL CHECK (single_steps IN (0, 1)),
  note TEXT NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX connectors_unit ON connectors (unit);
CREATE INDEX connectors_couples_to ON connectors (couples_to) WHERE couples_to IS NOT NULL;

CREATE TABLE cavities (
  id TEXT PRIMARY KEY NOT NULL,
  connector TEXT NOT NULL REFERENCES connectors (id) DEFERRABLE INITIALLY DEFERRED,
  number TEXT NOT NULL,
  unit_number TEXT NOT NULL,
  name TEXT NOT NULL,
  kind TEXT,
  limits_on_above_v REAL,
  limits_off_below_v REAL,
  limits_on_below_v REAL,
  limits_off_above_v REAL,
  limits_most_v REAL,
  limits_most_a REAL,
  limits_peak_a REAL,
  limits_peak_s REAL,
  limits_least_a REAL,
  limits_pull_to TEXT,
  limits_pull_ohm REAL,
  limits_release_s REAL,
  limits_rest_v REAL,
  limits_full_v REAL,
  contact TEXT REFERENCES contact_families (id) DEFERRABLE INITIALLY DEFERRED,
  decision TEXT NOT NULL,
  bridged_to TEXT REFERENCES cavities (id) DEFERRABLE INITIALLY DEFERRED,
  why TEXT NOT NULL,
  plug INTEGER NOT NULL CHECK (plug IN (0, 1)),
  page TEXT NOT NULL,
  note TEXT NOT NULL,
  CHECK ((decision = 'bridged') = (bridged_to IS NOT NULL))
) STRICT, WITHOUT ROWID;
CREATE INDEX cavities_connector ON cavities (connector);
CREATE INDEX cavities_contact ON cavities (contact) WHERE contact IS NOT NULL;
CREATE INDEX cavities_bridged_to ON cavities (bridged_to) WHERE bridged_to IS NOT NULL;

CREATE TABLE junctions (
  id TEXT PRIMARY KEY NOT NULL,
  label TEXT NOT NULL,
  kind TEXT NOT NULL,
  unit TEXT REFERENCES units (id) DEFERRABLE INITIALLY DEFERRED,
  zone TEXT REFERENCES zones (id) DEFERRABLE INITIALLY DEFERRED,
  joint_ohm REAL,
  place TEXT NOT NULL,
  note TEXT NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX junctions_unit ON junctions (unit) WHERE unit IS NOT NULL;
CREATE INDEX junctions_zone ON junctions (zone) WHERE zone IS NOT NULL;

-- Each end is a cavity, a splice or stud, or a node inside a unit.
CREATE TABLE chassis_paths (
  id TEXT PRIMARY KEY NOT NULL,
  from_cavity TEXT REFERENCES cavities (id) DEFERRABLE INITIALLY DEFERRED,
  from_junction TEXT REFERENCES junctions (id) DEFERRABLE INITIALLY DEFERRED,
  from_inner_unit TEXT REFERENCES units (id) DEFERRABLE INITIALLY DEFERRED,
  from_inner_node TEXT,
  to_cavity TEXT REFERENCES cavities (id) DEFERRABLE INITIALLY DEFERRED,
  to_junction TEXT REFERENCES junctions (id) DEFERRABLE INITIALLY DEFERRED,
  to_inner_unit TEXT REFERENCES units (id) DEFERRABLE INITIALLY DEFERRED,
  to_inner_node TEXT,
  resistance_ohm REAL NOT NULL,
  note TEXT NOT NULL,
  CHECK ((from_cavity IS NOT NULL) + (from_junction IS NOT NULL) + (from_inner_unit IS NOT NULL) = 1),
  CHECK ((from_inner_unit IS NULL) = (from_inner_node IS NULL)),
  CHECK ((to_cavity IS NOT NULL) + (to_junction IS NOT NULL) + (to_inner_unit IS NOT NULL) = 1),
  CHECK ((to_inner_unit IS NULL) = (to_inner_node IS NULL))
) STRICT, WITHOUT ROWID;

CREATE TABLE fuses (
  id TEXT PRIMARY KEY NOT NULL,
  label TEXT NOT NULL,
  rating_a REAL NOT NULL,
  kind TEXT NOT NULL,
  feeds TEXT NOT NULL,
  holder TEXT NOT NULL,
  zone TEXT REFERENCES zones (id) DEFERRABLE INITIALLY DEFERRED,
  melting_a2s REAL,
  cold_ohm REAL,
  rated_v REAL,
  breaking_a REAL,
  ambient_factor REAL,
  note TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE switches (
  id TEXT PRIMARY KEY NOT NULL,
  label TEXT NOT NULL,
  kind TEXT NOT NULL,
  positions TEXT NOT NULL CHECK (json_valid(positions)),
  unit TEXT REFERENCES units (id) DEFERRABLE INITIALLY DEFERRED,
  note TEXT NOT NULL
) STRICT, WITHOUT ROWID;

-- What an inside part is stands in kind; its figures, which differ by kind, in figures.
CREATE TABLE parts (
  id TEXT PRIMARY KEY NOT NULL,
  unit TEXT NOT NULL REFERENCES units (id) DEFERRABLE INITIALLY DEFERRED,
  label TEXT NOT NULL,
  kind TEXT NOT NULL,
  figures TEXT NOT NULL CHECK (json_valid(figures)),
  fuse TEXT REFERENCES fuses (id) DEFERRABLE INITIALLY DEFERRED,
  driver_switch TEXT REFERENCES switches (id) DEFERRABLE INITIALLY DEFERRED,
  driver_coil TEXT REFERENCES parts (id) DEFERRABLE INITIALLY DEFERRED,
  note TEXT NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX parts_unit ON parts (unit);
CREATE INDEX parts_driver_coil ON parts (driver_coil) WHERE driver_coil IS NOT NULL;

CREATE TABLE part_ends (
  part TEXT NOT NULL REFERENCES parts (id) DEFERRABLE INITIALLY DEFERRED,
  place INTEGER NOT NULL,
  cavity TEXT REFERENCES cavities (id) DEFERRABLE INITIALLY DEFERRED,
  junction TEXT REFERENCES junctions (id) DEFERRABLE INITIALLY DEFERRED,
  inner_unit TEXT REFERENCES units (id) DEFERRABLE INITIALLY DEFERRED,
  inner_node TEXT,
  PRIMARY KEY (part, place),
  CHECK ((cavity IS NOT NULL) + (junction IS NOT NULL) + (inner_unit IS NOT NULL) = 1),
  CHECK ((inner_unit IS NULL) = (inner_node IS NULL))
) STRICT, WITHOUT ROWID;
CREATE INDEX part_ends_cavity ON part_ends (cavity) WHERE cavity IS NOT NULL;
CREATE INDEX part_ends_junction ON part_ends (junction) WHERE junction IS NOT NULL;
CREATE INDEX part_ends_inner_unit ON part_ends (inner_unit) WHERE inner_unit IS NOT NULL;

-- An end with neither cavity nor junction is free: planned, not yet placed.
CREATE TABLE wires (
  id TEXT PRIMARY KEY NOT NULL,
  label TEXT NOT NULL,
  signal TEXT NOT NULL,
  from_cavity TEXT REFERENCES cavities (id) DEFERRABLE INITIALLY DEFERRED,
  from_junction TEXT REFERENCES junctions (id) DEFERRABLE INITIALLY DEFERRED,
  to_cavity TEXT REFERENCES cavities (id) DEFERRABLE INITIALLY DEFERRED,
  to_junction TEXT REFERENCES junctions (id) DEFERRABLE INITIALLY DEFERRED,
  area_mm2 REAL,
  size_written TEXT NOT NULL,
  size_table TEXT,
  insulation_class_c REAL,
  colour TEXT,
  length_m REAL,
  bundle TEXT REFERENCES bundles (id) DEFERRABLE INITIALLY DEFERRED,
  pair TEXT NOT NULL,
  inline_fuse_fuse TEXT REFERENCES fuses (id) DEFERRABLE INITIALLY DEFERRED,
  inline_fuse_from_end_m REAL,
  fuse TEXT REFERENCES fuses (id) DEFERRABLE INITIALLY DEFERRED,
  nominal_v REAL,
  typical_a REAL,
  peak_a REAL,
  drop_limit_v REAL,
  note TEXT NOT NULL,
  CHECK (from_cavity IS NULL OR from_junction IS NULL),
  CHECK (to_cavity IS NULL OR to_junction IS NULL),
  CHECK ((inline_fuse_fuse IS NULL) = (inline_fuse_from_end_m IS NULL))
) STRICT, WITHOUT ROWID;
CREATE INDEX wires_from_cavity ON wires (from_cavity) WHERE from_cavity IS NOT NULL;
CREATE INDEX wires_from_junction ON wires (from_junction) WHERE from_junction IS NOT NULL;
CREATE INDEX wires_to_cavity ON wires (to_cavity) WHERE to_cavity IS NOT NULL;
CREATE INDEX wires_to_junction ON wires (to_junction) WHERE to_junction IS NOT NULL;
CREATE INDEX wires_bundle ON wires (bundle) WHERE bundle IS NOT NULL;
CREATE INDEX wires_inline_fuse ON wires (inline_fuse_fuse) WHERE inline_fuse_fuse IS NOT NULL;
CREATE INDEX wires_fuse ON wires (fuse) WHERE fuse IS NOT NULL;

CREATE TABLE states (
  id TEXT PRIMARY KEY NOT NULL,
  label TEXT NOT NULL,
  "order" INTEGER NOT NULL,
  words TEXT NOT NULL,
  supply_v REAL
) STRICT, WITHOUT ROWID;

CREATE TABLE state_switches (
  state TEXT NOT NULL REFERENCES states (id) DEFERRABLE INITIALLY DEFERRED,
  place INTEGER NOT NULL,
  switch TEXT NOT NULL REFERENCES switches (id) DEFERRABLE INITIALLY DEFERRED,
  position TEXT NOT NULL,
  PRIMARY KEY (state, place)
) STRICT, WITHOUT ROWID;

CREATE TABLE state_parts (
  state TEXT NOT NULL REFERENCES states (id) DEFERRABLE INITIALLY DEFERRED,
  place INTEGER NOT NULL,
  part TEXT NOT NULL REFERENCES parts (id) DEFERRABLE INITIALLY DEFERRED,
  position TEXT NOT NULL,
  travel REAL,
  assumed INTEGER NOT NULL CHECK (assumed IN (0, 1)),
  PRIMARY KEY (state, place),
  CHECK ((position = 'travel') = (travel IS NOT NULL))
) STRICT, WITHOUT ROWID;
CREATE INDEX state_parts_part ON state_parts (part);

CREATE TABLE expressions (
  id TEXT PRIMARY KEY NOT NULL,
  label TEXT NOT NULL,
  unit TEXT NOT NULL REFERENCES units (id) DEFERRABLE INITIALLY DEFERRED,
  text TEXT NOT NULL,
  note TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE rules (
  id TEXT PRIMARY KEY NOT NULL,
  label TEXT NOT NULL,
  words TEXT NOT NULL,
  text TEXT NOT NULL,
  rests_on TEXT NOT NULL,
  note TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE settings (
  id TEXT PRIMARY KEY NOT NULL,
  unit TEXT NOT NULL REFERENCES units (id) DEFERRABLE INITIALLY DEFERRED,
  label TEXT NOT NULL,
  value TEXT NOT NULL,
  measure TEXT NOT NULL,
  note TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE setting_cavities (
  setting TEXT NOT NULL REFERENCES settings (id) DEFERRABLE INITIALLY DEFERRED,
  place INTEGER NOT NULL,
  cavity TEXT NOT NULL REFERENCES cavities (id) DEFERRABLE INITIALLY DEFERRED,
  PRIMARY KEY (setting, place)
) STRICT, WITHOUT ROWID;
CREATE INDEX setting_cavities_cavity ON setting_cavities (cavity);

CREATE TABLE trials (
  id TEXT PRIMARY KEY NOT NULL,
  at TEXT NOT NULL,
  who TEXT NOT NULL,
  words TEXT NOT NULL,
  changed TEXT NOT NULL,
  felt TEXT NOT NULL,
  next TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE candidates (
  id TEXT PRIMARY KEY NOT NULL,
  sink TEXT NOT NULL REFERENCES cavities (id) DEFERRABLE INITIALLY DEFERRED,
  source TEXT REFERENCES cavities (id) DEFERRABLE INITIALLY DEFERRED,
  words TEXT NOT NULL,
  verdict TEXT NOT NULL,
  why TEXT NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX candidates_sink ON candidates (sink);
CREATE INDEX candidates_source ON candidates (source) WHERE source IS NOT NULL;

-- What was built: a wire as a whole, one end of a wire (of_end_wire with of_end_end: from, to), a connector, a junction.
CREATE TABLE steps_done (
  id TEXT PRIMARY KEY NOT NULL,
  of_wire TEXT REFERENCES wires (id) DEFERRABLE INITIALLY DEFERRED,
  of_end_wire TEXT REFERENCES wires (id) DEFERRABLE INITIALLY DEFERRED,
  of_end_end TEXT,
  of_connector TEXT REFERENCES connectors (id) DEFERRABLE INITIALLY DEFERRED,
  of_junction TEXT REFERENCES junctions (id) DEFERRABLE INITIALLY DEFERRED,
  step TEXT NOT NULL,
  outcome TEXT NOT NULL,
  at TEXT NOT NULL,
  who TEXT NOT NULL,
  note TEXT NOT NULL,
  rested_on TEXT NOT NULL CHECK (json_valid(rested_on)),
  redo TEXT,
  CHECK ((of_wire IS NOT NULL) + (of_end_wire IS NOT NULL) + (of_connector IS NOT NULL)
    + (of_junction IS NOT NULL) = 1),
  CHECK ((of_end_wire IS NULL) = (of_end_end IS NULL))
) STRICT, WITHOUT ROWID;
CREATE INDEX steps_done_of_wire ON steps_done (of_wire) WHERE of_wire IS NOT NULL;
CREATE INDEX steps_done_of_end_wire ON steps_done (of_end_wire) WHERE of_end_wire IS NOT NULL;
CREATE INDEX steps_done_of_connector ON steps_done (of_connector) WHERE of_connector IS NOT NULL;
CREATE INDEX steps_done_of_junction ON steps_done (of_junction) WHERE of_junction IS NOT NULL;

CREATE TABLE readings (
  id TEXT PRIMARY KEY NOT NULL,
  at_cavity TEXT NOT NULL REFERENCES cavities (id) DEFERRABLE INITIALLY DEFERRED,
  state TEXT REFERENCES states (id) DEFERRABLE INITIALLY DEFERRED,
  value REAL,
  measure TEXT NOT NULL,
  expected_least REAL,
  expected_most REAL,
  taken TEXT NOT NULL,
  who TEXT NOT NULL,
  meter TEXT NOT NULL,
  note TEXT NOT NULL,
  rested_on TEXT NOT NULL CHECK (json_valid(rested_on)),
  lapsed TEXT
) STRICT, WITHOUT ROWID;
CREATE INDEX readings_at_cavity ON readings (at_cavity);

CREATE TABLE acceptances (
  id TEXT PRIMARY KEY NOT NULL,
  "check" TEXT NOT NULL,
  why TEXT NOT NULL,
  figure REAL,
  at TEXT NOT NULL,
  who TEXT NOT NULL,
  rested_on TEXT NOT NULL CHECK (json_valid(rested_on)),
  lapsed TEXT
) STRICT, WITHOUT ROWID;

-- A place is a record of any kind, so that no foreign key can name its table; verifying checks it.
CREATE TABLE acceptance_places (
  acceptance TEXT NOT NULL REFERENCES acceptances (id) DEFERRABLE INITIALLY DEFERRED,
  place INTEGER NOT NULL,
  kind TEXT NOT NULL,
  id TEXT NOT NULL,
  PRIMARY KEY (acceptance, place)
) STRICT, WITHOUT ROWID;

CREATE TABLE temporary_links (
  id TEXT PRIMARY KEY NOT NULL,
  from_cavity TEXT REFERENCES cavities (id) DEFERRABLE INITIALLY DEFERRED,
  from_junction TEXT REFERENCES junctions (id) DEFERRABLE INITIALLY DEFERRED,
  to_cavity TEXT REFERENCES cavities (id) DEFERRABLE INITIALLY DEFERRED,
  to_junction TEXT REFERENCES junctions (id) DEFERRABLE INITIALLY DEFERRED,
  words TEXT NOT NULL,
  why TEXT NOT NULL,
  at TEXT NOT NULL,
  CHECK (from_cavity IS NULL OR from_junction IS NULL),
  CHECK (to_cavity IS NULL OR to_junction IS NULL)
) STRICT, WITHOUT ROWID;

-- Every change ever made. body is the entry as canonical JSON, the very text that is hashed; hash is the SHA-256 over
-- the hash of the entry before it (64 zeros for the first), a line feed, and body. The other columns repeat the body.
CREATE TABLE log (
  seq INTEGER PRIMARY KEY NOT NULL CHECK (seq > 0),
  id TEXT NOT NULL UNIQUE,
  at TEXT NOT NULL,
  who TEXT NOT NULL,
  kind TEXT NOT NULL,
  title TEXT NOT NULL,
  why TEXT NOT NULL,
  of TEXT,
  revision TEXT,
  hash TEXT NOT NULL CHECK (length(hash) = 64),
  body TEXT NOT NULL CHECK (json_valid(body))
) STRICT;

CREATE TRIGGER log_keeps_entries BEFORE UPDATE ON log
BEGIN SELECT RAISE(ABORT, 'the log is only ever added to'); END;

CREATE TRIGGER log_keeps_every_entry BEFORE DELETE ON log
BEGIN SELECT RAISE(ABORT, 'the log is only ever added to'); END;

-- INSERT OR REPLACE deletes without asking a trigger, so a place or an id that is taken is refused first.
CREATE TRIGGER log_grows_at_its_end BEFORE INSERT ON log
WHEN new.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM log) OR EXISTS (SELECT 1 FROM log WHERE id = new.id)
BEGIN SELECT RAISE(ABORT, 'the log is only ever added to, at its end'); END;
