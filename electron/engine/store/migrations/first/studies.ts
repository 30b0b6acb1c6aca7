import { flag, json, real } from './columns.ts'

/** Studies with what is planned in them, the recipes that came out, and how a report and a chart are put together. */
export const studies = `
CREATE TABLE study (
  id TEXT PRIMARY KEY,
  name TEXT NOT NULL,
  question TEXT NOT NULL,
  ${real('targetNm')},
  ${real('toleranceNm')},
  targetAfter TEXT NOT NULL CHECK (targetAfter IN ('spin', 'bake', 'develop')),
  ${real('uniformityLimit')},
  uniformityFormula TEXT NOT NULL,
  substrate TEXT NOT NULL,
  substrateShape TEXT NOT NULL CHECK (substrateShape IN ('flat', 'notch', 'rectangle')),
  ${real('diameterMm', 'NOT NULL')},
  ${real('widthMm')},
  ${real('heightMm')},
  ${real('edgeExclusionMm', 'NOT NULL')},
  siteMap TEXT NOT NULL,
  ${real('lineDirection', 'NOT NULL')},
  ${json('ownSites', '')},
  readAfter TEXT NOT NULL CHECK (readAfter IN ('spin', 'bake', 'develop')),
  ${real('readIndex')},
  resist TEXT NOT NULL,
  ${json('resistLimits')},
  ${json('lots')},
  thicknessUnit TEXT NOT NULL CHECK (thicknessUnit IN ('nm', 'Å', 'µm')),
  coaterId TEXT REFERENCES coater (id),
  hotPlateId TEXT REFERENCES hotPlate (id),
  gaugeId TEXT REFERENCES gauge (id),
  ${real('chuckMm')},
  ${json('program')},
  ${json('steps')},
  ${real('bakeTemperature', 'NOT NULL')},
  ${real('bakeTime', 'NOT NULL')},
  ${real('coatMl', 'NOT NULL')},
  ${real('purgeMl', 'NOT NULL')},
  dummies INTEGER NOT NULL,
  spares INTEGER NOT NULL,
  ${real('coatMinutes', 'NOT NULL')},
  ${real('readMinutes', 'NOT NULL')},
  ${real('slotHours')},
  ${json('plateAtStart')},
  bottleId TEXT REFERENCES bottle (id),
  ${real('bottleMl')},
  roomRules TEXT NOT NULL,
  notes TEXT NOT NULL,
  ${flag('simulated')},
  ${json('practice', '')},
  ${flag('archived')},
  model TEXT,
  createdAt TEXT NOT NULL,
  ${flag('removed')}
) STRICT;

CREATE TABLE factor (
  id TEXT PRIMARY KEY,
  studyId TEXT NOT NULL REFERENCES study (id),
  position INTEGER NOT NULL,
  name TEXT NOT NULL,
  role TEXT NOT NULL,
  unit TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('continuous', 'categorical')),
  ${real('low')},
  ${real('high')},
  levels INTEGER NOT NULL,
  ${json('levelNames')},
  ${real('step')},
  scale TEXT NOT NULL CHECK (scale IN ('linear', 'log')),
  ${flag('hardToChange')},
  UNIQUE (studyId, name)
) STRICT;

CREATE TABLE stage (
  id TEXT PRIMARY KEY,
  studyId TEXT NOT NULL REFERENCES study (id),
  position INTEGER NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('grid', 'next', 'confirmation', 'by hand', 'imported', 'monitor', 'lot check')),
  title TEXT NOT NULL,
  ${json('design', '')},
  at TEXT NOT NULL,
  ${flag('removed')}
) STRICT;
CREATE INDEX stageOfStudy ON stage (studyId, position);

CREATE TABLE recipe (
  id TEXT PRIMARY KEY,
  studyId TEXT NOT NULL REFERENCES study (id),
  name TEXT NOT NULL,
  version INTEGER NOT NULL CHECK (version >= 1),
  supersedes TEXT REFERENCES recipe (id),
  resist TEXT NOT NULL,
  lot TEXT,
  coater TEXT NOT NULL,
  hotPlate TEXT NOT NULL,
  gauge TEXT NOT NULL,
  ${json('settings')},
  ${json('program')},
  ${real('bakeDisplay', 'NOT NULL')},
  ${real('bakeSurface')},
  ${real('bakeTime', 'NOT NULL')},
  ${real('targetNm', 'NOT NULL')},
  ${real('toleranceNm', 'NOT NULL')},
  targetAfter TEXT NOT NULL CHECK (targetAfter IN ('spin', 'bake', 'develop')),
  ${real('uniformityLimit')},
  uniformityFormula TEXT NOT NULL,
  ${json('film')},
  ${json('speeds')},
  ${json('exponent', '')},
  model TEXT NOT NULL,
  dataHash TEXT NOT NULL,
  runs INTEGER NOT NULL,
  decidedBy TEXT NOT NULL CHECK (decidedBy <> ''),
  decidedAt TEXT NOT NULL,
  reason TEXT NOT NULL CHECK (reason <> ''),
  note TEXT NOT NULL,
  ${flag('removed')}
) STRICT;
CREATE UNIQUE INDEX recipeVersion ON recipe (studyId, name, version) WHERE removed = 0;
CREATE INDEX recipeOfStudy ON recipe (studyId);
CREATE UNIQUE INDEX recipeSuperseded ON recipe (supersedes) WHERE removed = 0 AND supersedes IS NOT NULL;
CREATE TRIGGER recipeIsKept
BEFORE UPDATE OF id, studyId, name, version, supersedes, resist, lot, coater, hotPlate, gauge, settings, program,
  bakeDisplay, bakeSurface, bakeTime, targetNm, toleranceNm, targetAfter, uniformityLimit, uniformityFormula, film,
  speeds, exponent, model, dataHash, runs, decidedBy, decidedAt, reason, note ON recipe
BEGIN
  SELECT RAISE(ABORT, 'a kept recipe is never changed: supersede it with a next version');
END;
CREATE TRIGGER recipeStays BEFORE DELETE ON recipe
BEGIN
  SELECT RAISE(ABORT, 'a kept recipe is never deleted: supersede it with a next version');
END;

CREATE TABLE report (
  id TEXT PRIMARY KEY REFERENCES study (id),
  ${json('items')}
) STRICT;

CREATE TABLE driftChoice (
  id TEXT PRIMARY KEY REFERENCES recipe (id),
  ${json('choice')}
) STRICT;
`
