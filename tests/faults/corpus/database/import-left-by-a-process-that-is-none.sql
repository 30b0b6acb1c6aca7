INSERT INTO importing (importId, process, runs, stages) SELECT id, -1, '{"__proto__":[1]}', 'null' FROM import;
