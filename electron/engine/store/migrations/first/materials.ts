import { flag, real } from './columns.ts'

/** Bottles and engraved substrates. */
export const materials = `
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
`
