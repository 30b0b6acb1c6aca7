UPDATE change SET before = '{"id":"a","note\" = (SELECT 1), \"x":1}' WHERE id = (SELECT max(id) FROM change WHERE before IS NOT NULL);
UPDATE change SET after = '{"id":"a","note\" = (SELECT 1), \"x":1}' WHERE id = (SELECT max(id) FROM change);
