INSERT INTO change (step, tableName, rowId, before, after) SELECT max(id), 'writing', '1', NULL, '{"id":"1","step":1}' FROM step;
