-- Version 2: which test a reading answers, where the second lead was, and what it was taken with.

ALTER TABLE readings ADD COLUMN test TEXT;
ALTER TABLE readings ADD COLUMN against_cavity TEXT REFERENCES cavities (id) DEFERRABLE INITIALLY DEFERRED;
ALTER TABLE readings ADD COLUMN against_junction TEXT REFERENCES junctions (id) DEFERRABLE INITIALLY DEFERRED
  CHECK (against_cavity IS NULL OR against_junction IS NULL);
ALTER TABLE readings ADD COLUMN current_a REAL;
ALTER TABLE readings ADD COLUMN leads_ohm REAL;
CREATE INDEX readings_against_cavity ON readings (against_cavity) WHERE against_cavity IS NOT NULL;
CREATE INDEX readings_against_junction ON readings (against_junction) WHERE against_junction IS NOT NULL;
