PRAGMA writable_schema = ON;
INSERT INTO sqlite_schema (type, name, tbl_name, rootpage, sql) VALUES ('trigger', 'sqlite_own', 'study', 0, 'CREATE TRIGGER sqlite_own AFTER UPDATE ON study BEGIN UPDATE study SET name = name; END');
