import { flag, json } from './columns.ts'

/** How every change is recorded, and what was answered to whom. */
export const record = `
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
`
