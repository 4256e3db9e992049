-- Version 8: the torque of studs.

ALTER TABLE junctions ADD COLUMN torque_nm REAL;
