PRAGMA foreign_keys = OFF;
INSERT INTO substrate (id, code, kind, note) VALUES ('ffffffff-ffff-7fff-bfff-ffffffffffff', 'S', '', ''), ('', 'T', '', ''), ('zzz', 'U', '', '');
