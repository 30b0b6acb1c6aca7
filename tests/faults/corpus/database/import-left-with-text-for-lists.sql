INSERT INTO importing (importId, process, runs, stages) SELECT id, 1, '"a"', '{"length":4294967295}' FROM import;
