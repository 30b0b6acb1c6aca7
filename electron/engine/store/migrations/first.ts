/** A column of finite numbers: STRICT tables would take Infinity. */
const real = (name: string, more = '') =>
  `${name} REAL ${more} CHECK (${name} > -9e999 AND ${name} < 9e999)`.replace('  ', ' ')
const flag = (name: string) => `${name} INTEGER NOT NULL DEFAULT 0 CHECK (${name} IN (0, 1))`
const json = (name: string, more = 'NOT NULL') => `${name} TEXT ${more} CHECK (json_valid(${name}))`

/**
 * The tables. Columns are named as the fields of the contract. Lengths in nm (film) and mm (position), speed
 * in rpm, ramp in rpm/s, time in s, temperature in °C.
 *
 * Tools, bottles, substrates, studies, stages, recipes and runs are taken away by the mark `removed`, readings and imports by `withdrawn`:
 * nothing that a reading hangs on, or that several studies may use, is ever deleted. What an import brings is
 * marked so from the start, until the import is whole: until then it stands in `importing`, with the process that
 * works on it and what it has made.
 *
 * `runSummary` holds what the readings in force of a run come to. It goes with every change of them, whoever makes it,
 * and is worked out anew when it is next asked for.
 *
 * Every column that refers to another table has an index, but those that name a tool: to take a row away, or its step,
 * looks for what refers to it.
 */
export const first = `
CREATE TABLE step (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  at TEXT NOT NULL,
  who TEXT NOT NULL,
  call TEXT NOT NULL,
  label TEXT NOT NULL,
  studyId TEXT,
  kind TEXT NOT NULL CHECK (kind IN ('do', 'undo', 'redo')),
  target INTEGER REFERENCES step (id),
  state TEXT NOT NULL DEFAULT 'done' CHECK (state IN ('done', 'undone')),
  ${flag('redoable')}
) STRICT;
CREATE INDEX stepOfStudy ON step (studyId, id);
CREATE INDEX stepOfTarget ON step (target) WHERE target IS NOT NULL;
CREATE INDEX stepToRedo ON step (studyId, id) WHERE redoable = 1;

CREATE TABLE writing (
  only INTEGER PRIMARY KEY CHECK (only = 1),
  step INTEGER REFERENCES step (id)
) STRICT;
INSERT INTO writing VALUES (1, NULL);

CREATE TABLE change (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  step INTEGER NOT NULL REFERENCES step (id),
  tableName TEXT NOT NULL,
  rowId TEXT NOT NULL,
  ${json('before', '')},
  ${json('after', '')}
) STRICT;
CREATE INDEX changeOfStep ON change (step);
CREATE INDEX changeOfRow ON change (rowId, step);

CREATE TABLE answered (
  id INTEGER PRIMARY KEY,
  key TEXT NOT NULL UNIQUE,
  ${json('answer')}
) STRICT;

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

CREATE TABLE bottle (
  id TEXT PRIMARY KEY,
  name TEXT NOT NULL,
  resist TEXT NOT NULL,
  lot TEXT NOT NULL,
  ${real('sizeMl')},
  expires TEXT NOT NULL,
  openedFirst TEXT NOT NULL,
  ${flag('removed')}
) STRICT;

CREATE TABLE substrate (
  id TEXT PRIMARY KEY,
  code TEXT NOT NULL UNIQUE COLLATE NOCASE,
  kind TEXT NOT NULL,
  note TEXT NOT NULL,
  ${flag('removed')}
) STRICT;

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

CREATE TABLE run (
  id TEXT PRIMARY KEY,
  studyId TEXT NOT NULL REFERENCES study (id),
  stageId TEXT NOT NULL REFERENCES stage (id),
  code TEXT NOT NULL,
  standardOrder INTEGER,
  runOrder INTEGER NOT NULL,
  block INTEGER NOT NULL,
  plateVisit INTEGER,
  kind TEXT NOT NULL,
  lot TEXT,
  ${json('settings')},
  recipeId TEXT REFERENCES recipe (id),
  state TEXT NOT NULL CHECK (state IN ('planned', 'coated', 'measured', 'failed', 'dropped')),
  session TEXT,
  note TEXT NOT NULL,
  ${json('actual')},
  ${json('steps', '')},
  ${json('stepsDone')},
  coatedAt TEXT,
  substrateId TEXT REFERENCES substrate (id),
  defect TEXT,
  excluded TEXT,
  ${flag('removed')}
) STRICT;
CREATE INDEX runOfStudy ON run (studyId, runOrder);
CREATE INDEX runOfStage ON run (stageId);
CREATE INDEX runOfRecipe ON run (recipeId) WHERE recipeId IS NOT NULL;
CREATE INDEX runsInState ON run (studyId, state, session) WHERE removed = 0;
CREATE INDEX runOfSubstrate ON run (substrateId) WHERE substrateId IS NOT NULL;
CREATE UNIQUE INDEX runCode ON run (studyId, code) WHERE removed = 0;

CREATE TABLE session (
  id TEXT PRIMARY KEY,
  studyId TEXT NOT NULL REFERENCES study (id),
  name TEXT NOT NULL,
  day TEXT NOT NULL,
  operator TEXT NOT NULL,
  ${real('roomTemperature')},
  ${real('humidity')},
  bottleId TEXT REFERENCES bottle (id),
  note TEXT NOT NULL,
  UNIQUE (studyId, name)
) STRICT;
CREATE INDEX sessionOfBottle ON session (bottleId) WHERE bottleId IS NOT NULL;

CREATE TABLE event (
  id TEXT PRIMARY KEY,
  at TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN (
    'out of the fridge', 'opened', 'poured', 'empty', 'stripped', 'primed',
    'bottle opened', 'fresh bottle', 'bowl cleaned', 'plate recalibrated', 'filter or exhaust', 'other')),
  bottleId TEXT REFERENCES bottle (id),
  substrateId TEXT REFERENCES substrate (id),
  studyId TEXT REFERENCES study (id),
  sessionId TEXT REFERENCES session (id),
  ${real('ml')},
  text TEXT NOT NULL,
  CHECK ((bottleId IS NOT NULL) + (substrateId IS NOT NULL) + (studyId IS NOT NULL) = 1)
) STRICT;
CREATE INDEX eventOfBottle ON event (bottleId) WHERE bottleId IS NOT NULL;
CREATE INDEX eventOfSubstrate ON event (substrateId) WHERE substrateId IS NOT NULL;
CREATE INDEX eventOfStudy ON event (studyId) WHERE studyId IS NOT NULL;
CREATE INDEX eventOfSession ON event (sessionId) WHERE sessionId IS NOT NULL;

CREATE TABLE report (
  id TEXT PRIMARY KEY REFERENCES study (id),
  ${json('items')}
) STRICT;

CREATE TABLE driftChoice (
  id TEXT PRIMARY KEY REFERENCES recipe (id),
  ${json('choice')}
) STRICT;

CREATE TABLE plateVisit (
  id TEXT PRIMARY KEY,
  studyId TEXT NOT NULL REFERENCES study (id),
  number INTEGER NOT NULL,
  ${real('display')},
  ${real('surface')},
  setAt TEXT NOT NULL,
  note TEXT NOT NULL,
  UNIQUE (studyId, number)
) STRICT;

CREATE TABLE import (
  id TEXT PRIMARY KEY,
  studyId TEXT NOT NULL REFERENCES study (id),
  fileName TEXT NOT NULL,
  sha256 TEXT NOT NULL CHECK (length(sha256) = 64),
  runs INTEGER NOT NULL,
  readings INTEGER NOT NULL,
  at TEXT NOT NULL,
  ${flag('withdrawn')}
) STRICT;
CREATE INDEX importOfStudy ON import (studyId, sha256);

CREATE TABLE importText (
  importId TEXT PRIMARY KEY REFERENCES import (id),
  text BLOB NOT NULL
) STRICT;

CREATE TABLE importing (
  importId TEXT PRIMARY KEY REFERENCES import (id),
  process INTEGER NOT NULL,
  ${json('runs')},
  ${json('stages')}
) STRICT;

CREATE TABLE mapping (
  id TEXT PRIMARY KEY,
  name TEXT NOT NULL UNIQUE,
  ${json('columns')},
  ${json('options')}
) STRICT;

CREATE TABLE reading (
  id TEXT PRIMARY KEY,
  runId TEXT NOT NULL REFERENCES run (id),
  importId TEXT REFERENCES import (id),
  quantity TEXT NOT NULL,
  site INTEGER,
  ${real('xMm')},
  ${real('yMm')},
  repeat INTEGER NOT NULL CHECK (repeat >= 1),
  takenAfter TEXT CHECK (takenAfter IN ('spin', 'bake', 'develop')),
  ${real('opticalIndex')},
  ${real('value', 'NOT NULL')},
  text TEXT NOT NULL,
  unit TEXT NOT NULL,
  at TEXT NOT NULL,
  supersedes TEXT REFERENCES reading (id),
  ${flag('withdrawn')}
) STRICT;
CREATE INDEX readingOfRun ON reading (runId);
CREATE INDEX readingOfImport ON reading (importId) WHERE importId IS NOT NULL;
CREATE INDEX readingSuperseded ON reading (supersedes) WHERE supersedes IS NOT NULL;

CREATE TRIGGER readingIsRaw
BEFORE UPDATE OF id, runId, importId, quantity, site, xMm, yMm, repeat, takenAfter, opticalIndex, value, text, unit, at,
  supersedes ON reading
BEGIN
  SELECT RAISE(ABORT, 'a raw reading is never changed: correct it with a new one');
END;
CREATE TRIGGER readingIsKept BEFORE DELETE ON reading
WHEN NOT EXISTS (SELECT 1 FROM importing WHERE importId = OLD.importId)
BEGIN
  SELECT RAISE(ABORT, 'a raw reading is never deleted: withdraw or exclude it');
END;

CREATE TABLE exclusion (
  id TEXT PRIMARY KEY,
  readingId TEXT NOT NULL UNIQUE REFERENCES reading (id),
  reason TEXT NOT NULL
) STRICT;

CREATE TABLE runSummary (
  runId TEXT PRIMARY KEY REFERENCES run (id) ON DELETE CASCADE,
  question TEXT NOT NULL,
  ${json('summary')}
) STRICT;
CREATE TRIGGER readingComes AFTER INSERT ON reading
WHEN NOT EXISTS (SELECT 1 FROM importing WHERE importId = NEW.importId)
BEGIN
  DELETE FROM runSummary WHERE runId IN (NEW.runId, (SELECT runId FROM reading WHERE id = NEW.supersedes));
END;
CREATE TRIGGER readingGoes AFTER UPDATE OF withdrawn ON reading
BEGIN
  DELETE FROM runSummary WHERE runId IN (NEW.runId, (SELECT runId FROM reading WHERE id = NEW.supersedes));
END;
CREATE TRIGGER exclusionComes AFTER INSERT ON exclusion
BEGIN
  DELETE FROM runSummary WHERE runId = (SELECT runId FROM reading WHERE id = NEW.readingId);
END;
CREATE TRIGGER exclusionChanges AFTER UPDATE ON exclusion
BEGIN
  DELETE FROM runSummary WHERE runId = (SELECT runId FROM reading WHERE id = NEW.readingId);
END;
CREATE TRIGGER exclusionGoes AFTER DELETE ON exclusion
BEGIN
  DELETE FROM runSummary WHERE runId = (SELECT runId FROM reading WHERE id = OLD.readingId);
END;
CREATE TRIGGER importComesOrGoes AFTER UPDATE OF withdrawn ON import
BEGIN
  DELETE FROM runSummary WHERE runId IN (SELECT id FROM run WHERE studyId = NEW.studyId);
END;

CREATE TABLE trace (
  id TEXT PRIMARY KEY,
  runId TEXT NOT NULL REFERENCES run (id),
  site INTEGER,
  name TEXT NOT NULL,
  at TEXT NOT NULL,
  positionUnit TEXT NOT NULL,
  heightUnit TEXT NOT NULL,
  points INTEGER NOT NULL,
  ${json('regions', '')},
  ${flag('bow')},
  ${json('found', '')},
  problem TEXT,
  excluded TEXT,
  ${flag('withdrawn')}
) STRICT;
CREATE INDEX traceOfRun ON trace (runId);

CREATE TABLE tracePoints (
  traceId TEXT PRIMARY KEY REFERENCES trace (id),
  points BLOB NOT NULL
) STRICT;

CREATE TABLE readingTrace (
  id TEXT PRIMARY KEY,
  readingId TEXT NOT NULL REFERENCES reading (id),
  traceId TEXT NOT NULL REFERENCES trace (id),
  UNIQUE (readingId, traceId)
) STRICT;
CREATE INDEX readingTraceOfTrace ON readingTrace (traceId);

CREATE VIEW standing AS
SELECT reading.* FROM reading LEFT JOIN import ON import.id = reading.importId
WHERE reading.withdrawn = 0 AND coalesce(import.withdrawn, 0) = 0;

CREATE VIEW inForce AS
SELECT standing.*, exclusion.reason AS excluded
FROM standing LEFT JOIN exclusion ON exclusion.readingId = standing.id
WHERE NOT EXISTS (SELECT 1 FROM standing AS later WHERE later.supersedes = standing.id);

CREATE TABLE prediction (
  id TEXT PRIMARY KEY,
  studyId TEXT NOT NULL REFERENCES study (id),
  runId TEXT REFERENCES run (id),
  at TEXT NOT NULL,
  ${json('settings')},
  model TEXT NOT NULL,
  response TEXT NOT NULL,
  dataHash TEXT NOT NULL,
  scope TEXT NOT NULL CHECK (scope IN ('sameSession', 'otherSession')),
  ${json('sessions')},
  ${real('estimate', 'NOT NULL')},
  ${real('lower', 'NOT NULL')},
  ${real('upper', 'NOT NULL')},
  ${real('chance')},
  ${json('errors')}
) STRICT;
CREATE INDEX predictionOfStudy ON prediction (studyId);
CREATE INDEX predictionOfRun ON prediction (runId) WHERE runId IS NOT NULL;

CREATE TABLE lotDecision (
  id TEXT PRIMARY KEY,
  studyId TEXT NOT NULL REFERENCES study (id),
  lot TEXT NOT NULL,
  against TEXT NOT NULL,
  decision TEXT NOT NULL CHECK (decision IN ('accept', 'correct speed', 'do not use')),
  who TEXT NOT NULL CHECK (who <> ''),
  why TEXT NOT NULL,
  at TEXT NOT NULL,
  dataHash TEXT NOT NULL CHECK (length(dataHash) = 64),
  ${json('numbers')},
  ${flag('withdrawn')}
) STRICT;
CREATE INDEX lotDecisionOfStudy ON lotDecision (studyId);
CREATE TRIGGER lotDecisionIsSigned
BEFORE UPDATE OF id, studyId, lot, against, decision, who, why, at, dataHash, numbers ON lotDecision
BEGIN
  SELECT RAISE(ABORT, 'a signed decision is never changed: a newer one takes its place');
END;
CREATE TRIGGER lotDecisionIsKept BEFORE DELETE ON lotDecision
BEGIN
  SELECT RAISE(ABORT, 'a signed decision is never deleted: a newer one takes its place');
END;

CREATE TABLE confirmation (
  id TEXT PRIMARY KEY,
  studyId TEXT NOT NULL REFERENCES study (id),
  stageId TEXT NOT NULL REFERENCES stage (id),
  at TEXT NOT NULL,
  ${json('settings')},
  model TEXT NOT NULL,
  response TEXT NOT NULL,
  dataHash TEXT NOT NULL,
  scope TEXT NOT NULL CHECK (scope IN ('sameSession', 'otherSession')),
  ${real('target', 'NOT NULL')},
  ${real('tolerance', 'NOT NULL')},
  ${real('uniformityLimit')},
  uniformityFormula TEXT NOT NULL,
  ${json('chance')},
  ${real('level', 'NOT NULL')},
  ${json('runsByDay')},
  ${real('estimate', 'NOT NULL')},
  ${json('errors')},
  ${json('single')},
  ${json('simultaneous')},
  ${json('speed', '')}
) STRICT;
CREATE INDEX confirmationOfStudy ON confirmation (studyId);
CREATE INDEX confirmationOfStage ON confirmation (stageId);
CREATE TRIGGER confirmationIsWritten BEFORE UPDATE ON confirmation
BEGIN
  SELECT RAISE(ABORT, 'what a confirmation is held to is never changed: plan another one');
END;
`
