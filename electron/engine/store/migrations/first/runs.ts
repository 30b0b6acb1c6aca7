import { flag, json, real } from './columns.ts'

/** Runs, the sessions and plate visits that they were made in, and what happened meanwhile. */
export const runs = `
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
`
