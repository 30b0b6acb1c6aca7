INSERT INTO change (step, tableName, rowId, before, after) SELECT max(id), 'run" SET note = ''x'' --', 'a', '{"id":"a"}', NULL FROM step;
