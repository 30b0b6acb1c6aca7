INSERT INTO importing (importId, process, runs, stages) SELECT id, 9007199254740991, (SELECT json_group_array(id) FROM run), (SELECT json_group_array(id) FROM stage) FROM import;
