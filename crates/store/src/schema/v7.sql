-- Version 7: where zones lie on the vehicle's plan; what else the service page tells.

ALTER TABLE zones ADD COLUMN plan_from_front_pct REAL;
ALTER TABLE zones ADD COLUMN plan_from_left_pct REAL;

ALTER TABLE about ADD COLUMN service_disconnect TEXT NOT NULL DEFAULT '';
ALTER TABLE about ADD COLUMN service_towing TEXT NOT NULL DEFAULT '';
ALTER TABLE about ADD COLUMN service_flat TEXT NOT NULL DEFAULT '';
ALTER TABLE about ADD COLUMN service_lamps TEXT NOT NULL DEFAULT '';
ALTER TABLE about ADD COLUMN service_spares TEXT NOT NULL DEFAULT '';
ALTER TABLE about ADD COLUMN service_quirks TEXT NOT NULL DEFAULT '';
ALTER TABLE about ADD COLUMN service_papers TEXT NOT NULL DEFAULT '';
