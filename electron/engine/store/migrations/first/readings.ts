import { flag, json, real } from './columns.ts'

/**
 * Imports and readings, what is excluded, and traces.
 *
 * What an import brings is marked as withdrawn or removed until it is whole: until then it stands in `importing`, with the
 * process that works on it and what it has made.
 *
 * `runSummary` holds what the readings in force of a run come to. It goes with every change of them, whoever makes it,
 * and is worked out anew when it is next asked for.
 */
export const readings = `
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
`
