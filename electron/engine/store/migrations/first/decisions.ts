import { flag, json, real } from './columns.ts'

/** What was predicted, decided of lots, and is to be confirmed. */
export const decisions = `
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
