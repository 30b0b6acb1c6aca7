PRAGMA foreign_keys = OFF;
UPDATE run SET id = 'W' || rowid;
