PRAGMA page_size = 65536;
VACUUM;
