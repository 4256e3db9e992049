-- Version 6: platings and currents of contacts, keys of plugs, what a splice's sleeve holds and how it lies, how near a
-- bundle runs to traction cables, what feed and return of a load may drop together.

ALTER TABLE contact_families ADD COLUMN plating TEXT;
ALTER TABLE contact_families ADD COLUMN most_a REAL;
ALTER TABLE connectors ADD COLUMN pin_plating TEXT;
ALTER TABLE connectors ADD COLUMN keying TEXT NOT NULL DEFAULT '';
ALTER TABLE junctions ADD COLUMN sleeve_least_mm2 REAL;
ALTER TABLE junctions ADD COLUMN sleeve_most_mm2 REAL;
ALTER TABLE junctions ADD COLUMN clear_m REAL;
ALTER TABLE junctions ADD COLUMN sealed INTEGER;
ALTER TABLE junctions ADD COLUMN flexes INTEGER;
ALTER TABLE bundles ADD COLUMN traction_m REAL;
ALTER TABLE parts ADD COLUMN drop_limit_v REAL;
