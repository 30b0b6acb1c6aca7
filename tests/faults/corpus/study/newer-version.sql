PRAGMA user_version = 999;
