-- Version 9: what a temperature sensor reads at room temperature; which switch was held while a reading was taken.

ALTER TABLE cavities ADD COLUMN limits_sensor_ohm REAL;
ALTER TABLE cavities ADD COLUMN limits_sensor_at_c REAL;
ALTER TABLE cavities ADD COLUMN limits_sensor_tolerance_pct REAL;
ALTER TABLE cavities ADD COLUMN limits_sensor_pct_per_k REAL;

ALTER TABLE readings ADD COLUMN held_switch TEXT;
ALTER TABLE readings ADD COLUMN held_position TEXT;
