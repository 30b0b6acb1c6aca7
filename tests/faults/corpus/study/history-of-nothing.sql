UPDATE change SET before = NULL, after = NULL;
