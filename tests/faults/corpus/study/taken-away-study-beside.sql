PRAGMA foreign_keys = OFF;
UPDATE study SET removed = 1;
