import { flag, json, real } from './columns.ts'

/** Coaters, hot plates and gauges, and what the gauges of a lab are worth. */
export const tools = `
CREATE TABLE coater (
  id TEXT PRIMARY KEY,
  name TEXT NOT NULL,
  ${real('maxSpeed', 'NOT NULL')},
  ${real('maxRamp')},
  ${flag('rampInside')},
  ${real('speedStep', 'NOT NULL')},
  ${flag('limitsConfirmed')},
  ${flag('removed')}
) STRICT;

CREATE TABLE hotPlate (
  id TEXT PRIMARY KEY,
  name TEXT NOT NULL,
  ${real('maxTemperature', 'NOT NULL')},
  ${real('surfaceOffset', 'NOT NULL')},
  ${json('offsets')},
  ${real('heatRate', 'NOT NULL')},
  ${real('coolRate', 'NOT NULL')},
  ${real('soak', 'NOT NULL')},
  ${flag('limitsConfirmed')},
  ${flag('removed')}
) STRICT;

CREATE TABLE gauge (
  id TEXT PRIMARY KEY,
  name TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('reflectometer', 'profilometer', 'ellipsometer', 'other')),
  ${real('repeatability')},
  ${real('reload')},
  ${real('calibration')},
  ${json('origins')},
  ${real('rangeLow')},
  ${real('rangeHigh')},
  ${real('fringeStep')},
  ${flag('removed')}
) STRICT;

CREATE TABLE gaugeStudy (
  id TEXT PRIMARY KEY,
  gaugeId TEXT NOT NULL REFERENCES gauge (id),
  at TEXT NOT NULL,
  ${json('wafers')},
  ${json('operators')},
  reloads INTEGER NOT NULL,
  scans INTEGER NOT NULL,
  seed INTEGER NOT NULL,
  ${real('toleranceNm')},
  note TEXT NOT NULL,
  ${flag('removed')}
) STRICT;
CREATE INDEX gaugeStudyOfGauge ON gaugeStudy (gaugeId);

CREATE TABLE gaugeReading (
  id TEXT PRIMARY KEY,
  gaugeStudyId TEXT NOT NULL REFERENCES gaugeStudy (id),
  wafer INTEGER NOT NULL,
  operator INTEGER NOT NULL,
  reload INTEGER NOT NULL,
  scan INTEGER NOT NULL,
  ${real('value', 'NOT NULL')},
  text TEXT NOT NULL,
  unit TEXT NOT NULL,
  at TEXT NOT NULL,
  ${flag('withdrawn')}
) STRICT;
CREATE UNIQUE INDEX gaugeReadingPlace ON gaugeReading (gaugeStudyId, wafer, operator, reload, scan) WHERE withdrawn = 0;
CREATE INDEX gaugeReadingOfStudy ON gaugeReading (gaugeStudyId);
CREATE TRIGGER gaugeReadingIsRaw
BEFORE UPDATE OF id, gaugeStudyId, wafer, operator, reload, scan, value, text, unit, at ON gaugeReading
BEGIN
  SELECT RAISE(ABORT, 'a raw reading is never changed: correct it with a new one');
END;
CREATE TRIGGER gaugeReadingIsKept BEFORE DELETE ON gaugeReading
BEGIN
  SELECT RAISE(ABORT, 'a raw reading is never deleted: withdraw it');
END;

CREATE TABLE checkStandard (
  id TEXT PRIMARY KEY,
  name TEXT NOT NULL,
  ${real('nominalNm', 'NOT NULL')},
  ${real('uncertaintyNm', 'NOT NULL')},
  note TEXT NOT NULL,
  ${flag('removed')}
) STRICT;

CREATE TABLE checkReading (
  id TEXT PRIMARY KEY,
  gaugeId TEXT NOT NULL REFERENCES gauge (id),
  standardId TEXT NOT NULL REFERENCES checkStandard (id),
  day TEXT NOT NULL,
  ${real('value', 'NOT NULL')},
  text TEXT NOT NULL,
  unit TEXT NOT NULL,
  at TEXT NOT NULL,
  ${flag('withdrawn')}
) STRICT;
CREATE INDEX checkReadingOfGauge ON checkReading (gaugeId, standardId);
CREATE INDEX checkReadingOfStandard ON checkReading (standardId);
CREATE TRIGGER checkReadingIsRaw
BEFORE UPDATE OF id, gaugeId, standardId, day, value, text, unit, at ON checkReading
BEGIN
  SELECT RAISE(ABORT, 'a raw reading is never changed: correct it with a new one');
END;
CREATE TRIGGER checkReadingIsKept BEFORE DELETE ON checkReading
BEGIN
  SELECT RAISE(ABORT, 'a raw reading is never deleted: withdraw it');
END;
`
