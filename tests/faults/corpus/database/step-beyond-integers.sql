UPDATE sqlite_sequence SET seq = 9223372036854775807 WHERE name = 'step';
