PRAGMA user_version = 0;
