UPDATE change SET after = '{"id":' WHERE after IS NOT NULL;
