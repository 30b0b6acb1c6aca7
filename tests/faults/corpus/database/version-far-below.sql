PRAGMA user_version = -2147483648;
